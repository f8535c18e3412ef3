package store

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"waterkey/desk"
	"waterkey/practice"
)

// children are what this test program does when it is started by one of its own
// tests, by the name in childVariable.
var children = map[string]func(folder string){}

const childVariable = "WATERKEY_STORE_CHILD"

func TestMain(m *testing.M) {
	if child, ok := children[os.Getenv(childVariable)]; ok {
		child(os.Args[1])
		return
	}
	os.Exit(m.Run())
}

var ctx = context.Background()

// clock is a time that tests move.
type clock struct{ now time.Time }

func (c *clock) Now() time.Time { return c.now }

func newClock() *clock { return &clock{time.Date(2026, 11, 25, 10, 0, 0, 0, time.UTC)} }

// openAt opens a folder and closes it when the test ends.
func openAt(t testing.TB, folder string, o Options) *Season {
	t.Helper()
	s, err := Open(ctx, folder, o)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

func openNew(t testing.TB) *Season { return openAt(t, t.TempDir(), Options{Unsynced: true}) }

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

// addText keeps a small file.
func addText(t testing.TB, s *Season, text string) desk.Hash {
	t.Helper()
	return must(s.AddBlob(ctx, strings.NewReader(text), 1<<20))(t).Hash
}

// commit puts records on a sheet.
func commit(t testing.TB, s *Season, sheet desk.Sheet, records ...desk.Record) *desk.Entry {
	t.Helper()
	c := desk.Change{Sheet: sheet, Author: "coach", Says: fmt.Sprintf("put %d", len(records))}
	for _, r := range records {
		c.Edits = append(c.Edits, desk.Put(r))
	}
	return must(s.Commit(ctx, c))(t)
}

func aPlayer(id desk.ID) *desk.Player {
	return &desk.Player{Head: desk.Head{ID: id}, Name: "Anna <B&b>", Instrument: "tenor-f", Level: 4, ReachCM: 58.5,
		Lungs: json.RawMessage(`{"vital_l":4.1}`), Profile: json.RawMessage(`{"instrument":"tenor-f","partial_cents":{"5":8}}`)}
}

func aPart(id desk.ID, document desk.Hash) *desk.Part {
	return &desk.Part{Head: desk.Head{ID: id}, Title: "Harbor Parade", Document: document, FileName: "härbor.musicxml", Line: "P1", Due: "2026-12-01", BPM: 96}
}

func aFix(id, part, player desk.ID, where, way string) *desk.Mark {
	return &desk.Mark{Head: desk.Head{ID: id}, Sheet: desk.Sheet{Part: part, Player: player}, Author: "coach",
		Written: time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC), Position: &desk.PositionPin{Where: where, Way: way}}
}

func aTake(id, part, player desk.ID, recording desk.Hash, at time.Time) *desk.Take {
	return &desk.Take{Head: desk.Head{ID: id}, Sheet: desk.Sheet{Part: part, Player: player}, Recorded: at, Recording: recording,
		FileName: "take 1.wav", MediaType: "audio/wav", RuleOut: []string{"a door slams in bar 9"}}
}

// furnish fills a season with one of everything; it returns the sheet.
func furnish(t testing.TB, s *Season) desk.Sheet {
	t.Helper()
	document, recording, result := addText(t, s, "<score/>"), addText(t, s, "RIFF"), addText(t, s, `{"notes":[]}`)
	sheet := desk.Sheet{Part: "harbor", Player: "anna"}
	zone := time.FixedZone("", 2*60*60)
	commit(t, s, desk.Sheet{}, aPlayer("anna"), aPlayer("ben"), aPart("harbor", document))
	commit(t, s, sheet, &desk.Assignment{Head: desk.Head{ID: "a1"}, Sheet: sheet, Instrument: "bass", BPM: 88, Settings: json.RawMessage(`{"lanes":["slide"]}`)},
		aDay("d1", "harbor", "anna", "2026-11-21"))
	commit(t, s, sheet, aTake("t1", "harbor", "anna", recording, time.Date(2026, 11, 20, 23, 30, 0, 0, zone)))
	commit(t, s, sheet, aFix("m1", "harbor", "anna", "n12", "T1"),
		&desk.Mark{Head: desk.Head{ID: "m2"}, Sheet: sheet, Breath: &desk.BreathPin{After: "n14", Never: true}},
		&desk.Mark{Head: desk.Head{ID: "m3"}, Sheet: desk.Sheet{Part: "harbor"}, Remark: &desk.Remark{Where: "12", Text: "sing it first"}},
		&desk.Mark{Head: desk.Head{ID: "m4"}, Sheet: sheet, Remark: &desk.Remark{Take: "t1", AtS: 3.25, Text: "late"}})
	c := desk.Change{Sheet: sheet, Author: "waterkey", Says: "measure", Lasting: true, Edits: []desk.Edit{desk.Put(
		&desk.Measure{Head: desk.Head{ID: "t1"}, Version: "1", Document: result, Summary: json.RawMessage(`{"cents":-3}`)})}}
	must(s.Commit(ctx, c))(t)
	return sheet
}

// aDay is a day of practice with one item, done.
func aDay(id, part, player desk.ID, date string) *desk.PracticeDay {
	return &desk.PracticeDay{Head: desk.Head{ID: id}, Sheet: desk.Sheet{Part: part, Player: player}, Date: date, Done: []desk.DoneItem{{Item: 0, Minutes: 4}},
		Day: practice.Day{Date: date, Items: []practice.Item{{Kind: practice.Visit, Bars: []string{"13", "15"}, Tempos: []float64{66, 96}, Evidence: []string{"rest"}}}}}
}

func TestRecordsComeBackAsTheyWere(t *testing.T) {
	folder := t.TempDir()
	s := openAt(t, folder, Options{})
	document := addText(t, s, "<score/>")
	player, part := aPlayer("anna"), aPart("harbor", document)
	mark := aFix("", "harbor", "", "n1", "6")
	take := aTake("", "harbor", "anna", addText(t, s, "RIFF"), time.Date(2026, 11, 20, 23, 30, 0, 123456789, time.FixedZone("", -5*60*60)))
	measure := &desk.Measure{Version: "1", Document: document}
	commit(t, s, desk.Sheet{}, player, part, mark, take)
	measure.ID = take.ID
	commit(t, s, desk.Sheet{}, measure)
	if mark.ID == "" || mark.Revision != 1 || measure.Revision != 2 {
		t.Fatalf("mark %+v, measure %+v: want an id and revisions 1 and 2", mark.Head, measure.Head)
	}
	s.Close()
	s = openAt(t, folder, Options{})
	same(t, player, must(s.Player(ctx, "anna"))(t))
	same(t, part, must(s.Part(ctx, "harbor"))(t))
	same(t, take, must(s.Take(ctx, take.ID))(t))
	same(t, measure, must(s.Measure(ctx, take.ID))(t))
	same(t, []*desk.Mark{mark}, must(s.Marks(ctx, desk.Sheet{Part: "harbor", Player: "anna"}))(t))
}

func same(t testing.TB, want, got any) {
	t.Helper()
	if diff := cmp.Diff(want, got, cmpopts.IgnoreUnexported(practice.Item{})); diff != "" {
		t.Errorf("want -, got +\n%s", diff)
	}
}

func TestListsAreOrderedAndSelected(t *testing.T) {
	s := openNew(t)
	doc := addText(t, s, "<score/>")
	parts := []*desk.Part{aPart("p1", doc), aPart("p2", doc), aPart("p3", doc)}
	parts[0].Due, parts[1].Due, parts[2].Due = "", "2026-12-24", "2026-12-01"
	commit(t, s, desk.Sheet{}, parts[0], parts[1], parts[2], aPlayer("anna"), aPlayer("ben"))
	if got := ids(must(s.Parts(ctx))(t)); got != "p3 p2 p1" {
		t.Errorf("parts %s, want those due first, then those without a date", got)
	}
	day := time.Date(2026, 11, 1, 12, 0, 0, 0, time.UTC)
	for i := range 6 {
		player := []desk.ID{"anna", "ben"}[i%2]
		commit(t, s, desk.Sheet{}, aTake(desk.ID(fmt.Sprint("t", i)), "p1", player, doc, day.AddDate(0, 0, i)))
	}
	for _, c := range []struct {
		q    desk.TakeQuery
		want string
	}{
		{desk.TakeQuery{}, "t5 t4 t3 t2 t1 t0"},
		{desk.TakeQuery{Sheet: desk.Sheet{Player: "ben"}}, "t5 t3 t1"},
		{desk.TakeQuery{Sheet: desk.Sheet{Part: "p1", Player: "anna"}, Since: day.AddDate(0, 0, 2)}, "t4 t2"},
		{desk.TakeQuery{Limit: 2, Offset: 1}, "t4 t3"},
		{desk.TakeQuery{Sheet: desk.Sheet{Part: "p2"}}, ""},
	} {
		if got := ids(must(s.Takes(ctx, c.q))(t)); got != c.want {
			t.Errorf("%+v: %s, want %s", c.q, got, c.want)
		}
	}
	commit(t, s, desk.Sheet{}, &desk.Measure{Head: desk.Head{ID: "t3"}, Version: "1", Document: doc})
	if got := ids(must(s.Measures(ctx, desk.TakeQuery{Sheet: desk.Sheet{Player: "ben"}}))(t)); got != "t3" {
		t.Errorf("measures %s, want that of t3", got)
	}
	commit(t, s, desk.Sheet{}, aFix("m1", "p1", "anna", "n1", "1"), aFix("m2", "p1", "ben", "n1", "1"), aFix("m3", "p1", "", "n1", "1"))
	if got := ids(must(s.Marks(ctx, desk.Sheet{Part: "p1", Player: "ben"}))(t)); got != "m2 m3" {
		t.Errorf("marks %s, want ben's and everybody's", got)
	}
}

// ids lists records by id.
func ids[R desk.Record](records []R) string {
	var out []string
	for _, r := range records {
		out = append(out, string(r.Header().ID))
	}
	return strings.Join(out, " ")
}

func TestRefusals(t *testing.T) {
	s := openNew(t)
	sheet := furnish(t, s)
	player, chosen := must(s.Player(ctx, "anna"))(t), must(s.Take(ctx, "t1"))(t)
	chosen.Chosen = true
	commit(t, s, sheet, chosen, player)
	second := aTake("t2", "harbor", "anna", chosen.Recording, chosen.Recorded)
	second.Chosen = true
	old := *player
	old.Revision--
	for name, c := range map[string]struct {
		edit desk.Edit
		want error
		says string
	}{
		"stale":           {desk.Put(&old), desk.ErrConflict, "changed elsewhere"},
		"stale delete":    {desk.Delete(&old), desk.ErrConflict, "changed elsewhere"},
		"exists":          {desk.Put(aPlayer("anna")), desk.ErrConflict, "exists already"},
		"deleted":         {desk.Put(&desk.Player{Head: desk.Head{ID: "zoe", Revision: 1}, Name: "Zoe", Instrument: "bass", Level: 3}), desk.ErrConflict, "deleted elsewhere"},
		"delete nothing":  {desk.Delete(aPlayer("zoe")), desk.ErrNotFound, "no player zoe"},
		"needed":          {desk.Delete(player), desk.ErrInUse, "still needed"},
		"no such part":    {desk.Put(aFix("m9", "nowhere", "anna", "n1", "1")), desk.ErrNotFound, "not there"},
		"no such take":    {desk.Put(&desk.Mark{Sheet: sheet, Remark: &desk.Remark{Take: "none", Text: "x"}}), desk.ErrNotFound, "not there"},
		"no such file":    {desk.Put(aPart("p9", desk.Hash(strings.Repeat("0", 64)))), desk.ErrNotFound, "add it again"},
		"same place":      {desk.Put(aFix("m9", "harbor", "anna", "n12", "3")), desk.ErrConflict, "already"},
		"two chosen":      {desk.Put(second), desk.ErrConflict, "chosen already"},
		"invalid":         {desk.Put(&desk.Player{}), desk.ErrInvalid, "no name"},
		"climbing id":     {desk.Put(aPlayer("../x")), desk.ErrInvalid, "no id"},
		"second sheet":    {desk.Put(&desk.Assignment{Sheet: sheet}), desk.ErrConflict, "has this part already"},
		"measure no take": {desk.Put(&desk.Measure{Head: desk.Head{ID: "t9"}, Version: "1", Document: chosen.Recording}), desk.ErrNotFound, "not there"},
	} {
		before := dump(t, s)
		// An edit that would work comes first: it must go too.
		_, err := s.Commit(ctx, desk.Change{Edits: []desk.Edit{desk.Put(aPlayer("")), c.edit}})
		if !errors.Is(err, c.want) || !strings.Contains(fmt.Sprint(err), c.says) {
			t.Errorf("%s: %v; want %v with %q", name, err, c.want, c.says)
		}
		if after := dump(t, s); after != before {
			t.Errorf("%s: something was changed", name)
		}
	}
	if _, err := s.Commit(ctx, desk.Change{}); !errors.Is(err, desk.ErrInvalid) {
		t.Errorf("a change without edits: %v", err)
	}
	if _, err := s.Commit(ctx, desk.Change{Edits: []desk.Edit{desk.Put(player), desk.Delete(player)}}); !errors.Is(err, desk.ErrInvalid) {
		t.Errorf("two edits of one record: %v", err)
	}
	if _, err := s.Player(ctx, "zoe"); !errors.Is(err, desk.ErrNotFound) {
		t.Errorf("a player who is not there: %v", err)
	}
}

func TestDeletingAllThatRefersInOneChange(t *testing.T) {
	s := openNew(t)
	sheet := furnish(t, s)
	before := records(t, s)
	c := desk.Change{Sheet: sheet, Says: "delete the take"}
	c.Edits = []desk.Edit{desk.Delete(must(s.Measure(ctx, "t1"))(t))}
	for _, m := range must(s.Marks(ctx, sheet))(t) {
		if m.Remark != nil && m.Remark.Take == "t1" {
			c.Edits = append(c.Edits, desk.Delete(m))
		}
	}
	c.Edits = append(c.Edits, desk.Delete(must(s.Take(ctx, "t1"))(t)))
	must(s.Commit(ctx, c))(t)
	if got := ids(must(s.Takes(ctx, desk.TakeQuery{}))(t)); got != "" {
		t.Errorf("takes %s are left", got)
	}
	must(s.Undo(ctx, sheet, "coach"))(t)
	same(t, withoutRevisions(before), withoutRevisions(records(t, s)))
	checkLog(t, s)
}

// records are all of a season by reference.
func records(t testing.TB, s *Season) map[desk.Ref]desk.Record {
	t.Helper()
	out := map[desk.Ref]desk.Record{}
	for _, k := range desk.Kinds() {
		err := eachRow(ctx, s.reader, "SELECT doc FROM "+tables[k].name, func(doc []byte) error {
			r, err := decode(k, doc)
			if err == nil {
				out[desk.RefOf(r)] = r
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	return out
}

func withoutRevisions(all map[desk.Ref]desk.Record) map[desk.Ref]desk.Record {
	for _, r := range all {
		r.Header().Revision = 0
	}
	return all
}

// dump is all records and the log as text.
func dump(t testing.TB, s *Season) string {
	t.Helper()
	var b bytes.Buffer
	for _, query := range []string{"players ORDER BY id", "parts ORDER BY id", "assignments ORDER BY id", "takes ORDER BY id",
		"marks ORDER BY id", "measures ORDER BY id", "changes ORDER BY revision"} {
		if err := eachRow(ctx, s.reader, "SELECT doc FROM "+query, func(doc []byte) error {
			fmt.Fprintf(&b, "%s: %s\n", query, doc)
			return nil
		}); err != nil {
			t.Fatal(err)
		}
	}
	return b.String()
}

// checkLog plays the whole log from nothing: it must give the records as they are,
// and each entry must start from what the ones before it made.
func checkLog(t testing.TB, s *Season) {
	t.Helper()
	state := map[desk.Ref]string{}
	for _, e := range must(s.History(ctx, desk.Sheet{}, 0, 0))(t) {
		for _, l := range e.Edits {
			if state[l.Ref] != string(l.Before) {
				t.Fatalf("change %d starts from %s, but %s is %s", e.Revision, l.Before, l.Ref, state[l.Ref])
			}
			state[l.Ref] = string(l.After)
			if l.After == nil {
				delete(state, l.Ref)
			}
		}
	}
	stored := map[desk.Ref]string{}
	for ref, r := range records(t, s) {
		doc, err := encode(r)
		if err != nil {
			t.Fatal(err)
		}
		stored[ref] = string(doc)
	}
	if diff := cmp.Diff(state, stored); diff != "" {
		t.Fatalf("log -, records +\n%s", diff)
	}
}

// A player has one record for each day of a part, and keeps neither part nor player
// from being named by another's.
func TestDaysOfPractice(t *testing.T) {
	s := openNew(t)
	sheet := furnish(t, s)
	ben := desk.Sheet{Part: "harbor", Player: "ben"}
	commit(t, s, ben, aDay("d2", "harbor", "ben", "2026-11-21"), aDay("d3", "harbor", "ben", "2026-11-20"))
	var got []desk.ID
	for _, d := range must(s.PracticeDays(ctx, ben))(t) {
		got = append(got, d.ID)
	}
	same(t, []desk.ID{"d3", "d2"}, got)
	if all := must(s.PracticeDays(ctx, desk.Sheet{Part: "harbor"}))(t); len(all) != 3 {
		t.Errorf("%d days of the part, want 3", len(all))
	}
	_, err := s.Commit(ctx, desk.Change{Sheet: sheet, Edits: []desk.Edit{desk.Put(aDay("d9", "harbor", "anna", "2026-11-21"))}})
	if !errors.Is(err, desk.ErrConflict) || !strings.Contains(err.Error(), "begun this day already") {
		t.Errorf("a second record of one day: %v", err)
	}
	player := must(s.Player(ctx, "ben"))(t)
	if _, err := s.Commit(ctx, desk.Change{Edits: []desk.Edit{desk.Delete(player)}}); !errors.Is(err, desk.ErrInUse) || !strings.Contains(err.Error(), "days of practice") {
		t.Errorf("a player with days of practice is removed: %v", err)
	}
}
