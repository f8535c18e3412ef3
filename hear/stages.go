package hear

import (
	"fmt"
	"math"
	"strings"

	"waterkey/finding"
)

// Stages are the figures of one take by stage.
type Stages struct {
	Notes        NotesFigures        `json:"notes"`
	Rhythm       RhythmFigures       `json:"rhythm"`
	Articulation ArticulationFigures `json:"articulation"`
	Dynamics     DynamicsFigures     `json:"dynamics"`
	Choices      ChoicesFigures      `json:"choices"`
}

// NotesFigures say what sounds.
type NotesFigures struct {
	Notes    int     `json:"notes"` // on the page, as performed
	Played   int     `json:"played"`
	Missed   int     `json:"missed"`
	Wrong    int     `json:"wrong"`
	Split    int     `json:"split"`
	Extra    int     `json:"extra"`
	Spread   float64 `json:"cents_spread"` // standard deviation by the median distance from the take's own tuning
	TuningHz float64 `json:"tuning_hz"`
	Findings int     `json:"findings"`
}

// RhythmFigures say when.
type RhythmFigures struct {
	TempoBPM float64 `json:"tempo_bpm"`
	Spread   float64 `json:"late_spread_ms"`        // standard deviation by the median distance from the local beat
	Steady   float64 `json:"late_steady_spread_ms"` // the same from a steady beat
	Findings int     `json:"findings"`
}

// ArticulationFigures say how notes begin, last and join.
type ArticulationFigures struct {
	AttackMS float64 `json:"attack_ms"` // median of the tongued notes
	Findings int     `json:"findings"`
}

// DynamicsFigures say how loud.
type DynamicsFigures struct {
	RangeDB  float64 `json:"range_db"` // from the softest to the loudest passage
	Hairpins int     `json:"hairpins"` // heard at both ends
	Heard    int     `json:"hairpins_heard"`
	Findings int     `json:"findings"`
}

// ChoicesFigures say where the breaths are.
type ChoicesFigures struct {
	Breaths  int `json:"breaths"`
	Findings int `json:"findings"`
}

// stagesOf counts a take.
func stagesOf(t *Take) *Stages {
	s := &Stages{}
	s.Notes.Notes, s.Notes.Extra, s.Notes.TuningHz, s.Rhythm.TempoBPM = len(t.Notes), len(t.Extra), t.TuningHz, t.TempoBPM
	var cents, late, steady, attacks []float64
	for i := range t.Notes {
		n := &t.Notes[i]
		switch n.State {
		case Missed:
			s.Notes.Missed++
			continue
		case Other:
			s.Notes.Wrong++
			continue
		}
		s.Notes.Played++
		if n.Split {
			s.Notes.Split++
		}
		cents, late, steady = append(cents, n.CentsOwn), append(late, n.Late), append(steady, n.LateSteady)
		if n.Attack > 0 {
			attacks = append(attacks, n.Attack)
		}
	}
	s.Notes.Spread, s.Rhythm.Spread, s.Rhythm.Steady = spread(cents), spread(late), spread(steady)
	if len(attacks) > 0 {
		s.Articulation.AttackMS = middle(attacks)
	}
	s.Choices.Breaths = len(t.Breaths)
	s.levels(t)
	for _, f := range t.Findings {
		*s.count(f.Stage)++
	}
	return s
}

// levels counts what is heard of the dynamics.
func (s *Stages) levels(t *Take) {
	low, high := math.Inf(1), math.Inf(-1)
	for _, p := range t.Passages {
		low, high = min(low, p.LevelDB), max(high, p.LevelDB)
	}
	if len(t.Passages) > 0 {
		s.Dynamics.RangeDB = high - low
	}
	for _, h := range t.Hairpins {
		s.Dynamics.Hairpins++
		if h.Grow == (h.Change > 0) && math.Abs(h.Change) >= heardStep {
			s.Dynamics.Heard++
		}
	}
}

// count is where a stage's findings are counted.
func (s *Stages) count(stage finding.Stage) *int {
	return [...]*int{&s.Notes.Findings, &s.Rhythm.Findings, &s.Articulation.Findings, &s.Dynamics.Findings, &s.Choices.Findings}[stage]
}

// spread is a standard deviation around 0 by the median distance; 0 for nothing.
func spread(v []float64) float64 {
	const normal = 1.4826
	if len(v) == 0 {
		return 0
	}
	far := make([]float64, len(v))
	for i, x := range v {
		far[i] = math.Abs(x)
	}
	return normal * middle(far)
}

// Says is a stage of the take in a few words.
func (s *Stages) Says(stage finding.Stage) string {
	switch stage {
	case finding.Notes:
		return s.Notes.says()
	case finding.Rhythm:
		return fmt.Sprintf("%.1f beats a minute, onsets within %.0f ms of the beat, %s", s.Rhythm.TempoBPM, s.Rhythm.Spread, remarks(s.Rhythm.Findings))
	case finding.Articulation:
		return remarks(s.Articulation.Findings)
	case finding.Dynamics:
		text := fmt.Sprintf("%.0f dB from softest to loudest", s.Dynamics.RangeDB)
		if s.Dynamics.Hairpins > 0 {
			text += fmt.Sprintf(", %d of %s heard", s.Dynamics.Heard, plural(s.Dynamics.Hairpins, "hairpin"))
		}
		return text + ", " + remarks(s.Dynamics.Findings)
	}
	return plural(s.Choices.Breaths, "breath") + ", " + remarks(s.Choices.Findings)
}

func (n NotesFigures) says() string {
	parts := []string{fmt.Sprintf("%d of %d right", n.Played, n.Notes)}
	for _, c := range []struct {
		n    int
		what string
	}{{n.Missed, "missed"}, {n.Wrong, "wrong"}, {n.Split, "split"}, {n.Extra, "extra"}} {
		if c.n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", c.n, c.what))
		}
	}
	return strings.Join(append(parts, fmt.Sprintf("pitch within %.0f cents", n.Spread)), ", ")
}

// remarks counts findings.
func remarks(n int) string {
	if n == 0 {
		return "nothing to remark"
	}
	return plural(n, "remark")
}
