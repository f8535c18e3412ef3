package hear

import "math"

// coverage is how many standard uncertainties a deviation must exceed before it
// is spoken of: an interval of about 95 % (published: JCGM 100:2008, "Guide to
// the expression of uncertainty in measurement", 6.3).
const coverage = 2.0

// exceeds says whether a deviation goes beyond a limit by more than it may be
// off.
func exceeds(deviation, limit, unsure float64) bool {
	return math.Abs(deviation) > limit+coverage*unsure
}

// doubtOf is the standard uncertainty of the median of some notes: their scatter
// by the median distance, over the root of their number; a median is less
// efficient than a mean by the root of π/2.
func doubtOf(g []*Note, median float64, value func(*Note) float64) float64 {
	const normal = 1.4826
	far := make([]float64, len(g))
	for i, n := range g {
		far[i] = math.Abs(value(n) - median)
	}
	return math.Sqrt(math.Pi/2) * normal * middle(far) / math.Sqrt(float64(len(g)))
}
