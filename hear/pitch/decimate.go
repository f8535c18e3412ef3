package pitch

import "math"

const (
	downReach = 23    // samples at Rate on either side of an output's
	downEdge  = 3200. // Hz where the filter has fallen to half: flat to 2450, nothing from 3950 on

	// downShape is Kaiser's β for 70 dB (J. F. Kaiser, "Nonrecursive digital
	// filter design using the I0-sinh window function", 1974).
	downShape = 6.76
)

// halfBand is one side of the decimator's impulse response and its middle.
var halfBand = func() (h [downReach + 1]float64) {
	sum := 0.0
	for k := range h {
		h[k] = 2 * downEdge / Rate * sinc(2*downEdge/Rate*float64(k)) * kaiser(float64(k)/(downReach+1), downShape)
		sum += h[k]
		if k > 0 {
			sum += h[k]
		}
	}
	for k := range h {
		h[k] /= sum
	}
	return h
}()

// decimator halves the rate of a stream without delay.
type decimator struct {
	x []float64 // samples not used up, with downReach samples of the past
}

func newDecimator() *decimator { return &decimator{x: make([]float64, downReach)} }

// add appends to dst what can be computed with x.
func (d *decimator) add(dst, x []float64) []float64 {
	d.x = append(d.x, x...)
	at := 0
	for ; at+2*downReach < len(d.x); at += 2 {
		v := d.x[at:][:2*downReach+1]
		sum := halfBand[0] * v[downReach]
		for k := 1; k <= downReach; k++ {
			sum += halfBand[k] * (v[downReach-k] + v[downReach+k])
		}
		dst = append(dst, sum)
	}
	d.x = d.x[:copy(d.x, d.x[at:])]
	return dst
}

func sinc(x float64) float64 {
	if x == 0 {
		return 1
	}
	return math.Sin(math.Pi*x) / (math.Pi * x)
}

// kaiser is Kaiser's window at -1 < u < 1.
func kaiser(u, shape float64) float64 {
	return bessel0(shape*math.Sqrt(1-u*u)) / bessel0(shape)
}

// bessel0 is the modified Bessel function of order 0, by its power series.
func bessel0(x float64) float64 {
	sum, term := 1.0, 1.0
	for k := 1.0; term > 1e-17*sum; k++ {
		term *= x * x / (4 * k * k)
		sum += term
	}
	return sum
}
