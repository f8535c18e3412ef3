package fourier

import (
	"fmt"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"
)

// slow is the definition of the transform.
func slow(x []complex128) []complex128 {
	out := make([]complex128, len(x))
	for k := range out {
		for n, v := range x {
			out[k] += v * cmplx.Rect(1, -2*math.Pi*float64(n*k%len(x))/float64(len(x)))
		}
	}
	return out
}

func noise(n int) []complex128 {
	r := rand.New(rand.NewPCG(1, uint64(n)))
	x := make([]complex128, n)
	for i := range x {
		x[i] = complex(r.NormFloat64(), r.NormFloat64())
	}
	return x
}

func TestForwardIsTheDefinition(t *testing.T) {
	for n := 1; n <= 1024; n *= 2 {
		x := noise(n)
		want := slow(x)
		New(n).Forward(x)
		for k := range x {
			if e := cmplx.Abs(x[k] - want[k]); e > 1e-10 {
				t.Fatalf("length %d, line %d: %v, the sum gives %v", n, k, x[k], want[k])
			}
		}
	}
}

func TestInverseUndoesForward(t *testing.T) {
	for n := 1; n <= 4096; n *= 2 {
		x, p := noise(n), New(n)
		p.Forward(x)
		p.Inverse(x)
		for i, v := range noise(n) {
			if cmplx.Abs(x[i]-v) > 1e-12 {
				t.Fatalf("length %d, place %d: %v, want %v", n, i, x[i], v)
			}
		}
	}
}

func TestRealIsTheComplexOne(t *testing.T) {
	for n := 2; n <= 2048; n *= 2 {
		x, r := make([]float64, n), NewReal(n)
		want := noise(n)
		for i := range x {
			x[i] = real(want[i])
			want[i] = complex(x[i], 0)
		}
		New(n).Forward(want)
		lines, back := make([]complex128, n/2+1), make([]float64, n)
		r.Forward(lines, x)
		r.Inverse(back, lines)
		for k, v := range lines {
			if cmplx.Abs(v-want[k]) > 1e-11 {
				t.Fatalf("length %d, line %d: %v, want %v", n, k, v, want[k])
			}
		}
		for i, v := range back {
			if math.Abs(v-x[i]) > 1e-12 {
				t.Fatalf("length %d, place %d: %v back, want %v", n, i, v, x[i])
			}
		}
	}
}

func TestWrongLengthsPanic(t *testing.T) {
	for _, call := range []func(){func() { New(0) }, func() { New(12) }, func() { New(8).Forward(make([]complex128, 4)) },
		func() { NewReal(1) }, func() { NewReal(8).Forward(make([]complex128, 4), make([]float64, 8)) }} {
		func() {
			defer func() {
				if recover() == nil {
					t.Error("a wrong length was taken")
				}
			}()
			call()
		}()
	}
}

func BenchmarkForward(b *testing.B) {
	for _, n := range []int{1024, 2048} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			x, p := noise(n), New(n)
			for range b.N {
				p.Forward(x)
				x[0] = 1
				for i := range x {
					x[i] *= 1 / complex(math.Sqrt(float64(n)), 0)
				}
			}
		})
	}
}

func BenchmarkReal(b *testing.B) {
	const n = 2048
	x, lines, r := make([]float64, n), make([]complex128, n/2+1), NewReal(n)
	for i, v := range noise(n) {
		x[i] = real(v)
	}
	for range b.N {
		r.Forward(lines, x)
	}
}
