package desk

import (
	"cmp"
	"math"
	"slices"
	"time"

	"waterkey/audio"
	"waterkey/finding"
	"waterkey/hear"
)

// TakeSummary is what lists and trends show of a take. Distances are without sign:
// half of the notes lie nearer than the median, nine in ten nearer than the ninth
// tenth. A take that failed has no figures but those of the recording.
type TakeSummary struct {
	Failed string `json:"failed,omitempty"` // why it was not measured

	Notes  int `json:"notes"` // on the page, repeats included
	Played int `json:"played"`
	Missed int `json:"missed"`
	Other  int `json:"other"`
	Extra  int `json:"extra"`
	Split  int `json:"split"`

	TuningHz     float64 `json:"tuning_hz,omitempty"`
	TempoBPM     float64 `json:"tempo_bpm,omitempty"`
	MedianCents  float64 `json:"median_cents"` // from the take's own tuning
	TenthCents   float64 `json:"ninth_tenth_cents"`
	MedianLateMS float64 `json:"median_late_ms"` // from the take's own beat
	TenthLateMS  float64 `json:"ninth_tenth_late_ms"`
	Breaths      int     `json:"breaths"`

	// ByStage counts the findings of each stage and adds their weights.
	ByStage map[finding.Stage]StageSummary `json:"by_stage,omitempty"`
	First   string                         `json:"first,omitempty"` // what to fix first

	Seconds      float64 `json:"seconds,omitempty"`
	PeakDBFS     float64 `json:"peak_dbfs,omitempty"`
	LoudnessLUFS float64 `json:"loudness_lufs,omitempty"`
}

// StageSummary is how much there is to fix in a stage.
type StageSummary struct {
	Findings int     `json:"findings"`
	Weight   float64 `json:"weight"`
}

// summarize takes the figures of what was heard.
func summarize(t *hear.Take) TakeSummary {
	s := TakeSummary{Notes: len(t.Notes), Extra: len(t.Extra), Breaths: len(t.Breaths),
		TuningHz: round(t.TuningHz, 2), TempoBPM: round(t.TempoBPM, 2), ByStage: map[finding.Stage]StageSummary{}}
	var cents, late []float64
	for _, n := range t.Notes {
		switch n.State {
		case hear.Played:
			s.Played++
			cents, late = append(cents, math.Abs(n.CentsOwn)), append(late, math.Abs(n.Late))
		case hear.Missed:
			s.Missed++
		case hear.Other:
			s.Other++
		}
		if n.Measures != nil && n.Split {
			s.Split++
		}
	}
	s.MedianCents, s.TenthCents = quantile(cents, 0.5), quantile(cents, 0.9)
	s.MedianLateMS, s.TenthLateMS = quantile(late, 0.5), quantile(late, 0.9)
	for _, f := range t.Findings {
		st := s.ByStage[f.Stage]
		s.ByStage[f.Stage] = StageSummary{st.Findings + 1, round(st.Weight+f.Weight, 3)}
	}
	if len(t.Findings) > 0 {
		s.First = t.Findings[0].Says
	}
	return s
}

// fill adds the figures of the recording.
func (s *TakeSummary) fill(f *audio.Facts) {
	s.Seconds, s.PeakDBFS, s.LoudnessLUFS = round(f.Seconds, 2), round(f.PeakDBFS, 1), round(f.LoudnessLUFS, 1)
}

// quantile is the nearest-rank one, to a tenth; 0 of nothing.
func quantile(v []float64, share float64) float64 {
	if len(v) == 0 {
		return 0
	}
	v = slices.Sorted(slices.Values(v))
	return round(v[max(int(math.Ceil(share*float64(len(v)))), 1)-1], 1)
}

// TrendPoint is a take in a trend.
type TrendPoint struct {
	Take     ID          `json:"take"`
	Recorded time.Time   `json:"recorded"`
	Day      string      `json:"day"` // the player's, as 2026-11-25
	Chosen   bool        `json:"chosen,omitempty"`
	RuledOut bool        `json:"ruled_out,omitempty"`
	Summary  TakeSummary `json:"summary"`
}

// oldestFirst orders a trend.
func oldestFirst(a, b TrendPoint) int {
	return cmp.Or(a.Recorded.Compare(b.Recorded), cmp.Compare(a.Take, b.Take))
}
