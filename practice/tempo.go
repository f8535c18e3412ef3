package practice

import (
	"fmt"
	"math"

	"waterkey/player"
)

// metronome are the tempos of a clockwork metronome, beats a minute (common
// practice: the scale engraved on them for two centuries; from memory).
var metronome = []float64{40, 42, 44, 46, 48, 50, 52, 54, 56, 58, 60, 63, 66, 69, 72, 76, 80, 84, 88, 92, 96, 100, 104, 108, 112, 116, 120,
	126, 132, 138, 144, 152, 160, 168, 176, 184, 192, 200, 208}

// onScale is the fastest tempo of a metronome that is not above bpm; below and
// above its scale the whole number.
func onScale(bpm float64) float64 {
	if bpm < metronome[0] || bpm >= metronome[len(metronome)-1]+8 {
		return max(math.Floor(bpm), 1)
	}
	best := metronome[0]
	for _, t := range metronome {
		if t <= bpm {
			best = t
		}
	}
	return best
}

// slower is what a place that is sure to go wrong takes off the goal tempo at the
// first try, by level; one of weight w takes off w times that (estimates).
var slower = map[player.Level]float64{player.First: 0.6, player.Second: 0.5, player.Third: 0.45, player.Advanced: 0.35, player.Professional: 0.25}

const (
	// nearGoal is the fastest slow tempo, as a share of the goal: closer, and the
	// two can hardly be told apart (estimate).
	nearGoal = 0.9
	// longNotes is from how many seconds a note on slower is no easier: what is hard
	// there is to hold it (estimate).
	longNotes = 0.6
	// slowest is the slowest share of the goal that still is the same music
	// (estimate).
	slowest = 0.4
)

// setTempo says how fast a segment is comfortable now: no faster than the slide
// allows and the takes showed; before any take an estimate from its weight. Where all
// notes are long it stands at the goal from the start.
func (m Material) setTempo(s *Segment, shown float64, take string) {
	if shown == 0 && m.long(s.span) {
		s.NowBPM, s.NowFrom = s.GoalBPM, "its notes are long, and slower they ask for more breath"
		return
	}
	drop, ok := slower[m.Level]
	if !ok {
		drop = slower[player.DefaultLevel]
	}
	s.NowBPM, s.NowFrom = s.GoalBPM*(1-drop*s.Weight), fmt.Sprintf("an estimate for level %d", m.level())
	if shown > 0 {
		s.NowBPM, s.NowFrom = s.GoalBPM*shown, take
	}
	if m.Comfort != nil {
		if bpm, hardest, ok := m.Comfort(s.span); ok && bpm < s.NowBPM {
			s.NowBPM, s.NowFrom = bpm, "the slide"
			if hardest != "" {
				s.NowFrom += ", " + hardest
			}
		}
	}
	s.NowBPM = round1(min(s.NowBPM, s.GoalBPM))
}

// long says whether no note of a stretch is quick.
func (m Material) long(s Span) bool {
	known := false
	for _, b := range m.Bars[s.From : s.To+1] {
		if b.Quick > 0 && b.Quick < longNotes {
			return false
		}
		known = known || b.Quick > 0
	}
	return known
}

func (m Material) level() player.Level {
	if m.Level == 0 {
		return player.DefaultLevel
	}
	return m.Level
}

// slow is the slow tempo of a segment on its way: way is 0 at the first visit and
// 1 when it is as near to the goal as a slow tempo comes. It stands on the scale of a
// metronome.
func (s *Segment) slow(way float64) float64 {
	if s.NowBPM >= s.GoalBPM {
		return s.GoalBPM
	}
	from, to := max(s.NowBPM, slowest*s.GoalBPM), nearGoal*s.GoalBPM
	return onScale(min(from+way*max(to-from, 0), to))
}

func round1(x float64) float64 { return math.Round(x*10) / 10 }
func round2(x float64) float64 { return math.Round(x*100) / 100 }
