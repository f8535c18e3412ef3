package room

import (
	"math"
	"math/rand/v2"
	"testing"
)

const rate = 48000 // Hz

func TestConvolutionIsTheSumItStandsFor(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	x, h := make([]float64, 300), make([]float64, 77)
	for i := range x {
		x[i] = r.NormFloat64()
	}
	for i := range h {
		h[i] = r.NormFloat64()
	}
	got := Convolve(x, h)
	for n := range x {
		want := 0.0
		for k := range h {
			if n >= k {
				want += h[k] * x[n-k]
			}
		}
		if math.Abs(got[n]-want) > 1e-9 {
			t.Fatalf("sample %d: %g, want %g", n, got[n], want)
		}
	}
}

// By definition of the reverberation time (ISO 3382-1): the energy that is
// still to come falls by 60 dB in it; read from -5 to -35 dB and doubled.
func TestRoomDiesAwayInItsTime(t *testing.T) {
	for _, seconds := range []float64{0.5, 1, 1.5} {
		h := Response(seconds, 3, rate, rand.New(rand.NewPCG(5, 6)))
		left := make([]float64, len(h)+1)
		for i := len(h) - 1; i > 0; i-- { // the direct sound left out
			left[i] = left[i+1] + h[i]*h[i]
		}
		when := func(db float64) float64 {
			for i := 1; i < len(left); i++ {
				if 10*math.Log10(left[i]/left[1]) < db {
					return float64(i) / rate
				}
			}
			return math.NaN()
		}
		if got := 2 * (when(-35) - when(-5)); math.Abs(got/seconds-1) > 0.1 {
			t.Errorf("room of %g s takes %.2f s", seconds, got)
		}
		if under := -10 * math.Log10(left[1]); math.Abs(under-3) > 0.01 {
			t.Errorf("the tail lies %.2f dB under the sound itself, want 3", under)
		}
	}
}
