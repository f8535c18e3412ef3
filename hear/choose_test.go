package hear

import (
	"testing"

	"waterkey/finding"
)

// withFindings is a candidate whose take has played its notes and has these findings.
func withFindings(name string, fs ...finding.Finding) Candidate {
	t := &Take{Findings: fs}
	for range 40 {
		t.Notes = append(t.Notes, Note{State: Played, Pitch: "B♭3", Bar: "1", Measures: &Measures{}})
	}
	return Candidate{Name: name, Take: t}
}

// at is a finding of a weight at so many places.
func at(stage finding.Stage, weight float64, places int) finding.Finding {
	f := finding.Finding{Stage: stage, Kind: "late", Weight: weight, Bars: []string{"1", "1"}, Says: "It is."}
	for range places {
		f.Places = append(f.Places, []string{"1", "1"})
	}
	return f
}

// TestEarlierStagesCountMore: as much trouble in a later stage loses against the same in
// an earlier one, in the order of the stages; more of it wins again, and each place of a
// finding counts (the order is a coach's: common practice, no source).
func TestEarlierStagesCountMore(t *testing.T) {
	first := func(a, b Candidate) string {
		for _, s := range Choose([]Candidate{a, b}).Takes {
			if s.Rank == 1 {
				return s.File
			}
		}
		return ""
	}
	stages := finding.Stages()
	for i := 1; i < len(stages); i++ {
		earlier, later := withFindings("earlier", at(stages[i-1], 0.6, 1)), withFindings("later", at(stages[i], 0.6, 1))
		if got := first(earlier, later); got != "later" {
			t.Errorf("%s and %s alike: the %s trouble is in the better take", stages[i-1], stages[i], got)
		}
		if got := first(earlier, withFindings("later", at(stages[i], 0.6, 1), at(stages[i], 0.6, 1), at(stages[i], 0.6, 1))); got != "earlier" {
			t.Errorf("three times as much %s as %s: the %s trouble is in the better take", stages[i], stages[i-1], got)
		}
	}
	if got := first(withFindings("four", at(finding.Rhythm, 0.6, 4)), withFindings("one", at(finding.Rhythm, 0.6, 1))); got != "one" {
		t.Errorf("the take with trouble in %s places is the better one", got)
	}
}
