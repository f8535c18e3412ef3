package trial

import (
	"math"
	"slices"
	"testing"

	"waterkey/hear"
	"waterkey/score"
)

// perfect is what a listener without fault would say of a take.
func perfect(take *Take) *hear.Take {
	t := &hear.Take{TuningHz: take.A4, TempoBPM: take.BPM}
	for i, truth := range take.Notes {
		w, played := take.Page.Written(i), take.Page.Notes[i]
		n := hear.Note{ID: w.ID, Pass: played.Pass, Pitch: w.Pitch.String(), State: truth.State}
		if truth.State != hear.Missed {
			n.Heard = named(truth.Hz, take.A4)
			n.Measures = &hear.Measures{
				Onset: truth.Start, Offset: truth.End, Cents: cents(truth.Hz, w.Pitch.Hz(440)),
				LengthRatio: (truth.End - truth.Start) / truth.Value, Split: truth.Split,
			}
			if truth.Breath == breathing {
				t.Breaths = append(t.Breaths, hear.Breath{After: w.ID, At: truth.End})
			}
		}
		t.Notes = append(t.Notes, n)
	}
	for _, e := range take.Extra {
		t.Extra = append(t.Extra, hear.Extra{Onset: e.Start, Offset: e.End, Pitch: named(e.Hz, take.A4)})
	}
	return t
}

// named is the pitch nearest to hz.
func named(hz, a4 float64) string {
	return score.PitchFromMIDI(int(math.Round(69 + cents(hz, a4)/100))).String()
}

// planned is a take without its sound.
func planned(t *testing.T, c Case) *Take {
	t.Helper()
	part, err := c.of.part(sharedScores)
	if err != nil {
		t.Skip("shared data not here: ", err)
	}
	pf, err := part.Perform(score.Tempo{})
	if err != nil {
		t.Fatal(err)
	}
	p := newPlanner(c, pf)
	p.plan()
	return p.take(nil)
}

// A listener that says the truth gets the best figures in every case of the
// grid.
func TestTheTruthIsJudgedPerfect(t *testing.T) {
	var all Figures
	for _, c := range Cases() {
		take := planned(t, c)
		f := judge(take, perfect(take))
		for name, c := range map[string]counts{"onsets": f.onsets, "notes": f.notes, "ends": f.ended, "states": {f.right.hits, f.right.truth, f.right.truth},
			"wrong": f.wrong, "missed": f.missed, "split": f.split, "extra": f.extra, "breaths": f.breaths} {
			if c.hits != c.truth || c.hits != c.found {
				t.Errorf("%s: %s %+v, want all", take.Case, name, c)
			}
		}
		for _, v := range [][]float64{f.late, f.cents, f.lengths, f.tempo, f.tuning} {
			if worst := quantile(absolute(v), 1); worst > 1e-6 {
				t.Errorf("%s: an error of %g where there is none", take.Case, worst)
			}
		}
		if len(f.Faults) > 0 {
			t.Errorf("%s: %s", take.Case, f.Faults)
		}
		all.add(f)
	}
	const least = 20 // planted in all, or precision and recall say nothing
	for name, c := range map[string]counts{"wrong": all.wrong, "missed": all.missed, "split": all.split, "extra": all.extra, "breaths": all.breaths} {
		if c.truth < least {
			t.Errorf("%d %s in all, want %d", c.truth, name, least)
		}
	}
	t.Logf("%d notes, %d takes", all.right.truth, all.Takes)
}

// By hand: what each mistake of a listener costs.
func TestMistakesCost(t *testing.T) {
	take := planned(t, Case{of: sketched(12), seed: 3, speed: 1, a4: 440})
	n := len(take.Notes)
	k := slices.IndexFunc(take.Notes, func(t Truth) bool { return t.Steady }) + 1
	for _, c := range []struct {
		name  string
		spoil func(h *hear.Take)
		check func(f Figures) bool
	}{
		{"a note 60 ms late", func(h *hear.Take) { h.Notes[k].Onset += 0.06 },
			func(f Figures) bool {
				return f.onsets == counts{n - 1, n, n} && f.right.hits == n && len(f.Faults) == 1
			}},
		{"a note not heard", func(h *hear.Take) { h.Notes[k].State, h.Notes[k].Measures = hear.Missed, nil },
			func(f Figures) bool {
				return f.onsets == counts{n - 1, n, n - 1} && f.right.hits == n-1 && f.missed == counts{0, 0, 1}
			}},
		{"a note left out of the answer", func(h *hear.Take) { h.Notes = slices.Delete(h.Notes, k, k+1) },
			func(f Figures) bool { return f.right.hits == n-1 && f.missed.found == 1 }},
		{"a right note called wrong", func(h *hear.Take) { h.Notes[k].State = hear.Other },
			func(f Figures) bool { return f.right.hits == n-1 && f.wrong == counts{0, 0, 1} && f.onsets.hits == n }},
		{"a split that is none", func(h *hear.Take) { h.Notes[k].Split = true },
			func(f Figures) bool { return f.split == counts{0, 0, 1} && f.right.hits == n }},
		{"60 cents off", func(h *hear.Take) { h.Notes[0].Cents += 60 },
			func(f Figures) bool { return f.notes == counts{n - 1, n, n} && f.onsets.hits == n }},
		{"an extra note that is none", func(h *hear.Take) { h.Extra = append(h.Extra, hear.Extra{Onset: 0.1, Offset: 0.3, Pitch: "C3"}) },
			func(f Figures) bool { return f.extra == counts{0, 0, 1} && f.onsets == counts{n, n, n + 1} }},
		{"tempo and tuning", func(h *hear.Take) { h.TempoBPM *= 1.02; h.TuningHz *= ratio(5) },
			func(f Figures) bool { return math.Abs(f.tempo[0]-0.02) < 1e-9 && math.Abs(f.tuning[0]-5) < 1e-9 }},
	} {
		h := perfect(take)
		c.spoil(h)
		if f := judge(take, h); !c.check(f) {
			t.Errorf("%s: %+v", c.name, f)
		}
	}
	if f := judge(take, nil); f.Refused != 1 || f.onsets != (counts{0, n, 0}) || f.right.hits != 0 {
		t.Errorf("a refused take: %+v", f)
	}
}
