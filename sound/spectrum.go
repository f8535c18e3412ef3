package sound

import (
	"math"
	"math/cmplx"

	"waterkey/audio/fourier"
)

const (
	tableSize = 4096 // samples of one period: 10 for the 400th partial, of which only some 60 are strong
	// faintDB below the strongest partial is not heard any more (estimate).
	faintDB = -100.0
	// bandLimit is the highest partial as a share of the sample rate. Half
	// would be Nyquist's; a table also serves tones up to a semitone higher.
	bandLimit = 0.47
	// chirp spreads the partials over the period: partial n starts at the
	// phase chirp*n*n, in radians. Found by search over E1 to F5, pp to fff,
	// for the lowest ratio of peak to RMS: 6.6 dB, against 18 dB in phase.
	chirp = 2.22
)

// partials lists the amplitudes of the partials of hz, the first at index 0.
// The list is empty when even the fundamental is above the limit.
func (t *Timbre) partials(hz, brightness float64, rate int) []float64 {
	var amps []float64
	strongest := math.Inf(-1)
	for n := 1; float64(n)*hz < bandLimit*float64(rate) && n < tableSize/2; n++ {
		db := t.partialDB(n, hz, brightness)
		strongest = max(strongest, db)
		if db < strongest+faintDB {
			break
		}
		amps = append(amps, math.Pow(10, db/20))
	}
	return amps
}

// period sums the partials to one period with an RMS of 1, and repeats its first
// sample at the end for interpolation. The phase of a partial depends on its
// number alone.
func period(amps []float64, plan *fourier.Real) []float32 {
	lines, power := make([]complex128, tableSize/2+1), 0.0
	for i, a := range amps {
		power += a * a / 2
		n := float64(i + 1)
		lines[i+1] = cmplx.Rect(a*tableSize/2, chirp*n*n-math.Pi/2)
	}
	sum := make([]float64, tableSize)
	plan.Inverse(sum, lines)
	out := make([]float32, tableSize+1)
	if power > 0 {
		for k, s := range sum {
			out[k] = float32(s / math.Sqrt(power))
		}
	}
	out[tableSize] = out[0]
	return out
}
