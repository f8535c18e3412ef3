package trial

import (
	"strings"
	"testing"
)

// quick are the few takes of the plain test: one clean with faults, one in
// a room.
func quick() []Case {
	return []Case{
		{Name: "clean", of: sketched(11), seed: 1, speed: 1.1, drift: 0.02, a4: 442, faults: true, breaths: true},
		{Name: "room of 0.5 s", Hard: true, of: sketched(13), seed: 2, speed: 0.9, drift: 0.02, a4: 436, room: 0.5},
	}
}

// Regression, with bounds wide enough for a change of method: the figures
// proper are printed by make bench.
func TestTheListenerHearsAFewRealTakes(t *testing.T) {
	r, err := Run(Options{Bank: sharedBank(t), Scores: sharedScores, Cases: quick()})
	if err != nil {
		t.Fatal(err)
	}
	const (
		leastF, leastStates = 0.85, 0.9
		mostLate, mostCents = 20.0, 2.5 // median, ms and cents
	)
	for _, o := range r.Each {
		f := o.Figures
		late, off := median(absolute(f.late)), median(absolute(f.cents))
		if !(f.onsets.f() > leastF && f.right.recall() > leastStates && late < mostLate && off < mostCents) {
			t.Errorf("%s: onset F %.3f, %.1f ms, %.2f cents, states %.3f: %v", o.Case, f.onsets.f(), late, off, f.right.recall(), f.Faults)
		}
	}
	var table strings.Builder
	if err := r.Write(&table); err != nil {
		t.Fatal(err)
	}
	for _, x := range rows {
		if !strings.Contains(table.String(), x.name) {
			t.Errorf("the table lacks %q", x.name)
		}
	}
}

// The same seed gives the same take, sample for sample.
func TestTakesAreTheSameEachTime(t *testing.T) {
	b := sharedBank(t)
	c := quick()[1]
	first, err := b.Render(c, sharedScores)
	if err != nil {
		t.Fatal(err)
	}
	second, err := b.Render(c, sharedScores)
	if err != nil {
		t.Fatal(err)
	}
	for i, v := range first.Clip.Channels[0] {
		if second.Clip.Channels[0][i] != v {
			t.Fatalf("sample %d differs", i)
		}
	}
}

func TestNoNotesIsSaidSo(t *testing.T) {
	if _, err := LoadBank(t.TempDir(), t.TempDir()); err != ErrNoNotes {
		t.Errorf("%v, want %v", err, ErrNoNotes)
	}
}
