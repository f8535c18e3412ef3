package desk_test

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"testing"
	"time"

	"waterkey/brass"
	"waterkey/demo"
	"waterkey/desk"
	"waterkey/store"
)

var ctx = context.Background()

// must is for calls whose failure would make the rest of a test meaningless.
func must[T any](v T, err error) func(testing.TB) T {
	return func(t testing.TB) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

// onDesk is a desk with the march of the demo season before one player, at a time
// that tests move.
type onDesk struct {
	*testing.T
	*desk.Desk
	clock  time.Time
	sheet  desk.Sheet
	player *desk.Player
	part   *desk.Part
}

// zone is where the people of the tests are.
var zone = time.FixedZone("", 60*60)

func newDesk(t *testing.T) *onDesk {
	t.Helper()
	season := must(store.Open(ctx, t.TempDir(), store.Options{Unsynced: true}))(t)
	t.Cleanup(func() { season.Close() })
	o := &onDesk{T: t, Desk: desk.New(season), clock: time.Date(2026, 11, 25, 12, 0, 0, 0, zone)}
	o.Now = func() time.Time { return o.clock }
	o.part = must(o.AddPart(ctx, desk.Dropped{FileName: demo.TakePart, Data: must(demo.Open(demo.TakePart))(t)}))(t)
	o.player = o.addPlayer("ada", "Ada")
	o.sheet = desk.Sheet{Part: o.part.ID, Player: o.player.ID}
	return o
}

func (o *onDesk) addPlayer(id desk.ID, name string) *desk.Player {
	o.Helper()
	p := &desk.Player{Head: desk.Head{ID: id}, Name: name, Instrument: "tenor-f", Level: 4}
	must(o.Commit(ctx, desk.Change{Says: "added", Lasting: true, Edits: []desk.Edit{desk.Put(p)}}))(o.T)
	return p
}

// page is the march as takes of it are rendered.
func page(t *testing.T) *desk.Prepared {
	t.Helper()
	horn := must(brass.Named("tenor-f"))(t)
	return must(desk.Prepare(desk.Request{Path: demo.TakePart, Data: must(demo.Open(demo.TakePart))(t), Horn: horn, Level: 4}))(t)
}

// record adds a recording as a take of that moment, not yet measured.
func (o *onDesk) record(path string, at time.Time) *desk.Take {
	o.Helper()
	data := must(os.ReadFile(path))(o.T)
	blob := must(o.AddBlob(ctx, bytes.NewReader(data), int64(len(data))))(o.T)
	return must(o.AddTake(ctx, &desk.Take{Sheet: o.sheet, Recording: blob.Hash, FileName: filepath.Base(path), MediaType: "audio/wav", Recorded: at}))(o.T)
}

// take adds a recording and measures it.
func (o *onDesk) take(path string, at time.Time) *desk.Take {
	o.Helper()
	t := o.record(path, at)
	must(o.MeasureTake(ctx, t.ID, nil))(o.T)
	return t
}
