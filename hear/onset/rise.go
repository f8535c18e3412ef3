package onset

import (
	"math"
	"slices"
)

// Rises of energy, in frames of 5 ms and dB (estimates, tuned on synthesised
// takes).
const (
	slopeReach  = 4   // the slope at a frame is taken over so many before and after
	valleyReach = 12  // how far back the low point of a rise is looked for
	peakReach   = 14  // how far on its high point
	dipReach    = 20  // how far back of the low point the level before is looked for
	leastSlope  = 0.8 // dB over the slope's reach
	leastRise   = 1.2 // dB from low to high point

	// onsetShare is how much of the rise in power has come when the note
	// begins: with the envelope's window this is about the start of an attack
	// of 10 to 40 ms.
	onsetShare = 0.12
)

// rises cuts at each local maximum of the envelope's slope.
func (s *scene) rises() []cut {
	n := len(s.env)
	slope := make([]float64, n)
	for i := range slope {
		slope[i] = s.env[min(i+slopeReach, n-1)] - s.env[max(i-slopeReach, 0)]
	}
	var cuts []cut
	for i, v := range slope {
		if v < leastSlope || v < slices.Max(slope[max(i-slopeReach, 0):min(i+slopeReach+1, n)]) {
			continue
		}
		if c, ok := s.riseAt(i); ok && (len(cuts) == 0 || c.at-cuts[len(cuts)-1].at > 1) {
			cuts = append(cuts, c)
		}
	}
	return cuts
}

// riseAt measures the rise around frame i.
func (s *scene) riseAt(i int) (cut, bool) {
	low := i
	for j := i; j >= max(i-valleyReach, 0) && s.env[j] <= s.env[low]+leastRise/2; j-- {
		if s.env[j] < s.env[low] {
			low = j
		}
	}
	high := i
	for j := i; j < min(i+peakReach, len(s.env)) && s.env[j] >= s.env[high]-leastRise/2; j++ {
		if s.env[j] > s.env[high] {
			high = j
		}
	}
	rise := s.env[high] - s.env[low]
	if rise < leastRise || s.env[high] < s.gate {
		return cut{}, false
	}
	bottom, top := power(s.env[low]), power(s.env[high])
	dip := slices.Max(s.env[max(low-dipReach, 0):low+1]) - s.env[low]
	return cut{at: s.crossing(low, high, bottom+onsetShare*(top-bottom)), rise: rise, dip: dip, low: float64(low), doubt: coarseDoubt}, true
}

// refined moves plain rises to the sample neighborhood. A small rise that a
// larger one follows at once is its first stage, and comes to lie with it.
func (s *scene) refined(x []float64, cuts []cut) []cut {
	for k := range cuts {
		if cuts[k].rise < plainRise {
			continue
		}
		limit := math.Inf(1)
		for _, next := range cuts[k+1:] {
			if next.dip >= plainRise { // a note of its own
				limit = next.low
				break
			}
		}
		refine(x, &cuts[k], cuts[k].low, limit)
	}
	return cuts
}

// crossing is where the power last passes a value on its way from low to high,
// in frames.
func (s *scene) crossing(low, high int, value float64) float64 {
	for j := high; j > low; j-- {
		a, b := power(s.env[j-1]), power(s.env[j])
		if a < value && b >= value {
			return float64(j-1) + (value-a)/(b-a)
		}
	}
	return float64(low)
}

func power(db float64) float64 { return math.Pow(10, db/10) }
