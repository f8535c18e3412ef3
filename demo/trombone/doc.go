// Package trombone sings lines from recorded single notes of a real trombone.
//
// Each note of a [Bank] is read at a slightly varying speed so that its pitch is
// exactly steady (its own course is measured here, from the phase of its
// partials, by nothing that package hear uses). [Bank.Sing] splices such notes
// into a line: the note nearest in pitch, shifted by its speed, its sustained
// part looped without a seam; slurs as a step of pitch under a crossfade,
// glissandi as a glide.
//
// Conventions: times are in seconds from the start of the line. A tongued note
// starts at the first sample that reaches a fifth of the peak of its attack (the
// first 150 ms), and ends where its release passes half amplitude; a slurred one
// starts where its pitch is half way. Levels are in dB relative to mezzo-forte,
// which sounds at [SteadyLevel] RMS. Everything is at [Rate].
package trombone

import (
	"math"
	"slices"
)

// Rate is the sample rate of everything here, in Hz.
const Rate = 48000

// cents is the interval from b up to a.
func cents(a, b float64) float64 { return 1200 * math.Log2(a/b) }

// ratio is the frequency ratio of an interval in cents.
func ratio(c float64) float64 { return math.Exp2(c / 1200) }

// median of v, NaN for none; v is left as it is.
func median(v []float64) float64 {
	if len(v) == 0 {
		return math.NaN()
	}
	s := slices.Sorted(slices.Values(v))
	n := len(s)
	return s[(n-1)/2] + 0.5*(s[n/2]-s[(n-1)/2])
}
