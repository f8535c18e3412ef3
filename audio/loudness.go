package audio

import (
	"math"
	"slices"
)

// Constants of ITU-R BS.1770-4 (2015), "Algorithms to measure audio programme
// loudness and true-peak audio level", and of EBU Tech 3341 (2023) and Tech
// 3342 (2023).
const (
	loudnessOffset = -0.691 // dB: makes a 997 Hz sine at full scale in one channel read -3.01
	absoluteGate   = -70.0  // LUFS
	relativeGate   = -10.0  // LU below the loudness of what passes the absolute gate
	rangeGate      = -20.0  // LU, the same for the loudness range
	rangeLow       = 0.10   // quantiles between which the range lies
	rangeHigh      = 0.95
	surroundWeight = 1.41 // left and right surround

	// stepsPerSecond is how often the sliding windows are read: every 10 ms, so
	// that a window is never more than 5 ms away from where it would read most.
	stepsPerSecond = 100
	momentarySteps = 40  // 400 ms
	shortSteps     = 300 // 3 s
	blockSteps     = 10  // gating blocks overlap by 75 %
)

// channelWeight is the standard's weight of a channel. Five channels are taken
// as L, R, C, Ls, Rs and six as L, R, C, LFE, Ls, Rs; any other count as plain
// channels.
func channelWeight(ch, n int) float64 {
	switch {
	case n == 6 && ch == 3:
		return 0 // the low-frequency channel does not count
	case (n == 5 || n == 6) && ch >= 3:
		return surroundWeight
	}
	return 1
}

// loudness gathers the weighted power of a recording in steps of 10 ms.
type loudness struct {
	ring             [shortSteps]float64
	steps            int
	sumM, sumS       float64   // over the last 400 ms and 3 s
	maxM, maxS       float64   // powers
	momentary, short []float64 // powers, ten a second
}

// add takes in the weighted mean square of the next step, summed over the
// channels.
func (l *loudness) add(power float64) {
	at := l.steps % shortSteps
	l.sumS += power - l.ring[at]
	l.sumM += power - l.ring[(l.steps+shortSteps-momentarySteps)%shortSteps]
	l.ring[at] = power
	l.steps++
	if l.steps >= momentarySteps {
		l.momentary = l.read(l.sumM/momentarySteps, &l.maxM, l.momentary)
	}
	if l.steps >= shortSteps {
		l.short = l.read(l.sumS/shortSteps, &l.maxS, l.short)
	}
}

// read keeps the maximum of a window's power, and the power itself ten times
// a second.
func (l *loudness) read(power float64, top *float64, kept []float64) []float64 {
	*top = max(*top, power)
	if l.steps%blockSteps == 0 {
		kept = append(kept, max(power, 0))
	}
	return kept
}

// lufs is the loudness of a power, not below SilenceDB.
func lufs(power float64) float64 {
	if power <= 0 {
		return SilenceDB
	}
	return max(SilenceDB, loudnessOffset+10*math.Log10(power))
}

// integrated is the gated loudness in LUFS; SilenceDB when nothing is above
// the gate, or all is shorter than a block of 400 ms.
func (l *loudness) integrated() float64 {
	return lufs(meanOf(gated(l.momentary, relativeGate)))
}

// spread is the loudness range in LU (Tech 3342, section 3), 0 for less than
// 3 s above the gate.
func (l *loudness) spread() float64 {
	p := gated(l.short, rangeGate)
	if len(p) == 0 {
		return 0
	}
	slices.Sort(p)
	quantile := func(share float64) float64 { return p[int(math.Round(share*float64(len(p)-1)))] }
	return lufs(quantile(rangeHigh)) - lufs(quantile(rangeLow))
}

// gated is the powers above the absolute gate and above the gate that lies
// relative LU below the mean of those.
func gated(powers []float64, relative float64) []float64 {
	loud := above(powers, absoluteGate)
	return above(loud, lufs(meanOf(loud))+relative)
}

func above(powers []float64, gate float64) []float64 {
	limit := math.Pow(10, (gate-loudnessOffset)/10)
	var out []float64
	for _, p := range powers {
		if p > limit {
			out = append(out, p)
		}
	}
	return out
}

func meanOf(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(max(len(x), 1))
}

// Loudness is the integrated loudness of the clip in LUFS, gated. A clip with
// nothing above the gate, or shorter than one block of 400 ms, reads
// SilenceDB.
func Loudness(c *Clip) float64 { return Measure(c).LoudnessLUFS }
