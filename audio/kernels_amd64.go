package audio

import "golang.org/x/sys/cpu"

// The vector kernels take this many products, or results, at a time.
const (
	dotWidth    = 8
	filterWidth = 16
)

// vectorDot is the sum of n products, n a multiple of dotWidth. Both kernels
// need AVX2 and FMA.
//
//go:noescape
func vectorDot(x, row *float64, n int) float64

// vectorFilter filters as plainFilter does; n is a multiple of filterWidth.
//
//go:noescape
func vectorFilter(out, x, row *float64, n, taps int)

var haveVectors = cpu.X86.HasAVX2 && cpu.X86.HasFMA

// dot is plainDot by the processor's vector units, where it has them: filters
// take most of the time of reading a recording. The two differ by rounding.
func dot(x, row []float64) float64 {
	n := len(x) &^ (dotWidth - 1)
	if !haveVectors || n == 0 {
		return plainDot(x, row)
	}
	row = row[:len(x)]
	sum := vectorDot(&x[0], &row[0], n)
	for k := n; k < len(x); k++ {
		sum += x[k] * row[k]
	}
	return sum
}

// filter is plainFilter by vector units.
func filter(out, x, row []float64) {
	n := 0
	if haveVectors && len(out) >= filterWidth {
		n = len(out) &^ (filterWidth - 1)
		_ = x[n+len(row)-2]
		vectorFilter(&out[0], &x[0], &row[0], n, len(row))
	}
	plainFilter(out[n:], x[n:], row)
}

// vectorPower is the power of a kPair for n samples.
//
//go:noescape
func vectorPower(k *kPair, a, b *float64, n int) (sumA, sumB float64)

// kPower filters by vector units, both channels in the time of one.
func kPower(k *kPair, a, b []float64) (sumA, sumB float64) {
	if !haveVectors || len(a) == 0 {
		return k.plainPower(0, a), k.plainPower(1, b)
	}
	b = b[:len(a)]
	return vectorPower(k, &a[0], &b[0], len(a))
}
