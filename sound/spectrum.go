package sound

import "math"

// The spectral envelope of a trombone tone, in dB over frequency: a first-order
// high-pass for what the bell radiates, times a roll-off that is straight in dB
// against frequency above a knee. Form and the three values were fitted to
// every second of 33 recorded mezzo-forte notes E2 to C5 (University of Iowa
// Musical Instrument Samples, tenor trombone; 2.9 dB RMS over all partials
// within 40 dB of the strongest).
const (
	bellHz     = 450.0 // Hz: 3 dB down below this
	kneeHz     = 300.0 // Hz
	rollOffDB  = 13.0  // dB per kHz at mezzo-forte
	brightenDB = 12.0  // dB more of level halve the roll-off (estimate)
)

// partialDB is the envelope at a frequency in Hz for a brightness in dB: the
// level of the tone when it is steady. The wave steepens in the tube as it grows
// (Fletcher and Tarnopolsky 1999), which lifts high partials more than low ones;
// the halving of the roll-off stands for that.
func partialDB(hz, brightness float64) float64 {
	bell := -10 * math.Log10(1+(bellHz/hz)*(bellHz/hz))
	slope := rollOffDB * math.Exp2(-brightness/brightenDB)
	return bell - slope*(math.Hypot(hz, kneeHz)-kneeHz)/1000
}

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
func partials(hz, brightness float64, rate int) []float64 {
	var amps []float64
	strongest := math.Inf(-1)
	for n := 1.0; n*hz < bandLimit*float64(rate); n++ {
		db := partialDB(n*hz, brightness)
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
func period(amps []float64) []float32 {
	sum, power := make([]float64, tableSize), 0.0
	for i, a := range amps {
		power += a * a / 2
		// Recurrence sin(p+w) = 2 cos(w) sin(p) - sin(p-w).
		n := float64(i + 1)
		w, p := 2*math.Pi*n/tableSize, chirp*n*n
		twice, before, now := 2*math.Cos(w), math.Sin(p-w), math.Sin(p)
		for k := range sum {
			sum[k] += a * now
			before, now = now, twice*now-before
		}
	}
	out := make([]float32, tableSize+1)
	if power > 0 {
		for k, s := range sum {
			out[k] = float32(s / math.Sqrt(power))
		}
	}
	out[tableSize] = out[0]
	return out
}
