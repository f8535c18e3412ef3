package midi

import (
	"math"
	"path/filepath"
	"testing"

	"waterkey/score"
)

// Notes, onsets, keys and bars come back exactly, in the order they are
// played, and the tempo map to within a twentieth of a percent. Reference: the
// page itself, read from MusicXML.
func TestPagesComeBack(t *testing.T) {
	for _, path := range demoScores(t) {
		t.Run(filepath.Base(path), func(t *testing.T) { comesBack(t, path) })
	}
}

func TestRealPagesComeBack(t *testing.T) {
	for _, path := range sharedScores(t) {
		t.Run(filepath.Base(path), func(t *testing.T) { comesBack(t, path) })
	}
}

func comesBack(t *testing.T, path string) {
	pf := performance(t, path)
	p := only(t, written(t, pf))
	if len(p.Bars) != len(pf.Bars) || len(p.Notes) != len(pf.Notes) {
		t.Fatalf("%d bars and %d notes, want %d and %d", len(p.Bars), len(p.Notes), len(pf.Bars), len(pf.Notes))
	}
	for i, b := range pf.Bars {
		want := pf.Part.Bars[b.Bar]
		if got := p.Bars[i]; got.Start != b.At || got.Length != want.Length || got.Key.Fifths != want.Key.Fifths {
			t.Fatalf("bar at place %d: start %s, length %s, %d fifths, want %s, %s, %d", i,
				got.Start, got.Length, got.Key.Fifths, b.At, want.Length, want.Key.Fifths)
		}
	}
	for i, n := range pf.Notes {
		got, want := p.Notes[i], pf.Written(i)
		if got.Onset != n.At || got.Pitch.MIDI() != want.Pitch.MIDI() || got.Grace != want.Grace {
			t.Fatalf("note %d: %s at %s, grace %t, want %s at %s, %t", i,
				got.Pitch, got.Onset, got.Grace, want.Pitch, n.At, want.Grace)
		}
	}
	checkFilled(t, p)
	again, err := p.ReadThrough(score.Tempo{})
	if err != nil {
		t.Fatal(err)
	}
	// A fermata that does not hold one note or rest from start to end is left
	// out, and shortens the whole.
	const near = 0.001
	if off := math.Abs(float64(again.Length()/pf.Length()) - 1); off > near {
		t.Errorf("it lasts %.2f s, want %.2f", float64(again.Length()), float64(pf.Length()))
	}
}

// checkFilled checks that notes and rests fill every bar without gap or
// overlap, in values that can be written, and that every id is its own.
func checkFilled(t testing.TB, p *score.Part) {
	t.Helper()
	filled := make([]score.Time, len(p.Bars))
	ids := map[string]bool{}
	take := func(id string, bar int, from, length, value score.Time) {
		b := p.Bars[bar]
		if ids[id] || id == "" {
			t.Errorf("id %q is there twice", id)
		}
		ids[id] = true
		if from.Less(b.Start) || b.End().Less(from.Add(length)) {
			t.Errorf("%s: %s for %s is outside bar %s", id, from, length, b.Number)
		}
		if value.Sign() <= 0 && b.Length == b.Meter.Length() { // a bar cut short anywhere may hold anything
			t.Errorf("%s: a length of %s has no value", id, length)
		}
		filled[bar] = filled[bar].Add(length)
	}
	for _, n := range p.Notes {
		var sum score.Time
		for _, c := range n.Pieces {
			take(c.ID, c.Bar, c.Onset, c.Duration, c.Value)
			sum = sum.Add(c.Duration)
		}
		if sum != n.Duration {
			t.Errorf("%s: pieces sum to %s, want %s", n.ID, sum, n.Duration)
		}
	}
	for _, r := range p.Rests {
		take(r.ID, r.Bar, r.Onset, r.Duration, r.Value)
	}
	for i, b := range p.Bars {
		if filled[i] != b.Length {
			t.Errorf("bar %s holds %s, want %s", b.Number, filled[i], b.Length)
		}
	}
}

// What the page shows and the sound does not: durations and staccatos are
// guessed, and most come back. Measured on the real parts, with a floor under
// it; the staccatos under slurs of the cello part, which sound three quarters,
// and wedges on quarter notes, which sound a sixteenth, do not come back.
func TestDurationsOfRealPages(t *testing.T) {
	notes, durations, staccatos, marked := 0, 0, 0, 0
	for _, path := range sharedScores(t) {
		pf := performance(t, path)
		p := only(t, written(t, pf))
		for i, n := range pf.Notes {
			notes++
			if p.Notes[i].Duration == n.Duration {
				durations++
			}
			if w := pf.Written(i); w.Marks.Has(score.Staccato) {
				marked++
				if p.Notes[i].Marks.Has(score.Staccato) {
					staccatos++
				}
			}
		}
	}
	t.Logf("durations: %d of %d; staccatos: %d of %d", durations, notes, staccatos, marked)
	const floor = 0.93
	if float64(durations) < floor*float64(notes) {
		t.Errorf("%d of %d durations came back, want %.0f %%", durations, notes, 100*floor)
	}
}
