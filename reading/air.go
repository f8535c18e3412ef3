package reading

import (
	"math"

	"waterkey/score"
)

// How long a full breath lasts. No measured flow for the trombone was found; these
// are estimates of an adult player, set between what is reported for trumpet and
// tuba (0.1 to 1 liter a second in usual playing: J. Wolfe, "Air speed", UNSW).
const (
	// breathLiters is the most that a full breath yields: from 87 to 14 percent of
	// the vital capacity (the ends of what eight professionals used: Fuks and
	// Sundberg, Med Probl Perform Art 14, 1999), the capacity taken as 4.5 liters
	// (estimate).
	breathLiters = (0.87 - 0.14) * 4.5
	// middleFlow is the flow at mezzo-forte on middleNote, in liters a second
	// (estimate).
	middleFlow = 0.25
	middleNote = 58 // B flat 3, MIDI number
	// The flow doubles for each octave down, and grows by levelFlow doublings for
	// each marking (estimates).
	levelFlow = 0.3
	// No flow is taken lower or higher than this, in liters a second (estimate).
	leastFlow, mostFlow = 0.1, 0.9
	// shortStretch is never called too long, however loud and low (seconds,
	// estimate).
	shortStretch = 6.0
	// clearly is how far the air must fall short, against a full breath, before a
	// stretch is called too long: the flow is not known better (estimate).
	clearly = 1.15
)

// flow is the air a note takes, in liters a second, by pitch and level (in steps of
// score.LevelStep).
func flow(midi int, level float64) float64 {
	mezzoForte, _ := score.LevelStep("mf")
	octavesDown := float64(middleNote-midi) / 12
	return min(max(middleFlow*math.Exp2(octavesDown+levelFlow*(level-mezzoForte)), leastFlow), mostFlow)
}

// air is the liters that note i of the page takes while it sounds.
func (l *line) air(i int) float64 {
	n := l.p.note(i)
	return l.p.seconds(i) * n.SoundedShare() * flow(n.Pitch.MIDI(), l.levels.At(n.Onset))
}

// breathSpan is playing between places to breathe, first and last note of the page.
type breathSpan struct {
	first, last int
	seconds     float64
	liters      float64
}

// lasts is for how many seconds a full breath would carry this kind of playing.
func (s breathSpan) lasts() float64 { return s.seconds * breathLiters / s.liters }

// tooLong says whether a full breath clearly does not carry the stretch.
func (s breathSpan) tooLong() bool {
	return s.seconds > shortStretch && s.liters > clearly*breathLiters
}

// breathSpans are the stretches of the page between the planned breaths. Each breath
// is taken to fill the lungs: a catch breath does not, but how far it falls short
// no page says.
func (l *line) breathSpans() []breathSpan {
	p := l.p
	var out []breathSpan
	s := breathSpan{}
	next := 0 // the breath to come
	for i := range p.notes() {
		s.liters += l.air(i)
		for next < len(p.Breaths) && p.Breaths[next].After < i {
			next++
		}
		if i < p.notes()-1 && (next == len(p.Breaths) || p.Breaths[next].After != i) {
			continue
		}
		s.last = i
		s.seconds = float64(p.Through.Notes[i].End - p.Through.Notes[s.first].Start)
		out = append(out, s)
		s = breathSpan{first: i + 1}
	}
	return out
}
