package desk

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"waterkey/brass"
	"waterkey/demo"
	"waterkey/finding"
	"waterkey/hear"
	"waterkey/player"
	"waterkey/practice"
)

// planned prepares a part of the demo season and plans three weeks.
func planned(t *testing.T, file, horn string, level player.Level, takes func(*Prepared) []HeardTake) (*Prepared, *practice.Plan) {
	t.Helper()
	data, err := demo.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	in, err := brass.Named(horn)
	if err != nil {
		t.Fatal(err)
	}
	p, err := Prepare(Request{Path: file, Data: data, Horn: in, Level: level})
	if err != nil {
		t.Fatal(err)
	}
	var heard []HeardTake
	if takes != nil {
		heard = takes(p)
	}
	today := time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC)
	plan, err := p.Plan(practice.Terms{Today: today, By: today.AddDate(0, 0, 21), DaysPerWeek: practice.DefaultDays, Minutes: practice.DefaultMinutes}, heard, nil)
	if err != nil {
		t.Fatal(err)
	}
	return p, plan
}

// TestPlanTempos: the goal is the page's printed tempo, with a fermata left out,
// and no segment is said to be comfortable beyond what the slide allows.
func TestPlanTempos(t *testing.T) {
	tests := []struct {
		file, horn string
		goals      []float64 // printed: metronome marks of the page
	}{
		{"harbor-parade.musicxml", "tenor", []float64{96}},
		{"lantern-song.musicxml", "tenor-f", []float64{72}},
		{"iron-quay.musicxml", "bass", []float64{112, 76}},
	}
	for _, tt := range tests {
		p, plan := planned(t, tt.file, tt.horn, player.Advanced, nil)
		for _, s := range plan.Segments {
			if !slices.Contains(tt.goals, s.GoalBPM) {
				t.Errorf("%s, bars %v: the goal is %g, the page prints %v", tt.file, s.Bars, s.GoalBPM, tt.goals)
			}
			from, to := barNumbered(p.Part, s.Bars[0]), barNumbered(p.Part, s.Bars[1])
			c, err := p.comfort(from, to, player.Advanced.Arm())
			if err != nil {
				continue // a slurred move that no tempo makes comfortable sets no limit
			}
			if limit := c.BPM * s.GoalBPM / p.beatBPM(from, 0); c.Hardest != "" && s.NowBPM > limit+0.1 {
				t.Errorf("%s, bars %v: %g now, the slide allows %g", tt.file, s.Bars, s.NowBPM, limit)
			}
		}
	}
}

// TestArm: between quarter notes an advanced player goes from first to seventh at ease
// up to about 100, a beginner up to less than 50 (common practice, no source).
func TestArm(t *testing.T) {
	in, err := brass.Named("tenor")
	if err != nil {
		t.Fatal(err)
	}
	text := "X:1\nT:Far\nM:4/4\nL:1/4\nQ:1/4=80\nK:C clef=bass\n_B,,=B,,_B,,=B,,|_B,,4|]\n"
	at := map[player.Level]float64{}
	for _, level := range []player.Level{player.First, player.Advanced} {
		p, err := Prepare(Request{Path: "far.abc", Data: []byte(text), Horn: in, Level: level})
		if err != nil {
			t.Fatal(err)
		}
		c, err := p.comfort(0, 0, level.Arm())
		if err != nil {
			t.Fatal(err)
		}
		at[level] = c.BPM
	}
	if a := at[player.Advanced]; a < 90 || a > 110 {
		t.Errorf("an advanced player is at ease up to %g", a)
	}
	if a := at[player.First]; a < 30 || a >= 50 {
		t.Errorf("a beginner is at ease up to %g", a)
	}
}

// TestPlanSlide: where the arm is the limit the plan says so, with the move.
func TestPlanSlide(t *testing.T) {
	in, err := brass.Named("tenor")
	if err != nil {
		t.Fatal(err)
	}
	text := "X:1\nT:Far\nM:4/4\nL:1/8\nQ:1/4=120\nK:C clef=bass\n_B,,=B,,_B,,=B,,_B,,=B,,_B,,=B,,|_B,,8|F,8|F,8|]\n"
	p, err := Prepare(Request{Path: "far.abc", Data: []byte(text), Horn: in, Level: player.Advanced})
	if err != nil {
		t.Fatal(err)
	}
	today := time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC)
	plan, err := p.Plan(practice.Terms{Today: today, By: today.AddDate(0, 0, 21), DaysPerWeek: 6, Minutes: 45}, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	if s := plan.Segments; len(s) == 0 || !strings.HasPrefix(s[0].NowFrom, "the slide, B♭2 to B2 in bar 1") && !strings.HasPrefix(s[0].NowFrom, "the slide, B2 to B♭2 in bar 1") || s[0].NowBPM >= 100 {
		t.Errorf("segments: %+v", s)
	}
}

// TestPlanValves: valve brass has no slide to wait for.
func TestPlanValves(t *testing.T) {
	_, plan := planned(t, "harbor-parade.musicxml", "euphonium", player.Third, nil)
	if len(plan.Segments) == 0 || len(plan.Days) != 19 {
		t.Errorf("%d segments, %d days", len(plan.Segments), len(plan.Days))
	}
}

// TestPlanAfterTakes: takes that were right at tempo retire places; the place that
// slips stays, at the tempo the take showed.
func TestPlanAfterTakes(t *testing.T) {
	const share = 0.97
	takes := func(p *Prepared) []HeardTake {
		var out []HeardTake
		for range 3 {
			take := &hear.Take{Findings: []finding.Finding{{Stage: finding.Notes, Kind: "missed-note", Bars: []string{"17", "17"}, Weight: 0.95}}}
			for _, n := range p.Played.Notes {
				w := p.Part.Notes[n.Note]
				take.Notes = append(take.Notes, hear.Note{ID: w.ID, State: hear.Played, Measures: &hear.Measures{Tempo: share * p.openingBPM()}})
			}
			out = append(out, HeardTake{"t.wav", take})
		}
		return out
	}
	_, plan := planned(t, "harbor-parade.musicxml", "tenor-f", player.Advanced, takes)
	for _, s := range plan.Segments {
		slipped := s.Core[0] == "14"
		switch {
		case slipped && (s.State != practice.Work || s.Right != 0 || math.Abs(s.NowBPM-96*share*0.85) > 0.1):
			t.Errorf("bars %v slipped: %s, %d in a row, %g now", s.Core, s.State, s.Right, s.NowBPM)
		case !slipped && s.State != practice.Retired:
			t.Errorf("bars %v were right three times and are %s", s.Core, s.State)
		}
	}
}
