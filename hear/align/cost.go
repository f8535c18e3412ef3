package align

import (
	"math"

	"waterkey/hear/onset"
)

// What a path gains and pays, in units of one right note (estimates, tuned on
// synthesised takes with planted faults).
const (
	rightCents  = 60.0 // cents: nearer than this is the right note, tuned as the take is
	rightGain   = 0.4  // at once, and as the note's length is filled
	fillGain    = 0.6  // up to so much more
	fillShare   = 0.5  // of the written value is the full length: staccato
	farLoss     = 0.2  // of the gain, at rightCents
	wrongLoss   = 0.25 // another pitch at the right time, nearby
	wrongFar    = 0.15 // more at an octave's distance
	startGain   = 0.2  // the note begins at a plain cut
	octaveLoss  = 0.3  // a short sound one or two octaves below, taken for the note all the same
	missLoss    = 0.6
	graceMiss   = 0.3
	extraLoss   = 0.1
	extraLong   = 0.4  // more for a sound of extraFull seconds or longer
	extraFull   = 0.15 // s
	outsideLoss = 0.03 // a sound outside of all runs: count-in, talk
	againLoss   = 0.5  // a plain new attack inside a note
	shortNote   = 0.05 // s: so much of a note is always enough

	stopCost    = 1.6 // to stop; beginning anew costs more by its place
	noPauseCost = 1.0 // to begin anew without a silence before
	pauseFull   = 0.5 // s of silence after which that costs nothing
	lateBegin   = 0.6 // to begin with another note than the first
	earlyEnd    = 0.5 // to end with another note than the last
)

// goesOn says whether a sound can be more of note n.
func goesOn(n *note, s *onset.Sound, tuning float64) bool {
	const pause = 0.3 // s of silence that ends a note for good (estimate)
	return n.off(s.Cents, tuning) <= rightCents && s.Gap < pause
}

// filled is the share of a note's length that a sound of so many seconds fills.
func filled(n *note, seconds, stretch float64) float64 {
	return min(1, seconds/max(fillShare*stretch*(n.end-n.start), shortNote))
}

// matchGain is what sound s gives as note n, but for its length and its moment.
func matchGain(n *note, s *onset.Sound, tuning float64) (gain float64, right bool) {
	gain = startGain * max(plain(s.Rise), pitchStep(s))
	cents := n.meant(s, tuning)
	if cents != s.Cents {
		gain -= octaveLoss
	}
	off := n.off(cents, tuning)
	switch {
	case math.IsNaN(n.cents):
		return gain + rightGain, true // no pitch on the page: any will do
	case off <= rightCents:
		return gain + rightGain - farLoss*off*off/rightCents/rightCents, true
	case math.IsNaN(off):
		return gain - wrongLoss - wrongFar, false
	}
	return gain - wrongLoss - wrongFar*min(1, off/1200), false
}

// unclear is how short a sound is, in seconds, whose pitch a room can make to
// look octaves lower: two notes in one frame have a common subharmonic. No
// player slips so far for so short a time (estimate).
const unclear = 0.2

// meant is the pitch of a sound, in cents, as it counts for the note: one or two
// octaves higher than measured where the sound is short and that is right.
func (n *note) meant(s *onset.Sound, tuning float64) float64 {
	if s.End-s.Start > unclear || n.right(s.Cents, tuning) {
		return s.Cents
	}
	for _, up := range []float64{1200, 2400} {
		if n.right(s.Cents+up, tuning) {
			return s.Cents + up
		}
	}
	return s.Cents
}

// extraCost is what a sound costs that belongs to no note inside a run.
func extraCost(s *onset.Sound) float64 {
	return extraLoss + extraLong*min(1, (s.End-s.Start)/extraFull)
}

// beginAt is what it costs to begin anew with a sound, by the silence before it.
func beginAt(s *onset.Sound) float64 {
	return noPauseCost * (1 - min(1, s.Gap/pauseFull))
}

// missCost is what it costs to leave note n out.
func missCost(n *note) float64 {
	if n.grace {
		return graceMiss
	}
	return missLoss
}

// plain is how plainly a rise of so many dB is an attack, 0 to 1.
func plain(rise float64) float64 {
	const weak, sure = 3.0, 12.0 // dB (estimate: vibrato makes 3)
	return max(0, min((rise-weak)/(sure-weak), 1))
}

// pitchStep is how plainly a sound begins by its pitch, 0 to 1.
func pitchStep(s *onset.Sound) float64 { return min(math.Abs(s.Step)/100, 1) }

// Tempos that are looked for, in seconds of the take for one of the page: from
// 1.75 times as fast to half as fast as marked.
const fastest, slowest = 0.57, 2.2

// Tolerances of time (estimates: the cost has half its bound somewhat beyond
// one sigma).
const (
	untimelyLoss = 1.2  // bound of the cost of a wrong moment
	wildLoss     = 0.6  // more when it is off by twice the time itself
	sigmaFixed   = 0.05 // s
	sigmaShare   = 0.10 // of the time since the last matched note
	sigmaGrace   = 0.08 // s more for grace notes: when they come is up to the player
	wildStretch  = 2.0
)

// untimely is the cost of a note that comes after so many seconds instead of
// the expected ones. Graces have a wider sigma.
func untimely(passed, expected, loose float64) float64 {
	z := (passed - expected) / (sigmaFixed + loose + sigmaShare*math.Abs(expected))
	cost := untimelyLoss * bounded(z)
	if ratio := (passed + sigmaFixed) / (max(expected, 0) + sigmaFixed); ratio > wildStretch || ratio < 1/wildStretch {
		cost += wildLoss
	}
	return cost
}

// bounded is the weight of a deviation in sigmas: 0 for none, 1 for a large
// one. It is 1 - exp(-z²/2) with three terms of the exponential's series, which
// is ten times as fast.
func bounded(sigmas float64) float64 {
	u := sigmas * sigmas / 2
	return 1 - 1/(1+u*(1+u*(1.0/2+u/6)))
}

// pace is the tempo that a path carries along while none is known.
type pace struct {
	stretch float64 // seconds of the take for one of the page; 0 for not known yet
	steps   int     // it was read from
}

// follow is the cost of a step of so many seconds of the page, and the pace
// after it. A first step costs by how unlikely its tempo is.
func (p pace) follow(passed, step, loose float64, afterRest bool) (float64, pace) {
	const (
		widest = 0.35 // natural log: one sigma of a player's tempo against the mark (estimate)
		settle = 1.2  // s: longer steps say more about the tempo (estimate)
		rest   = 0.25 // weight of a step over a rest: it may be miscounted (estimate)
		most   = 1.4  // a step changes the tempo by no more
	)
	if p.stretch == 0 {
		if step <= 0 || passed <= 0 {
			return untimely(passed, step, loose), p
		}
		stretch := max(fastest*0.9, min(passed/step, slowest*1.1))
		cost := untimelyLoss*bounded(math.Log(stretch)/widest)/2 + untimely(passed, step*stretch, loose)
		return cost, pace{stretch, 1}
	}
	expected := step * p.stretch
	cost := untimely(passed, expected, loose)
	if expected <= 0 || passed <= 0 {
		return cost, p
	}
	weight := max(expected/(expected+settle), 1/float64(p.steps+1))
	if afterRest {
		weight *= rest
	}
	p.stretch *= math.Exp(weight * math.Log(max(1/most, min(passed/expected, most))))
	p.stretch = max(fastest*0.9, min(p.stretch, slowest*1.1))
	p.steps++
	return cost, p
}
