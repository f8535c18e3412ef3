package breath

import (
	"strings"
	"testing"

	"waterkey/player"
	"waterkey/score"
	"waterkey/score/scoretest"
)

// at reads a text through at a tempo.
func at(t testing.TB, bpm float64, text string) *score.Performance {
	t.Helper()
	pf, err := scoretest.Part(t, common, bpm, text).ReadThrough(tempo)
	if err != nil {
		t.Fatal(err)
	}
	return pf
}

// afters are the notes that a plan breathes after.
func afters(b *Breathing) []int {
	out := []int{}
	for _, br := range b.Breaths {
		out = append(out, br.After)
	}
	return out
}

// small is a player who needs a breath every few notes.
func small(vital float64) Options {
	l := player.UsualLungs(player.Second)
	l.Vital = vital
	return Options{Lungs: l}
}

// TestWhereABreathGoes: of two places, the one a teacher would take (common
// practice). Each line needs one breath.
func TestWhereABreathGoes(t *testing.T) {
	for _, c := range []struct {
		name, text string
		vital      float64
		want       int
	}{
		{"in the rest", "F3/4 G3/4 F3/4 G3/8 r/8 F3/4 G3/4 F3/4 G3/4", 1.9, 3},
		{"after the long note", "F3/4 G3/4 F3/2 F3/4 G3/4 F3/4 G3/4", 1.9, 2},
		{"where the slur ends", "F3/4( G3/4( F3/4( G3/4 F3/4( G3/4( F3/4( G3/4", 1.9, 3},
		{"at the breath mark", "F3/4 G3/4 F3/4, G3/4 F3/4 G3/4 F3/4 G3/4", 1.9, 2},
		{"after the leap", "F3/4 G3/4 F3/4 E3/4 D4/4 E4/4 D4/4 E4/4", 1.9, 3},
	} {
		b := solve(t, at(t, 72, c.text), small(c.vital))
		if got := afters(b); len(got) != 1 || got[0] != c.want {
			t.Errorf("%s: breaths after %v, want after %d", c.name, got, c.want)
		}
	}
}

// TestNeverUnlessNothingElse: each place is banned, and taken all the same when
// every other is forbidden.
func TestNeverUnlessNothingElse(t *testing.T) {
	for _, c := range []struct {
		name, text, rule string
		place            int
	}{
		{"slur", "F3/4 G3/4( F3/4 G3/4 F3/1", "slur", 1},
		{"leading tone", "C3/4 G3/4 B3/4 C4/4 F3/1", "leading tone", 2},
		{"minor leading tone", "C3/4 E3/4 G#3/4 A3/4 F3/1", "leading tone", 2},
		{"up-beat", "r/2 r/4 F3/4 Bb3/1 F3/1", "up-beat", 0},
	} {
		pf := at(t, 60, c.text)
		free := small(2)
		if b := solve(t, pf, free); contains(afters(b), c.place) {
			t.Errorf("%s: breathes there though it need not: %v", c.name, afters(b))
		}
		held := small(2)
		for i := 0; i+1 < len(pf.Notes); i++ {
			held.Pins = append(held.Pins, Pin{After: i, Forbid: i != c.place})
		}
		held.Pins = append(held.Pins[:c.place:c.place], held.Pins[c.place+1:]...)
		b := solve(t, pf, held)
		if !contains(afters(b), c.place) {
			t.Errorf("%s: %v, want a breath after note %d when nothing else lasts", c.name, afters(b), c.place)
			continue
		}
		if terms := b.Terms(0); !mentions(terms, c.rule) || !strings.Contains(b.Why(0), "nothing else lasts") || !strings.Contains(b.Parts(0), c.rule) {
			t.Errorf("%s: %v, %s", c.name, terms, b.Why(0))
		}
	}
}

func contains(all []int, n int) bool {
	for _, k := range all {
		if k == n {
			return true
		}
	}
	return false
}

func mentions(terms []Term, name string) bool {
	for _, term := range terms {
		if term.Name == name {
			return true
		}
	}
	return false
}

// TestTupletIsKept: inside a triplet the ban stands, on the beat it does not.
func TestTupletIsKept(t *testing.T) {
	part := scoretest.Part(t, common, 60, "F3/8 G3/8 A3/8 F3/8 G3/8 A3/8 F3/4")
	third := score.Frac(1, 12)
	for i := range 6 { // two eighth triplets
		n := &part.Notes[i]
		n.Onset, n.Duration = third.Scale(int64(i), 1), third
		n.Pieces[0].Onset, n.Pieces[0].Duration, n.Pieces[0].Tuplet = n.Onset, third, score.Ratio{Actual: 3, Normal: 2}
	}
	part.Notes[6].Onset = score.Frac(1, 2)
	part.Notes[6].Pieces[0].Onset = score.Frac(1, 2)
	pf, err := part.ReadThrough(tempo)
	if err != nil {
		t.Fatal(err)
	}
	g := solve(t, pf, Options{}).ground
	for i, want := range []bool{true, true, false, true, true, false} {
		if got := g.places[i].ban[tupletTerm] > 0; got != want {
			t.Errorf("after note %d: banned %v, want %v", i, got, want)
		}
	}
}

// TestRoomAndShortening: what a breath takes from the note before is said, and is no
// more than half of it.
func TestRoomAndShortening(t *testing.T) {
	// At 60 a tenuto half lasts 2 s and leaves no silence: all 0.35 s are taken.
	b := solve(t, at(t, 60, "F3/2- F3/2- F3/1-"), Options{Pins: []Pin{{After: 0}}})
	br := b.Breaths[0]
	if br.After != 0 || !br.Pinned || br.Shortened < 0.35-tiny || float64(br.Room-br.Shortened) > tiny {
		t.Errorf("%+v, want all room from the note", br)
	}
	// A sixteenth at 120 leaves no room at all: no place.
	g := solve(t, at(t, 120, "F3/16- F3/16- F3/8-"), Options{}).ground
	if len(g.places[0].breaths) != 0 {
		t.Errorf("room for a breath after a sixteenth: %+v", g.places[0].breaths)
	}
	// A rest with a full second is used as it is.
	b = solve(t, at(t, 60, "F3/1- r/4 F3/4-"), Options{})
	if len(b.Breaths) != 1 || b.Breaths[0].Kind != Full || b.Breaths[0].Shortened != 0 {
		t.Errorf("%+v, want a full breath in the rest", b.Breaths)
	}
}

// TestPins: both kinds hold, the later of two counts, and what cannot be is said.
func TestPins(t *testing.T) {
	pf := at(t, 72, "F3/4 G3/4 F3/4 G3/8 r/8 F3/4 G3/4 F3/4 G3/4~ A3/4")
	o := small(1.9)
	o.Pins = []Pin{{After: 3, Forbid: true}, {After: 1, Forbid: true}, {After: 1}}
	b := solve(t, pf, o)
	if got := afters(b); contains(got, 3) || !contains(got, 1) {
		t.Errorf("breaths after %v, want one after 1 and none after 3", got)
	}
	for _, c := range []struct {
		pin  Pin
		says string
	}{
		{Pin{After: -1}, "0 to 8"}, {Pin{After: 9}, "0 to 8"},
		{Pin{After: 8}, "the A3 in bar 3 is the part's last note; there is nothing to breathe for after it. The last place is after the G3 on beat 4 of bar 2"},
		{Pin{After: 8, Forbid: true}, "last note"},
		{Pin{After: 7}, "after the G3 on beat 4 of bar 2, which leads on as a glissando; breathe after the F3 on beat 3 of bar 2"},
	} {
		if _, err := Solve(pf, Options{Pins: []Pin{c.pin}}); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%+v: %v, want %q", c.pin, err, c.says)
		}
	}
}

// TestPrintedMarks are honored, and hints only when asked.
func TestPrintedMarks(t *testing.T) {
	pf := at(t, 72, "F3/4 G3/4, F3/4 G3/4")
	if b := solve(t, pf, Options{}); len(b.Breaths) != 1 || !b.Breaths[0].Printed || b.Breaths[0].After != 1 {
		t.Errorf("%+v, want the printed breath", b.Breaths)
	}
	if b := solve(t, pf, Options{IgnorePrinted: true}); len(b.Breaths) != 0 {
		t.Errorf("%+v, want none: the air lasts", b.Breaths)
	}
}

// TestRulesNameEveryTerm: each term is documented.
func TestRulesNameEveryTerm(t *testing.T) {
	seen := map[string]bool{}
	for _, r := range Rules() {
		if r.Name == "" || r.Says == "" || r.Amount == "" || r.Origin == "" || seen[r.Name] {
			t.Errorf("%+v", r)
		}
		seen[r.Name] = true
	}
	if len(seen) != allTerms {
		t.Errorf("%d rules for %d terms", len(seen), allTerms)
	}
}

// TestEdges: no notes, one note, grace notes.
func TestEdges(t *testing.T) {
	if b := solve(t, at(t, 60, "r/1"), Options{}); len(b.Breaths) != 0 || b.Cost != 0 || b.Low() != nil || len(b.Curve()) != 0 {
		t.Errorf("%+v for a rest", b)
	}
	if b := solve(t, at(t, 60, "F3/1"), Options{}); len(b.Breaths) != 0 || b.End >= b.Lungs.FullLiters() {
		t.Errorf("%+v for one note", b)
	}
	if _, err := Solve(at(t, 60, "F3/1"), Options{Lungs: player.Lungs{Vital: 4}}); err == nil {
		t.Error("lungs without shares are accepted")
	}
}
