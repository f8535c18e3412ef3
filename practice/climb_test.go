package practice

import (
	"slices"
	"strings"
	"testing"

	"waterkey/finding"
	"waterkey/player"
)

// weeks are three of so many days of so many minutes.
func weeks(days, minutes int) Terms {
	t := terms()
	t.DaysPerWeek, t.Minutes = days, minutes
	return t
}

// slowOf are the slow tempos of a segment's first visits of each day, by phase, in order.
func slowOf(p *Plan, segment int) map[Phase][]float64 {
	out := map[Phase][]float64{}
	for _, d := range p.Days {
		for _, it := range d.Items {
			if it.Kind == Visit && it.segment == segment && it.round == 0 {
				out[d.Phase] = append(out[d.Phase], slices.Min(it.Tempos))
			}
		}
	}
	return out
}

// TestClimb: the slow tempo comes up from day to day and is near the goal when the takes
// begin; the day before is slow again (common practice, no source).
func TestClimb(t *testing.T) {
	for name, when := range map[string]Terms{"few minutes": weeks(6, 25), "many minutes": weeks(6, 60), "few days": weeks(3, 25)} {
		t.Run(name, func(t *testing.T) {
			m := march()
			if name == "few days" {
				m.Level = player.Second
			}
			p, err := Make(m, when)
			if err != nil {
				t.Fatal(err)
			}
			climbed := 0
			for i, s := range p.Segments {
				if s.State != Work {
					continue
				}
				slow := slowOf(p, i)
				up := slices.Concat(slow[Early], slow[Middle])
				if !slices.IsSorted(up) {
					t.Errorf("%s falls back: %v", s.Name, up)
				}
				for k := 1; k < len(up); k++ {
					if up[k] > 1.2*up[k-1] {
						t.Errorf("%s leaps: %v", s.Name, up)
					}
				}
				if n := len(up); n > 1 && up[n-1] > up[0] {
					climbed++
					if n > 3 && up[(n-1)/2] == up[n-1] {
						t.Errorf("%s is as fast half way as at the end: %v", s.Name, up)
					}
				}
				for _, bpm := range slow[Late] {
					if name == "few days" {
						break
					}
					if bpm < 0.85*s.GoalBPM { // a notch of the scale under nearGoal
						t.Errorf("%s: checked at %v of %v in the late days", s.Name, bpm, s.GoalBPM)
					}
				}
				for _, bpm := range slow[DayBefore] {
					if bpm > 0.85*s.GoalBPM {
						t.Errorf("%s: %v of %v is not slow on the day before", s.Name, bpm, s.GoalBPM)
					}
				}
			}
			if climbed < 3 {
				t.Errorf("%d segments come up", climbed)
			}
		})
	}
}

// TestRunsWaitForTheHardest: before the takes the whole part is run no faster than its
// hardest place goes slowly (common practice, no source).
func TestRunsWaitForTheHardest(t *testing.T) {
	m := march()
	m.Level = player.Second
	p, err := Make(m, weeks(4, 45))
	if err != nil {
		t.Fatal(err)
	}
	slow, runs := map[int]float64{}, 0
	for _, d := range p.Days {
		for _, it := range d.Items {
			switch {
			case it.Kind == Visit && it.round == 0:
				slow[it.segment] = slices.Min(it.Tempos)
			case it.Kind == Run && (d.Phase == Early || d.Phase == Middle):
				runs++
				for i, bpm := range slow {
					if it.BPM > 1.2*bpm {
						t.Errorf("%s: run at %v, %s was last met at %v", d.Date, it.BPM, p.Segments[i].Name, bpm)
					}
				}
			}
		}
	}
	if runs == 0 {
		t.Error("no runs")
	}
}

// TestClimbFromTakes: what a take shows today is where the climb begins, however often
// the place was met before.
func TestClimbFromTakes(t *testing.T) {
	m, when := march(), terms()
	before, err := Make(m, when)
	if err != nil {
		t.Fatal(err)
	}
	m.Past = before.Days[:8]
	when.Since, when.Today = when.Today, day(before.Days[8].Date)
	slip := finding.Finding{Stage: finding.Rhythm, Kind: "rushed", Weight: 0.8, Bars: []string{"18", "19"}, Says: "It rushes.", Do: "Count."}
	m.Takes = []Take{{Name: "take one", Share: slices.Repeat([]float64{0.5}, len(m.Bars)), Findings: []finding.Finding{slip}}}
	p, err := Make(m, when)
	if err != nil {
		t.Fatal(err)
	}
	for i, s := range p.Segments {
		if s.SlippedIn == "" {
			continue
		}
		slow := slowOf(p, i)
		if all := slices.Concat(slow[Early], slow[Middle]); len(all) == 0 || all[0] > onScale(s.NowBPM) {
			t.Errorf("%s stands at %v and begins at %v", s.Name, s.NowBPM, all)
		}
		if !slices.ContainsFunc(p.Days[0].Items, func(it Item) bool { return it.Kind == Visit && it.segment == i }) {
			t.Errorf("%s slipped in the last take and waits beyond %s", s.Name, p.Days[0].Date)
		}
		if way := newPlanner(m, when, p.Segments).way(8); way != 0 {
			t.Errorf("on the first day after a take %v of the way is behind", way)
		}
		return
	}
	t.Error("nothing slipped")
}

// TestSteep: a beginner with few days is told that the tempo may not be reached.
func TestSteep(t *testing.T) {
	says := func(days, minutes int, level player.Level) bool {
		m := march()
		m.Level = level
		p, err := Make(m, weeks(days, minutes))
		if err != nil {
			t.Fatal(err)
		}
		return slices.ContainsFunc(p.Remarks, func(r string) bool { return strings.HasPrefix(r, "The days are few for the tempo") })
	}
	if !says(2, 25, 2) {
		t.Error("two days a week at level 2: nothing is said of the tempo")
	}
	if says(6, 60, 5) {
		t.Error("six days a week at level 5: the days are called few")
	}
}
