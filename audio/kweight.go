package audio

import "math"

// K-weighting as an analogue prototype, from which the standard's 48 kHz
// coefficients follow by the bilinear transform. The values are from memory;
// the test holds the result against the standard's printed coefficients.
const (
	shelfHz   = 1681.974450955533
	shelfDB   = 3.999843853973347
	shelfQ    = 0.7071752369554196
	shelfBand = 0.4996667741545416 // exponent of the gain at band's edge
	highHz    = 38.13547087602444
	highQ     = 0.5003270373238773
)

// biquad is a second-order filter; a0 is 1.
type biquad struct {
	b0, b1, b2, a1, a2 float64
}

// kWeighting returns the two filter stages for a sample rate in Hz.
func kWeighting(rate int) (shelf, high biquad) {
	k := math.Tan(math.Pi * shelfHz / float64(rate))
	top := math.Pow(10, shelfDB/20)
	band := math.Pow(top, shelfBand)
	a0 := 1 + k/shelfQ + k*k
	shelf = biquad{
		b0: (top + band*k/shelfQ + k*k) / a0,
		b1: 2 * (k*k - top) / a0,
		b2: (top - band*k/shelfQ + k*k) / a0,
		a1: 2 * (k*k - 1) / a0,
		a2: (1 - k/shelfQ + k*k) / a0,
	}
	k = math.Tan(math.Pi * highHz / float64(rate))
	a0 = 1 + k/highQ + k*k
	high = biquad{b0: 1, b1: -2, b2: 1, a1: 2 * (k*k - 1) / a0, a2: (1 - k/highQ + k*k) / a0}
	return shelf, high
}

// kPair is the K-weighting of two channels side by side. Each stage is in
// direct form I: only two operations of a sample wait for the sample before
// it.
type kPair struct {
	coef  [7][2]float64 // b0 b1 b2 a1 a2 of the shelf, a1 a2 of the high pass; the same for both
	state [6][2]float64 // the two samples before of input, middle and output, the nearer first
}

func newKPair(rate int) *kPair {
	s, h := kWeighting(rate)
	k := &kPair{}
	for i, v := range []float64{s.b0, s.b1, s.b2, s.a1, s.a2, h.a1, h.a2} {
		k.coef[i] = [2]float64{v, v}
	}
	return k
}

// nearNothing is what the filters' memory is cleared below: numbers so small
// that processors slow down follow otherwise (-600 dB).
const nearNothing = 1e-30

// power filters both channels, which are equally long, and returns the sums of
// the squares of the results.
func (k *kPair) power(a, b []float64) (sumA, sumB float64) {
	sumA, sumB = kPower(k, a, b)
	for lane := range 2 {
		if math.Abs(k.state[2][lane])+math.Abs(k.state[4][lane]) < nearNothing {
			for i := 2; i < len(k.state); i++ {
				k.state[i][lane] = 0
			}
		}
	}
	return sumA, sumB
}

// plainPower filters one channel.
func (k *kPair) plainPower(lane int, x []float64) float64 {
	b0, b1, b2, a1, a2 := k.coef[0][0], k.coef[1][0], k.coef[2][0], k.coef[3][0], k.coef[4][0]
	h1, h2 := k.coef[5][0], k.coef[6][0]
	s := &k.state
	x1, x2, u1, u2, y1, y2 := s[0][lane], s[1][lane], s[2][lane], s[3][lane], s[4][lane], s[5][lane]
	sum := 0.0
	for _, v := range x {
		u := b0*v + b1*x1 + b2*x2 - a2*u2 - a1*u1
		y := u + u2 - 2*u1 - h2*y2 - h1*y1
		x2, x1, u2, u1, y2, y1 = x1, v, u1, u, y1, y
		sum += y * y
	}
	s[0][lane], s[1][lane], s[2][lane], s[3][lane], s[4][lane], s[5][lane] = x1, x2, u1, u2, y1, y2
	return sum
}
