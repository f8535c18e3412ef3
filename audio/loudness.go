package audio

import "math"

// Constants of ITU-R BS.1770-4 (2015), "Algorithms to measure audio programme
// loudness and true-peak audio level".
const (
	loudnessOffset = -0.691 // dB: makes a 997 Hz sine at full scale in one channel read -3.01
	absoluteGate   = -70.0  // LUFS
	relativeGate   = -10.0  // LU below the loudness of what passes the absolute gate
	stepsPerSecond = 10     // blocks of 400 ms overlap by 75 %
	stepsPerBlock  = 4
	surroundWeight = 1.41 // left and right surround
)

// K-weighting as an analogue prototype, from which the standard's 48 kHz
// coefficients follow by the bilinear transform. The values are from memory;
// the test holds the result against the standard's printed coefficients.
const (
	shelfHz   = 1681.974450955533
	shelfDB   = 3.999843853973347
	shelfQ    = 0.7071752369554196
	shelfBand = 0.4996667741545416 // exponent of the gain at band's edge
	highHz    = 38.13547087602444
	highQ     = 0.5003270373238773
)

// biquad is a second-order filter in transposed direct form II; a0 is 1.
type biquad struct {
	b0, b1, b2, a1, a2 float64
}

// kWeighting returns the two filter stages for a sample rate in Hz.
func kWeighting(rate int) (shelf, high biquad) {
	k := math.Tan(math.Pi * shelfHz / float64(rate))
	top := math.Pow(10, shelfDB/20)
	band := math.Pow(top, shelfBand)
	a0 := 1 + k/shelfQ + k*k
	shelf = biquad{
		b0: (top + band*k/shelfQ + k*k) / a0,
		b1: 2 * (k*k - top) / a0,
		b2: (top - band*k/shelfQ + k*k) / a0,
		a1: 2 * (k*k - 1) / a0,
		a2: (1 - k/shelfQ + k*k) / a0,
	}
	k = math.Tan(math.Pi * highHz / float64(rate))
	a0 = 1 + k/highQ + k*k
	high = biquad{b0: 1, b1: -2, b2: 1, a1: 2 * (k*k - 1) / a0, a2: (1 - k/highQ + k*k) / a0}
	return shelf, high
}

// stepPowers is the weighted mean square of each full 100 ms, summed over the
// channels.
func stepPowers(c *Clip) []float64 {
	step := max(c.Rate/stepsPerSecond, 1)
	powers := make([]float64, c.Len()/step)
	s, h := kWeighting(c.Rate)
	for ch, x := range c.Channels {
		w := channelWeight(ch, len(c.Channels))
		if w == 0 {
			continue
		}
		var s1, s2, h1, h2 float64
		for i := range powers {
			sum := 0.0
			for _, v := range x[i*step : (i+1)*step] {
				u := s.b0*v + s1
				s1 = s.b1*v - s.a1*u + s2
				s2 = s.b2*v - s.a2*u
				y := u + h1
				h1 = h.b1*u - h.a1*y + h2
				h2 = u - h.a2*y
				sum += y * y
			}
			powers[i] += w * sum / float64(step)
		}
	}
	return powers
}

// channelWeight is the standard's weight. Six channels are taken as L, R, C,
// LFE, Ls, Rs; any other count as plain channels.
func channelWeight(ch, n int) float64 {
	switch {
	case n != 6 || ch < 3:
		return 1
	case ch == 3:
		return 0 // the low-frequency channel does not count
	}
	return surroundWeight
}

// Loudness is the integrated loudness of the clip in LUFS, gated. A clip with
// nothing above the gate, or shorter than one block of 400 ms, reads
// SilenceDB.
func Loudness(c *Clip) float64 {
	steps := stepPowers(c)
	var blocks []float64
	for i := 0; i+stepsPerBlock <= len(steps); i++ {
		sum := 0.0
		for _, p := range steps[i : i+stepsPerBlock] {
			sum += p
		}
		blocks = append(blocks, sum/stepsPerBlock)
	}
	ungated := gatedMean(blocks, absoluteGate)
	return gatedMean(blocks, max(absoluteGate, ungated+relativeGate))
}

// gatedMean is the loudness of the blocks above a gate in LUFS.
func gatedMean(blocks []float64, gate float64) float64 {
	sum, n := 0.0, 0
	for _, p := range blocks {
		if loudnessOffset+10*math.Log10(p) > gate {
			sum += p
			n++
		}
	}
	if n == 0 {
		return SilenceDB
	}
	return max(SilenceDB, loudnessOffset+10*math.Log10(sum/float64(n)))
}
