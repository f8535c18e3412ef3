package room

import (
	"math"
	"math/bits"
	"math/cmplx"
)

// transform is the discrete Fourier transform of x in place; len(x) is a power
// of two. sign -1 is forward, +1 backward without division. (J. W. Cooley and
// J. W. Tukey, "An algorithm for the machine calculation of complex Fourier
// series", Math. Comp. 19, 1965.)
func transform(x []complex128, sign float64) {
	n := len(x)
	shift := 64 - bits.TrailingZeros(uint(n))
	for i := range x {
		if j := int(bits.Reverse64(uint64(i)) >> shift); n > 1 && i < j {
			x[i], x[j] = x[j], x[i]
		}
	}
	turns := make([]complex128, n/2)
	for i := range turns {
		turns[i] = cmplx.Rect(1, sign*2*math.Pi*float64(i)/float64(n))
	}
	for size := 2; size <= n; size *= 2 {
		for from := 0; from < n; from += size {
			for k := range size / 2 {
				a, b := x[from+k], x[from+k+size/2]*turns[k*(n/size)]
				x[from+k], x[from+k+size/2] = a+b, a-b
			}
		}
	}
}

// Convolve is x through the filter h, as long as x.
func Convolve(x, h []float64) []float64 {
	n := 1
	for n < len(x)+len(h) {
		n *= 2
	}
	// Both are real: one transform serves the two.
	z := make([]complex128, n)
	for i, v := range x {
		z[i] = complex(v, 0)
	}
	for i, v := range h {
		z[i] += complex(0, v)
	}
	transform(z, -1)
	y := make([]complex128, n)
	for k := range y {
		a, b := z[k], cmplx.Conj(z[(n-k)%n])
		y[k] = (a + b) / 2 * (a - b) / 2i
	}
	transform(y, 1)
	out := make([]float64, len(x))
	for i := range out {
		out[i] = real(y[i]) / float64(n)
	}
	return out
}
