package pitch

import "math"

// Vibrato is a regular swing of the pitch; zero for none.
type Vibrato struct {
	Rate   float64 // Hz
	Extent float64 // cents from the middle to either side
}

const (
	// A brass player's vibrato lies between these rates in Hz, most near 5 to 6
	// (common practice; slower is a waver, faster a tremble).
	slowest, fastest = 3.5, 8.5
	rateStep         = 0.1

	// leastExtent is the smallest swing called vibrato, in cents (estimate:
	// jaw and breath of a steady tone move it by less).
	leastExtent = 4.0

	// leastShare is how much of the movement besides a slow curve the swing must
	// explain (estimate: chance movement reaches half).
	leastShare = 0.65

	// leastCycles make a swing regular.
	leastCycles = 2.0

	// stretchLong is the length in seconds of the stretches in which a vibrato
	// keeps its rate and phase (estimate).
	stretchLong = 0.8
)

// takeVibrato finds the vibrato of a contour and takes it out of the points.
func takeVibrato(p []point) Vibrato {
	stretches := max(1, int(float64(len(p))*Hop/stretchLong))
	var rates, extents []float64
	var swings []swing
	for k := range stretches {
		part := p[k*len(p)/stretches : (k+1)*len(p)/stretches]
		s := findSwing(part)
		swings = append(swings, s)
		if s.extent() >= leastExtent {
			rates, extents = append(rates, s.rate), append(extents, s.extent())
		}
	}
	if 2*len(rates) <= stretches {
		return Vibrato{}
	}
	for k, s := range swings {
		if s.extent() < leastExtent {
			continue
		}
		part := p[k*len(p)/stretches : (k+1)*len(p)/stretches]
		for i := range part {
			part[i].cents -= s.value(part[i].at)
		}
	}
	v := Vibrato{Rate: median(rates), Extent: median(extents)}
	v.Extent /= smoothing(medianOf(p), v.Rate)
	return v
}

// smoothing is by how much the windows behind the frames of a pitch flatten a
// swing of so many hertz: a mean over the window at half its height, one over
// its slopes, and one over the lag that the period is measured at.
func smoothing(cents, rate float64) float64 {
	hz := 440 * math.Exp2((cents-6900)/1200)
	lag := innerRate / hz
	long, slope := 4*Hop, 4*Hop // s
	if lag > lastNear {
		long, slope = 8*Hop, 3*Hop
	}
	lag *= max(1, math.Floor(steadyLag/lag))
	return sinc(rate*long) * sinc(rate*slope) * sinc(rate*lag/innerRate)
}

// swing is a sinusoid in cents.
type swing struct{ rate, cos, sin float64 }

func (s swing) extent() float64 { return math.Hypot(s.cos, s.sin) }

func (s swing) value(at float64) float64 {
	sin, cos := math.Sincos(2 * math.Pi * s.rate * at)
	return s.cos*cos + s.sin*sin
}

// findSwing fits a sinusoid on a slow curve, a parabola, to the points in the
// least-squares sense. It is zero when none of the rates explains enough of
// what the parabola leaves, or when the best is at the end of the range, where
// a slower or faster movement explains more.
func findSwing(p []point) swing {
	const every = 4 // points are averaged to 20 ms
	var at, y []float64
	for i := 0; i+every <= len(p); i += every {
		t, c := 0.0, 0.0
		for _, q := range p[i : i+every] {
			t, c = t+q.at/every, c+q.cents/every
		}
		at, y = append(at, t), append(y, c)
	}
	if len(at) < 8 { // 160 ms: no rate has leastCycles there
		return swing{}
	}
	slow := slowBasis(at)
	remove(y, slow)
	low := max(slowest, leastCycles/(at[len(at)-1]-at[0]))
	best, bestShare, atEnd := swing{}, 0.0, true
	for k := 0; low+float64(k)*rateStep <= fastest; k++ {
		rate := low + float64(k)*rateStep
		s, share := fitSwing(at, y, rate, slow)
		if share > bestShare {
			best, bestShare = s, share
			atEnd = k == 0 && low == slowest || rate+rateStep > fastest
		}
	}
	if bestShare < leastShare || atEnd {
		return swing{}
	}
	// The average over a few points flattens a swing.
	gain := sinc(best.rate * every * Hop)
	return swing{best.rate, best.cos / gain, best.sin / gain}
}

// slowBasis is an orthonormal basis of the parabolas at the given moments.
func slowBasis(at []float64) [][]float64 {
	var basis [][]float64
	for degree := range 3 {
		v := make([]float64, len(at))
		for i, t := range at {
			v[i] = math.Pow(t-at[0], float64(degree))
		}
		remove(v, basis)
		scale := 1 / math.Sqrt(product(v, v))
		for i := range v {
			v[i] *= scale
		}
		basis = append(basis, v)
	}
	return basis
}

// remove takes what an orthonormal basis explains out of v.
func remove(v []float64, basis [][]float64) {
	for _, b := range basis {
		f := product(v, b)
		for i := range v {
			v[i] -= f * b[i]
		}
	}
}

func product(a, b []float64) float64 {
	sum := 0.0
	for i, v := range a {
		sum += v * b[i]
	}
	return sum
}

// fitSwing fits a sinusoid of one rate to y, from which the slow curve has been
// taken, and returns the share of y's power that it explains.
func fitSwing(at, y []float64, rate float64, slow [][]float64) (swing, float64) {
	c, s := make([]float64, len(at)), make([]float64, len(at))
	for i, t := range at {
		s[i], c[i] = math.Sincos(2 * math.Pi * rate * t)
	}
	remove(c, slow)
	remove(s, slow)
	cc, ss, cs := product(c, c), product(s, s), product(c, s)
	cy, sy, yy := product(c, y), product(s, y), product(y, y)
	det := cc*ss - cs*cs
	if det <= 1e-9*cc*ss || yy == 0 {
		return swing{}, 0
	}
	fit := swing{rate, (cy*ss - sy*cs) / det, (sy*cc - cy*cs) / det}
	return fit, (fit.cos*cy + fit.sin*sy) / yy
}
