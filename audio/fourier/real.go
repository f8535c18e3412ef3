package fourier

import (
	"fmt"
	"math"
	"math/bits"
	"math/cmplx"
)

// Real transforms real sequences, as one of half the length whose even and odd
// samples are the real and imaginary parts. It keeps a work area, so it serves
// one goroutine at a time.
type Real struct {
	half  *Plan
	turns []complex128 // exp(-2πi·k/n), k < n/4+1
	work  []complex128
}

// NewReal prepares transforms of n real values. It panics unless n is a power of
// two, at least 2.
func NewReal(n int) *Real {
	if n < 2 || bits.OnesCount(uint(n)) != 1 {
		panic(fmt.Sprintf("fourier: length %d is not a power of two from 2 on", n))
	}
	r := &Real{half: New(n / 2), turns: make([]complex128, n/4+1), work: make([]complex128, n/2)}
	for k := range r.turns {
		r.turns[k] = cmplx.Rect(1, -2*math.Pi*float64(k)/float64(n))
	}
	return r
}

// Len is the number of real values.
func (r *Real) Len() int { return 2 * len(r.work) }

// Forward sets lines[k] = Σ x[n]·exp(-2πi·nk/N) for k from 0 to N/2; the rest
// are their conjugates. It panics unless len(x) is Len() and len(lines) is
// Len()/2+1.
func (r *Real) Forward(lines []complex128, x []float64) {
	r.check(lines, x)
	h := len(r.work)
	for i := range r.work {
		r.work[i] = complex(x[2*i], x[2*i+1])
	}
	r.half.Forward(r.work)
	z := r.work[0]
	lines[0], lines[h] = complex(real(z)+imag(z), 0), complex(real(z)-imag(z), 0)
	for k := 1; k <= h/2; k++ {
		a, b := r.work[k], conj(r.work[h-k])
		even, odd := (a+b)/2, (a-b)/2
		odd = r.turns[k] * complex(imag(odd), -real(odd))
		lines[k], lines[h-k] = even+odd, conj(even-odd)
	}
}

// Inverse undoes Forward: it sets x from its lines. The imaginary parts of the
// first and the last line count as 0.
func (r *Real) Inverse(x []float64, lines []complex128) {
	r.check(lines, x)
	h := len(r.work)
	first, last := real(lines[0]), real(lines[h])
	r.work[0] = complex((first+last)/2, (first-last)/2)
	for k := 1; k <= h/2; k++ {
		a, b := lines[k], conj(lines[h-k])
		even, odd := (a+b)/2, conj(r.turns[k])*(a-b)/2
		odd = complex(-imag(odd), real(odd))
		r.work[k], r.work[h-k] = even+odd, conj(even-odd)
	}
	r.half.Inverse(r.work)
	for i, z := range r.work {
		x[2*i], x[2*i+1] = real(z), imag(z)
	}
}

func (r *Real) check(lines []complex128, x []float64) {
	if len(x) != r.Len() || len(lines) != r.Len()/2+1 {
		panic(fmt.Sprintf("fourier: %d values and %d lines for a transform of %d values and %d lines", len(x), len(lines), r.Len(), r.Len()/2+1))
	}
}

func conj(z complex128) complex128 { return complex(real(z), -imag(z)) }
