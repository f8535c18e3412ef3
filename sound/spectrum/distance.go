package spectrum

import (
	"math"
	"slices"
)

// strong is how far below the strongest a partial may lie and still count in a
// distance, in dB (estimate: fainter ones are covered by their neighbors).
const strong = 40.0

// Distance is how far apart two notes are in sound: the RMS difference in dB of
// those partials that are strong in the first, the difference in level taken out
// (log-spectral distance over partials). A partial of the second that is missing or
// fainter than that counts as just that faint. Both are as [Partials] gives them;
// the first must not be empty.
func Distance(real, other []float64) float64 {
	top := slices.Max(real)
	var differences []float64
	sum := 0.0
	for i, db := range real {
		if db <= top-strong {
			continue
		}
		theirs := math.Inf(-1)
		if i < len(other) {
			theirs = other[i]
		}
		if len(other) > 0 {
			theirs = max(theirs, slices.Max(other)-strong)
		}
		differences = append(differences, db-theirs)
		sum += db - theirs
	}
	mean, square := sum/float64(len(differences)), 0.0
	for _, d := range differences {
		square += (d - mean) * (d - mean)
	}
	return math.Sqrt(square / float64(len(differences)))
}
