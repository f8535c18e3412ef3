package hear

import (
	"math"
	"slices"

	"waterkey/hear/align"
)

// beat is a steady beat through a stretch of the take: a straight line from the
// page's seconds to the take's.
type beat struct {
	page      float64 // s of the page: where the stretch begins
	at, slope float64 // s of the take at page, and for each second of the page
}

// steadyBeats lays one steady beat through each stretch between stops and
// miscounted rests: the line of the median slope between any two notes that
// lie some way apart (P. K. Sen, "Estimates of the regression coefficient based
// on Kendall's tau", J. Am. Stat. Assoc. 63, 1968), which single crooked notes
// do not bend.
func steadyBeats(points []align.Point, breaks []align.Break) []beat {
	var out []beat
	from := 0
	for k := 1; k <= len(points); k++ {
		ends := k == len(points) || points[k].Anew ||
			slices.ContainsFunc(breaks, func(b align.Break) bool { return b.Page == points[k].Page })
		if ends {
			out, from = append(out, steadyBeat(points[from:k])), k
		}
	}
	return out
}

// steadyBeat is the beat through some points.
func steadyBeat(p []align.Point) beat {
	const partners = 24 // slopes taken for each note, so that long takes stay fast
	b := beat{page: p[0].Page, slope: 1}
	var slopes []float64
	reach := max(len(p)/2, 1)
	for i := range p {
		for k := i + reach; k < len(p); k += max(len(p)/partners, 1) {
			if d := p[k].Page - p[i].Page; d > 0 {
				slopes = append(slopes, (p[k].Take-p[i].Take)/d)
			}
		}
	}
	if len(slopes) > 0 {
		b.slope = middle(slopes)
	}
	ats := make([]float64, len(p))
	for i, q := range p {
		ats[i] = q.Take - b.slope*(q.Page-b.page)
	}
	b.at = middle(ats)
	return b
}

// steadyAt is when a moment of the page is due by the steady beat.
func (l *listener) steadyAt(page float64) float64 {
	if len(l.steady) == 0 {
		return l.clock.At(page)
	}
	k := 0
	for k+1 < len(l.steady) && l.steady[k+1].page <= page {
		k++
	}
	b := l.steady[k]
	return b.at + b.slope*(page-b.page)
}

// scatter is the standard deviation of the notes around the local beat in
// seconds, by their median distance from it.
func (l *listener) scatter(points []align.Point) float64 {
	const normal = 1.4826 // standard deviations of a normal distribution in its median distance
	far := make([]float64, len(points))
	for i, p := range points {
		far[i] = math.Abs(p.Take - l.clock.At(p.Page))
	}
	if len(far) == 0 {
		return 0
	}
	return normal * middle(far)
}

// middle is the median of v, which it sorts; v must not be empty.
func middle(v []float64) float64 {
	slices.Sort(v)
	return (v[(len(v)-1)/2] + v[len(v)/2]) / 2
}
