package onset

import (
	"math"

	"waterkey/hear/pitch"
)

// Where an attack begins, once it is known that there is one. The moment is the
// first sample that reaches a share of the attack's peak: a wave rises steeply
// there and rarely before, so that the moment hardly depends on how the note
// goes on. What still sounds of the note before has to be exceeded too.
const (
	attackShare = 0.2  // of the peak (the convention by which takes with known truth are cut too)
	attackLong  = 0.15 // s in which the attack has its peak (same)
	restShare   = 1.25 // of the peak of what still sounds before
	mostShare   = 0.7  // of the peak, however loud that is
	restBefore  = 0.012
	restAfter   = 0.004 // s around the low point: what still sounds there

	// Shares of the peak between which the steepness of an attack is taken.
	lowShare, highShare = 0.1, 0.4
)

// Uncertainty of an onset in seconds, standard deviation (estimates, checked on
// recorded notes with a known start).
const (
	leastDoubt  = 0.002
	steepDoubt  = 0.25 // of the time that an attack takes from lowShare to highShare
	noiseDoubt  = 0.3  // of what still sounds before, over the slope
	pitchDoubt  = 0.5  // of the time that the pitch takes through the middle half of its step
	coarseDoubt = 0.02 // where nothing but the level of frames says when
)

const samplesPerFrame = pitch.Hop * pitch.Rate

// refine moves a rise to the sample neighborhood: the attack begins after the
// low frame, and the next cut is not before the limit, in frames.
func refine(x []float64, c *cut, low, limit float64) {
	from := int(low * samplesPerFrame)
	to := min(int(math.Min(limit, c.at+attackLong/pitch.Hop)*samplesPerFrame), len(x))
	rest := peak(x, from-int(restBefore*pitch.Rate), from+int(restAfter*pitch.Rate))
	top := peak(x, int(c.at*samplesPerFrame), to)
	if top <= 0 {
		return
	}
	level := min(max(attackShare*top, restShare*rest), mostShare*top)
	at := firstAbove(x, from, to, level)
	if at < 0 {
		return
	}
	c.at = float64(at) / samplesPerFrame
	share := level / top
	a := firstAbove(x, from, to, share*lowShare/attackShare*top)
	b := firstAbove(x, from, to, min(share*highShare/attackShare, 0.9)*top)
	if b < 0 {
		b = to
	}
	climb := max(float64(b-a)/pitch.Rate, 1.0/pitch.Rate)
	slope := (highShare - lowShare) * top / climb
	c.doubt = math.Sqrt(leastDoubt*leastDoubt + steepDoubt*climb*steepDoubt*climb + math.Pow(noiseDoubt*rest/slope, 2))
}

// peak is the largest magnitude in x from a to b.
func peak(x []float64, a, b int) float64 {
	top := 0.0
	for _, v := range x[min(max(a, 0), len(x)):max(min(b, len(x)), min(max(a, 0), len(x)))] {
		top = max(top, math.Abs(v))
	}
	return top
}

// firstAbove is the first sample from a to b that reaches a level, -1 for none.
func firstAbove(x []float64, a, b int, level float64) int {
	for i := max(a, 0); i < b; i++ {
		if math.Abs(x[i]) >= level {
			return i
		}
	}
	return -1
}
