package align

import (
	"math"
	"slices"
)

// Clock maps seconds of the page to seconds of the take: a local straight line
// through the played notes. Where a rest was cut short or drawn out the line
// breaks, so that each side keeps its own beat.
type Clock struct {
	page, take []float64 // the right notes, in order
	breaks     []Break
	bounds     []int     // of the stretches with a beat of their own, as indexes of points: 0, ..., len(page)
	from       []float64 // where each stretch but the first begins, s of the page
}

// Break is a rest that the take counts otherwise than the page.
type Break struct {
	Page float64 // s of the page: the first note after the rest
	Jump float64 // s of the take by which that note is late; negative when early
}

// Point is a note that the clock goes through.
type Point struct {
	Page, Take float64 // s
	AfterRest  bool    // a rest or a fermata lies before it
	Anew       bool    // the player stopped or leapt before it: the clock begins anew
}

// Limits of what counts as a miscounted rest (estimates; the first is twice
// the tolerance of an onset, the second twice a tempo change that is heard).
const (
	restLeast = 0.2   // s of the page: shorter rests are part of the articulation
	jumpLeast = 0.100 // s of the take
	jumpShare = 0.06  // of the time between the notes on both sides
)

// neighbors is how many notes the line at a moment goes through (estimate: two
// or three bars, so that rubato is followed and single notes stand out). In slow
// music notes farther away than farthest are left out, but for fewest.
const (
	neighbors = 16
	fewest    = 6
	farthest  = 8.0 // s of the page
)

// NewClock is the clock through points in rising order.
func NewClock(points []Point) *Clock {
	c := &Clock{bounds: []int{0}}
	for _, p := range points {
		c.page, c.take = append(c.page, p.Page), append(c.take, p.Take)
	}
	anew := anewBounds(points)
	for k, p := range points {
		if p.Anew && k > 0 {
			c.bounds, c.from = append(c.bounds, k), append(c.from, p.Page)
			continue
		}
		if !p.AfterRest || k == 0 {
			continue
		}
		if jump := c.jump(k, anew); math.Abs(jump) > max(jumpLeast, jumpShare*(c.take[k]-c.take[k-1])) {
			c.breaks = append(c.breaks, Break{p.Page, jump})
			c.bounds, c.from = append(c.bounds, k), append(c.from, p.Page)
		}
	}
	c.bounds = append(c.bounds, len(points))
	return c
}

// Breaks are the miscounted rests, in order. The caller must not change them.
func (c *Clock) Breaks() []Break { return c.breaks }

// anewBounds are the ends of the stretches between points that begin anew.
func anewBounds(points []Point) []int {
	out := []int{0}
	for k, p := range points {
		if p.Anew && k > 0 {
			out = append(out, k)
		}
	}
	return append(out, len(points))
}

// jump is how much later point k comes than the beat before it says, in
// seconds of the take. Either side's tempo counts by its number of notes.
func (c *Clock) jump(k int, anew []int) float64 {
	const side = 8 // notes looked at on either side
	i, _ := slices.BinarySearch(anew, k+1)
	lo, hi := max(k-side, anew[i-1]), min(k+side, anew[i])
	before := &Clock{page: c.page[lo:k], take: c.take[lo:k], bounds: []int{0, k - lo}}
	after := &Clock{page: c.page[k:hi], take: c.take[k:hi], bounds: []int{0, hi - k}}
	a, slopeA := before.line(c.page[k-1])
	b, slopeB := after.line(c.page[k])
	// Two notes give no tempo to speak of.
	const few = 3
	weightA, weightB := float64(max(k-lo-few, 0)), float64(max(hi-k-few, 0))
	if weightA+weightB == 0 {
		return 0
	}
	slope := (weightA*slopeA + weightB*slopeB) / (weightA + weightB)
	return b - a - slope*(c.page[k]-c.page[k-1])
}

// At is the moment of the take, in seconds, at which the page's moment is due.
func (c *Clock) At(page float64) float64 {
	at, _ := c.line(page)
	return at
}

// Stretch is the local tempo: seconds of the take for one of the page. It is
// kept within twice the range of tempos that are looked for, so that a few
// crooked notes give no absurd number.
func (c *Clock) Stretch(page float64) float64 {
	_, slope := c.line(page)
	return max(fastest/2, min(slope, slowest*2))
}

// line is the robust local regression at a moment (W. S. Cleveland, "Robust
// locally weighted regression and smoothing scatterplots", J. Am. Stat. Assoc.
// 74, 1979): tricube weights over the nearest notes, then bisquare weights
// from the residuals.
func (c *Clock) line(page float64) (at, slope float64) {
	lo, hi := c.nearest(page)
	x, y := c.page[lo:hi], c.take[lo:hi]
	switch {
	case len(x) == 0:
		return page, 1
	case len(x) == 1 || x[len(x)-1]-x[0] < 1e-6:
		return y[0] + page - x[0], 1
	}
	reach := max(page-x[0], x[len(x)-1]-page) * 1.05
	w, robust := make([]float64, len(x)), make([]float64, len(x))
	for i := range robust {
		robust[i] = 1
	}
	for range robustRounds {
		for i := range x {
			d := math.Abs(x[i]-page) / reach
			w[i] = robust[i] * math.Pow(1-d*d*d, 3)
		}
		at, slope = weightedLine(x, y, w, page)
		reweigh(robust, x, y, at, slope, page)
	}
	return at, slope
}

// robustRounds is how often the weights follow the residuals (Cleveland: two
// are enough; a note 80 ms late among even ones needs a few more to count for
// nothing).
const robustRounds = 5

// nearest is the range of points used at a moment: those nearest to it on its
// side of the breaks.
func (c *Clock) nearest(page float64) (lo, hi int) {
	stretch := 0
	for stretch < len(c.from) && c.from[stretch] <= page {
		stretch++
	}
	first, last := c.bounds[stretch], c.bounds[stretch+1]
	k, _ := slices.BinarySearch(c.page[first:last], page)
	lo, hi = first+k, first+k
	for hi-lo < neighbors && (lo > first || hi < last) {
		left := hi == last || lo > first && page-c.page[lo-1] <= c.page[hi]-page
		distance := c.page[min(hi, last-1)] - page
		if left {
			distance = page - c.page[lo-1]
		}
		if hi-lo >= fewest && distance > farthest {
			break
		}
		if left {
			lo--
		} else {
			hi++
		}
	}
	return lo, hi
}

// weightedLine fits y = at + slope·(x-origin).
func weightedLine(x, y, w []float64, origin float64) (at, slope float64) {
	var sw, sx, sy, sxx, sxy float64
	for i := range x {
		u := x[i] - origin
		sw += w[i]
		sx += w[i] * u
		sy += w[i] * y[i]
		sxx += w[i] * u * u
		sxy += w[i] * u * y[i]
	}
	det := sw*sxx - sx*sx
	if det < 1e-9*sw*sw || sw == 0 {
		// One moment carries all weight: keep the overall tempo.
		slope = (y[len(y)-1] - y[0]) / (x[len(x)-1] - x[0])
		if sw == 0 {
			return y[0] + slope*(origin-x[0]), slope
		}
		return sy/sw - slope*sx/sw, slope
	}
	slope = (sw*sxy - sx*sy) / det
	return (sy - slope*sx) / sw, slope
}

// reweigh sets the bisquare weights from the residuals.
func reweigh(robust, x, y []float64, at, slope, origin float64) {
	res := make([]float64, len(x))
	for i := range x {
		res[i] = math.Abs(y[i] - at - slope*(x[i]-origin))
	}
	sorted := slices.Clone(res)
	slices.Sort(sorted)
	const least = 0.003 // s: onsets are not measured finer
	limit := 6 * max(sorted[len(sorted)/2], least)
	for i, r := range res {
		u := r / limit
		robust[i] = 0
		if u < 1 {
			robust[i] = (1 - u*u) * (1 - u*u)
		}
	}
}
