package align

import (
	"math"

	"waterkey/hear/onset"
)

// Tempos that are tried, in seconds of the take for one of the page: from 1.75
// times as fast to half as fast as marked, a sixth apart.
const (
	fastest, slowest = 0.57, 2.2
	stretchStep      = 1.17
)

// maxTuning bounds the take's tuning in cents: A = 424 to 457 Hz.
const maxTuning = 65.0

// search runs over all starting tempos and tunings without a clock and returns
// the best path.
func (g *grid) search() result {
	best := result{score: math.Inf(-1)}
	for _, tuning := range tunings(g.notes, g.sounds) {
		for s := fastest; s < slowest; s *= stretchStep {
			if r := g.run(carried{stretch: s}, tuning, nil); r.score > best.score {
				best = r
			}
		}
	}
	return best
}

// tunings are the offsets from the reference, in cents, that put the sounds on
// semitones: the circular mean of their distance from the nearest semitone,
// and its neighbor a semitone away where that is in range.
func tunings(notes []note, sounds []onset.Sound) []float64 {
	base := 0.0 // where the page's semitones lie
	for _, n := range notes {
		if !math.IsNaN(n.cents) {
			base = n.cents
			break
		}
	}
	re, im := 0.0, 0.0
	for _, s := range sounds {
		a := 2 * math.Pi * (s.Cents - base) / 100
		w := min(s.End-s.Start, 1)
		re, im = re+w*math.Cos(a), im+w*math.Sin(a)
	}
	mean := 100 * math.Atan2(im, re) / (2 * math.Pi)
	var out []float64
	for _, t := range []float64{mean, mean - 100, mean + 100} {
		if math.Abs(t) <= maxTuning {
			out = append(out, t)
		}
	}
	return out
}

// Tolerances of time (estimates: a note is looked for within about a beat; the
// cost has half its bound one sigma away).
const (
	untimelyLoss  = 1.2  // bound of the cost of a wrong moment while the tempo is guessed
	undueLoss     = 1.8  // and when a clock says what is due
	sigmaFixed    = 0.06 // s
	sigmaShare    = 0.12 // of the time since the last matched note
	sigmaSpacing  = 0.15 // of the distance to the neighboring note, with a clock
	impossible    = 4.0  // cost of a moment that cannot be, in right notes
	wildStretch   = 2.0  // the time between two notes against the tempo carried
	windowFixed   = 0.35 // s around the due moment, with a clock
	windowSpacing = 1.0  // and so many times the spacing of the notes
)

// follow charges for a match at another moment than the path's tempo expects,
// and lets the tempo follow.
func (c *carried) follow(i int, take float64, g *grid) {
	if c.note < 0 {
		return
	}
	step := g.notes[i].start - g.notes[c.note].start
	expected := step * c.stretch
	passed := take - g.sounds[c.sound].Start
	c.score -= untimelyLoss * bounded((passed-expected)/(sigmaFixed+sigmaShare*expected))
	if ratio := (passed + sigmaFixed) / (expected + sigmaFixed); ratio > wildStretch || ratio < 1/wildStretch {
		c.score -= untimelyLoss
	}
	if expected <= 0 {
		return
	}
	// Long steps say more about the tempo than short ones.
	const (
		settle    = 1.2  // s (estimate)
		afterRest = 0.25 // a rest may be miscounted (estimate)
	)
	weight := expected / (expected + settle)
	if g.notes[i].start-g.notes[i-1].end >= restLeast {
		weight *= afterRest
	}
	c.stretch *= math.Exp(weight * math.Log(max(0.7, min(passed/expected, 1.4))))
	c.stretch = max(fastest*0.9, min(c.stretch, slowest*1.1))
}

// bounded is the weight of a deviation in sigmas: 0 for none, 1 for a large one.
func bounded(sigmas float64) float64 { return 1 - math.Exp(-sigmas*sigmas/2) }

// untimely is the cost of note i coming late by so many seconds.
func (g *grid) untimely(late float64, i int) float64 {
	gap := g.spacing(i)
	if math.Abs(late) > windowFixed+windowSpacing*gap {
		return impossible
	}
	return undueLoss * bounded(late/(sigmaFixed+sigmaSpacing*gap))
}

// spacing is the distance of note i to its nearer neighbor in seconds of the
// page, at most 2.
func (g *grid) spacing(i int) float64 {
	gap := 2.0
	if i > 0 {
		gap = min(gap, g.notes[i].start-g.notes[i-1].start)
	}
	if i+1 < len(g.notes) {
		gap = min(gap, g.notes[i+1].start-g.notes[i].start)
	}
	return max(gap, 0)
}
