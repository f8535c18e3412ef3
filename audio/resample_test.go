package audio

import (
	"math"
	"math/rand/v2"
	"testing"
)

func TestTheVectorKernelIsThePlainOne(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for n := range 200 {
		x, row := make([]float64, n), make([]float64, n)
		for i := range x {
			x[i], row[i] = rng.Float64()-0.5, rng.Float64()-0.5
		}
		if got, want := dot(x, row), plainDot(x, row); math.Abs(got-want) > 1e-13 {
			t.Errorf("%d products: %g, want %g", n, got, want)
		}
	}
}

func TestTheVectorFilterIsThePlainOne(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for n := range 70 {
		x, row := make([]float64, n+31), make([]float64, 32)
		for i := range x {
			x[i] = rng.Float64() - 0.5
		}
		for i := range row {
			row[i] = rng.Float64() - 0.5
		}
		got, want := make([]float64, n), make([]float64, n)
		filter(got, x, row)
		plainFilter(want, x, row)
		for i := range want {
			if math.Abs(got[i]-want[i]) > 1e-13 {
				t.Errorf("result %d of %d: %g, want %g", i, n, got[i], want[i])
			}
		}
	}
}

func TestAStreamIsResampledAsAWhole(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for _, rates := range [][2]int{{48000, 16000}, {44100, 16000}, {192000, 16000}, {8000, 16000}, {44101, 16000}, {16000, 16000}, {11025, 48000}} {
		x := make([]float64, 20_000+rng.IntN(1000))
		for i := range x {
			x[i] = rng.Float64() - 0.5
		}
		want := Resample(x, rates[0], rates[1])
		r := NewResampler(rates[0], rates[1])
		var got []float64
		for rest := x; len(rest) > 0; {
			n := min(len(rest), rng.IntN(700))
			got = append(got, r.Push(rest[:n])...)
			rest = rest[n:]
		}
		got = append(got, r.Flush()...)
		if len(got) != len(want) {
			t.Fatalf("%v: %d samples, want %d", rates, len(got), len(want))
		}
		for i := range want {
			if math.Abs(got[i]-want[i]) > 1e-12 {
				t.Fatalf("%v: sample %d is %g, want %g", rates, i, got[i], want[i])
			}
		}
	}
}

// Closed form: whatever lies above the new band must go, at every rate that
// takes another way through the filters.
func TestNothingFromAboveTheBandComesThrough(t *testing.T) {
	for _, rate := range []int{32000, 44100, 48000, 88200, 96000, 192000} {
		for hz := 8100.0; hz < float64(rate)/2; hz += 977 {
			out := Resample(sine(rate, 1, hz, 1, 0.1).Channels[0], rate, 16000)
			worst := 0.0
			for _, v := range out[300 : len(out)-300] {
				worst = max(worst, math.Abs(v))
			}
			if DB(worst) > -95 {
				t.Errorf("%g Hz at %d Hz comes through at %.1f dB, want below -95", hz, rate, DB(worst))
			}
		}
	}
}

func TestEdgesOfTheResultStayInPlace(t *testing.T) {
	// A click at either end must stay where it is, whatever the stages.
	const n = 9600
	x := make([]float64, n)
	x[0], x[n-3] = 1, 1
	out := Resample(x, 48000, 16000)
	first, last := 0, 0
	for i, v := range out {
		if i < len(out)/2 && v > out[first] {
			first = i
		}
		if i > len(out)/2 && v >= out[max(last, len(out)/2)] {
			last = i
		}
	}
	if first != 0 || last != (n-3)/3 {
		t.Errorf("clicks at %d and %d, want 0 and %d", first, last, (n-3)/3)
	}
}
