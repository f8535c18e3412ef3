package desk_test

import (
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"waterkey/audio"
	"waterkey/demo"
	"waterkey/desk"
	"waterkey/hear"
)

// comparedTakes are three takes of the march and a recording of another part, in
// the order in which they were made.
func comparedTakes(t *testing.T) (files []string) {
	p := page(t)
	files = []string{
		desk.RenderedTake(t, p, "wrong.wav", desk.BothOf(desk.SharpD4, desk.WrongB3)),
		desk.RenderedTake(t, p, "clean.wav", desk.SharpD4),
		desk.RenderedTake(t, p, "early.wav", desk.EarlyBar(30)),
		desk.RenderedTake(t, p, "cut.wav", desk.NoFault),
	}
	cutShort(t, files[3])
	return files
}

// cutShort takes the last seconds off a recording.
func cutShort(t *testing.T, path string) {
	t.Helper()
	f := must(os.Open(path))(t)
	clip := must(audio.Decode(path, f))(t)
	f.Close()
	clip.Channels[0] = clip.Channels[0][:len(clip.Channels[0])-clip.Rate*160/100]
	out := must(os.Create(path))(t)
	defer out.Close()
	if err := audio.WriteWAV(out, clip); err != nil {
		t.Fatal(err)
	}
}

// The takes of a sheet come in the order and with the words of the same files: all
// that choosing needs is kept with a measure.
func TestComparingIsChoosingFromFiles(t *testing.T) {
	o := newDesk(t)
	files := comparedTakes(t)
	opened := must(o.Open(ctx, desk.SheetQuery{Sheet: o.sheet}))(t)
	want := must(opened.Prepared.Choose(files, hear.Options{}))(t)
	at := time.Date(2026, 11, 24, 17, 40, 0, 0, zone)
	names := map[string]string{}
	var ids []desk.ID
	for i, file := range files {
		take := o.take(file, at.Add(time.Duration(i)*time.Minute))
		ids, names[want.Takes[i].File] = append(ids, take.ID), "the take of 24 November, "+take.Recorded.Format("15:04")
	}
	got := must(o.CompareTakes(ctx, o.sheet))(t)
	if len(got.Takes) != len(files) || got.Waiting != 0 {
		t.Fatalf("%d takes, %d waiting; want %d and 0", len(got.Takes), got.Waiting, len(files))
	}
	for i, w := range want.Takes {
		g := got.Takes[w.Rank-1]
		if g.Take != ids[i] || g.Rank != w.Rank || g.Name != names[w.File] {
			t.Errorf("rank %d is %s (%s), want %s, %s", w.Rank, g.Take, g.Name, ids[i], w.File)
		}
		if diff := cmp.Diff(w.Stages, g.ByStage); diff != "" {
			t.Errorf("%s: file -, desk +\n%s", w.File, diff)
		}
		if diff := cmp.Diff(renamed(w.Because, names), g.Because); diff != "" {
			t.Errorf("%s: file -, desk +\n%s", w.File, diff)
		}
		if diff := cmp.Diff(w.RuledOut, g.RuledOut); diff != "" {
			t.Errorf("%s: file -, desk +\n%s", w.File, diff)
		}
	}
	if got.Send != ids[slices.IndexFunc(want.Takes, func(s hear.Standing) bool { return s.Rank == 1 })] {
		t.Errorf("send %q; the first is %s", got.Send, want.Send)
	}
	for _, pair := range [][2][]string{{want.Why, got.Why}, {want.Steady, got.Steady}, {want.Varies, got.Varies}} {
		if diff := cmp.Diff(renamed(pair[0], names), pair[1]); diff != "" {
			t.Errorf("file -, desk +\n%s", diff)
		}
	}
	if len(want.OneMore) != len(got.OneMore) || len(want.Steady) == 0 || len(want.Varies) == 0 {
		t.Errorf("one more: %+v, want %+v; steady %v, varies %v", got.OneMore, want.OneMore, want.Steady, want.Varies)
	}
}

// renamed puts the names of takes in place of those of files.
func renamed(texts []string, names map[string]string) []string {
	out := []string{}
	for _, text := range texts {
		for file, name := range names {
			text = strings.ReplaceAll(text, file, name)
		}
		if strings.HasPrefix(text, "the take") {
			text = "T" + text[1:]
		}
		out = append(out, strings.ReplaceAll(text, ". the take", ". The take"))
	}
	return out
}

// What the coach rules out stands last, with the coach's words first.
func TestTheCoachRulesATakeOut(t *testing.T) {
	o := newDesk(t)
	files := comparedTakes(t)[:3]
	at := time.Date(2026, 11, 24, 17, 42, 0, 0, zone)
	for i, file := range files {
		o.take(file, at.Add(time.Duration(i)*time.Hour))
	}
	before := must(o.CompareTakes(ctx, o.sheet))(t)
	best := must(o.Take(ctx, before.Send))(t)
	const door = "A door slams in bar 9."
	must(o.NoteTake(ctx, best.ID, best.Revision, []string{door}, ""))(t)
	after := must(o.CompareTakes(ctx, o.sheet))(t)
	last := after.Takes[len(after.Takes)-1]
	if last.Take != best.ID || !slices.Equal(last.RuledOut, []string{door}) || !slices.Equal(last.Because, []string{door}) {
		t.Errorf("last is %+v; want the best before, with the door", last)
	}
	if after.Send != before.Takes[1].Take {
		t.Errorf("send %s, want the second before, %s", after.Send, before.Takes[1].Take)
	}
	second := must(o.Take(ctx, after.Send))(t)
	must(o.NoteTake(ctx, second.ID, second.Revision, []string{door}, ""))(t)
	only := must(o.CompareTakes(ctx, o.sheet))(t)
	if want := "The take of 24 November, " + must(o.Take(ctx, only.Send))(t).Recorded.Format("15:04") + " is the only take that is not ruled out."; only.Why[0] != want {
		t.Errorf("%q, want %q", only.Why[0], want)
	}
}

// A take without a measure of the page as it stands waits.
func TestTakesThatAreNotMeasuredWait(t *testing.T) {
	o := newDesk(t)
	if c := must(o.CompareTakes(ctx, o.sheet))(t); len(c.Takes) != 0 || c.Send != "" || len(c.Why) != 0 || c.Waiting != 0 {
		t.Errorf("without takes: %+v", c)
	}
	files := comparedTakes(t)
	measured := o.take(files[0], o.clock)
	o.record(files[1], o.clock.Add(time.Minute))
	c := must(o.CompareTakes(ctx, o.sheet))(t)
	if c.Waiting != 1 || len(c.Takes) != 1 || c.Takes[0].Take != measured.ID {
		t.Errorf("%d wait, %d compared; want 1 and the measured one", c.Waiting, len(c.Takes))
	}
	must(o.SetMark(ctx, &desk.Mark{Sheet: o.sheet, Position: &desk.PositionPin{Where: "2", Way: "T1"}, Written: o.clock}, desk.SheetQuery{}))(t)
	if c = must(o.CompareTakes(ctx, o.sheet))(t); c.Waiting != 2 {
		t.Errorf("%d wait once the page has another mark, want 2", c.Waiting)
	}
	if _, err := o.CompareTakes(ctx, desk.Sheet{Part: "nowhere", Player: "ada"}); err == nil {
		t.Error("takes of no part are compared")
	}
}

// Two takes of one minute are told apart.
func TestNamesOfTakes(t *testing.T) {
	at := func(text string) *desk.Take {
		when := must(time.Parse(time.RFC3339Nano, text))(t)
		return &desk.Take{Head: desk.Head{ID: desk.ID(strings.ToLower(strings.NewReplacer(":", "", "+", "", ".", "").Replace(text)))}, Recorded: when}
	}
	tests := []struct {
		takes []*desk.Take
		want  []string
	}{
		{[]*desk.Take{at("2026-11-24T17:42:10+01:00")}, []string{"the take of 24 November, 17:42"}},
		{[]*desk.Take{at("2026-11-24T17:42:10+01:00"), at("2026-11-24T17:42:50+01:00"), at("2026-11-25T17:42:50+01:00")},
			[]string{"the take of 24 November, 17:42:10", "the take of 24 November, 17:42:50", "the take of 25 November, 17:42"}},
		{[]*desk.Take{at("2025-11-24T17:42:10+01:00"), at("2026-11-24T17:42:10+01:00")},
			[]string{"the take of 24 November 2025, 17:42:10", "the take of 24 November 2026, 17:42:10"}},
	}
	for _, tt := range tests {
		names := desk.TakeNames(tt.takes)
		var got []string
		for _, take := range tt.takes {
			got = append(got, names[take.ID])
		}
		if diff := cmp.Diff(tt.want, got); diff != "" {
			t.Error(diff)
		}
	}
}

// A recording of another part is last, with one reason and not two.
func TestAnotherPartIsComparedToo(t *testing.T) {
	o := newDesk(t)
	song := must(desk.Prepare(desk.Request{Path: "lantern-song.musicxml", Data: must(demo.Open("lantern-song.musicxml"))(t), Horn: must(o.Open(ctx, desk.SheetQuery{Sheet: o.sheet}))(t).Prepared.Path.Instrument}))(t)
	other := o.take(desk.RenderedTake(t, song, "song.wav", desk.NoFault), o.clock)
	good := o.take(desk.RenderedTake(t, page(t), "good.wav", desk.NoFault), o.clock.Add(time.Minute))
	c := must(o.CompareTakes(ctx, o.sheet))(t)
	last := c.Takes[1]
	if c.Send != good.ID || last.Take != other.ID || last.ByStage != nil || len(last.RuledOut) != 1 || !strings.HasPrefix(last.RuledOut[0], "It is no take of this part") {
		t.Errorf("send %s, last %+v", c.Send, last)
	}
}
