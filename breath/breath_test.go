package breath

import (
	"math"
	"testing"

	"waterkey/score"
	"waterkey/score/scoretest"
)

func perform(t *testing.T, bpm float64, text string) *score.Performance {
	t.Helper()
	pf, err := scoretest.Part(t, score.Meter{Beats: 4, Unit: 4}, bpm, text).ReadThrough(score.Tempo{})
	if err != nil {
		t.Fatal(err)
	}
	return pf
}

func TestRoomIsTheRestAndTheGapBeforeIt(t *testing.T) {
	// At 60 a quarter rest is one second; a staccato quarter leaves half a
	// second more (a staccato note sounds half its value: common practice).
	plan := Plan(perform(t, 60, "F3/2 Bb3/4' r/4 F3/1"))
	if len(plan) != 1 || plan[0].After != 1 || plan[0].Kind != Full || math.Abs(float64(plan[0].Room)-1.5) > 1e-9 {
		t.Errorf("%+v, want one full breath with 1.5 s after the second note", plan)
	}
}

func TestPrintedMarkAlwaysCounts(t *testing.T) {
	plan := Plan(perform(t, 60, "F3/4-, Bb3/4- F3/2-"))
	if len(plan) != 1 || !plan[0].Printed || plan[0].Kind != Catch || math.Abs(float64(plan[0].Room)-1.0/3) > 1e-9 {
		t.Errorf("%+v, want a printed catch breath with a third of a second", plan)
	}
}

func TestNoCatchBreathOnFullLungs(t *testing.T) {
	// Quarter rests of half a second every second: only those three seconds
	// or more after the last breath are taken.
	pf := perform(t, 120, "F3/4- r/4 F3/4- r/4 F3/4- r/4 F3/4- r/4 F3/4- r/4 F3/4- r/4 F3/4- r/4 F3/4- r/4")
	plan := Plan(pf)
	if len(plan) == 0 {
		t.Fatal("no breath in eight seconds of rests")
	}
	last := score.Seconds(0)
	for _, b := range plan {
		if pf.Notes[b.After].End-last < 3 {
			t.Errorf("a catch breath %.2f s after the last", pf.Notes[b.After].End-last)
		}
		last = pf.Notes[b.After+1].Start
	}
}
