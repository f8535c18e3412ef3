// Package fourier is the discrete Fourier transform of complex and of real
// sequences whose length is a power of two: radix 4 in Stockham's self-sorting order (W. T.
// Cochran et al., "What is the fast Fourier transform?", Proc. IEEE 55, 1967).
//
// Convention: Forward computes X[k] = Σ x[n]·exp(-2πi·nk/N) without a factor;
// Inverse has the opposite sign and the factor 1/N.
package fourier

import (
	"fmt"
	"math"
	"math/bits"
	"math/cmplx"
)

// Plan holds the factors for one length. It keeps a work area, so one plan
// serves one goroutine at a time.
type Plan struct {
	n       int
	twiddle []complex128 // exp(-2πi·k/n)
	work    []complex128
}

// New prepares transforms of length n. It panics unless n is a power of two,
// at least 1.
func New(n int) *Plan {
	if n < 1 || bits.OnesCount(uint(n)) != 1 {
		panic(fmt.Sprintf("fourier: length %d is not a power of two", n))
	}
	p := &Plan{n: n, twiddle: make([]complex128, n), work: make([]complex128, n)}
	for k := range p.twiddle {
		p.twiddle[k] = cmplx.Rect(1, -2*math.Pi*float64(k)/float64(n))
	}
	return p
}

// Len is the length of the plan.
func (p *Plan) Len() int { return p.n }

// Forward transforms x in place. It panics if len(x) is not Len().
func (p *Plan) Forward(x []complex128) {
	if len(x) != p.n {
		panic(fmt.Sprintf("fourier: %d values for a plan of length %d", len(x), p.n))
	}
	src, dst := x, p.work
	n, stride := p.n, 1
	for ; n >= 4; n, stride = n/4, stride*4 {
		switch {
		case n == 4:
			last4(dst, src)
		case stride == 1:
			p.first4(dst, src)
		default:
			p.pass4(dst, src, n, stride)
		}
		src, dst = dst, src
	}
	if n == 2 {
		for q := range stride {
			a, b := src[q], src[q+stride]
			dst[q], dst[q+stride] = a+b, a-b
		}
		src = dst
	}
	if &src[0] != &x[0] {
		copy(x, src)
	}
}

// pass4 does one radix-4 step over sub-transforms of length n that lie stride
// apart.
func (p *Plan) pass4(dst, src []complex128, n, stride int) {
	quarter := n / 4
	for k := range quarter {
		w1, w2, w3 := p.twiddle[k*stride], p.twiddle[2*k*stride], p.twiddle[3*k*stride]
		a := src[stride*k : stride*(k+1)]
		b := src[stride*(k+quarter):][:len(a)]
		c := src[stride*(k+2*quarter):][:len(a)]
		d := src[stride*(k+3*quarter):][:len(a)]
		out := dst[4*stride*k:][:4*len(a)]
		for q := range a {
			sumAC, difAC := a[q]+c[q], a[q]-c[q]
			sumBD, difBD := b[q]+d[q], b[q]-d[q]
			turned := complex(-imag(difBD), real(difBD)) // i·(b-d)
			out[q] = sumAC + sumBD
			out[q+stride] = w1 * (difAC - turned)
			out[q+2*stride] = w2 * (sumAC - sumBD)
			out[q+3*stride] = w3 * (difAC + turned)
		}
	}
}

// first4 is pass4 for stride 1, where pass4's inner loop would run once.
func (p *Plan) first4(dst, src []complex128) {
	quarter := p.n / 4
	a, b, c, d := src[:quarter], src[quarter:][:quarter], src[2*quarter:][:quarter], src[3*quarter:][:quarter]
	twiddle := p.twiddle[:p.n]
	for k := range a {
		sumAC, difAC := a[k]+c[k], a[k]-c[k]
		sumBD, difBD := b[k]+d[k], b[k]-d[k]
		turned := complex(-imag(difBD), real(difBD))
		out := dst[4*k:][:4]
		out[0] = sumAC + sumBD
		out[1] = twiddle[k] * (difAC - turned)
		out[2] = twiddle[2*k] * (sumAC - sumBD)
		out[3] = twiddle[3*k] * (difAC + turned)
	}
}

// last4 is pass4 for the last step, where all factors are 1.
func last4(dst, src []complex128) {
	quarter := len(src) / 4
	a, b, c, d := src[:quarter], src[quarter:][:quarter], src[2*quarter:][:quarter], src[3*quarter:][:quarter]
	e, f, g, h := dst[:quarter], dst[quarter:][:quarter], dst[2*quarter:][:quarter], dst[3*quarter:][:quarter]
	for q := range a {
		sumAC, difAC := a[q]+c[q], a[q]-c[q]
		sumBD, difBD := b[q]+d[q], b[q]-d[q]
		turned := complex(-imag(difBD), real(difBD))
		e[q], f[q], g[q], h[q] = sumAC+sumBD, difAC-turned, sumAC-sumBD, difAC+turned
	}
}

// Inverse undoes Forward in place.
func (p *Plan) Inverse(x []complex128) {
	for i, v := range x {
		x[i] = complex(imag(v), real(v))
	}
	p.Forward(x)
	scale := 1 / float64(p.n)
	for i, v := range x {
		x[i] = complex(imag(v)*scale, real(v)*scale)
	}
}
