package spectrum

import (
	"errors"
	"math"
	"testing"
)

// sum is so many seconds of partials with given levels in dB.
func sum(hz, rate, seconds float64, levels []float64) []float64 {
	x := make([]float64, int(seconds*rate))
	for n, db := range levels {
		a := math.Pow(10, db/20)
		for i := range x {
			x[i] += a * math.Sin(2*math.Pi*float64(n+1)*hz*float64(i)/rate+float64(n*n))
		}
	}
	return x
}

// Closed form: partials of known levels are measured at those levels, also when the
// note is a quarter-tone off, and none above them.
func TestPartialsOfAKnownNote(t *testing.T) {
	const rate, most = 44100.0, 0.1 // dB
	levels := []float64{-12, -6, -3, -9, -20, -35, -50}
	for _, hz := range []float64{82.4, 110, 237.5, 466} {
		got, err := Partials(sum(hz, rate, 2, levels), rate, hz*math.Exp2(0.2/12))
		if err != nil || len(got) != len(levels) {
			t.Errorf("%g Hz: %d partials, %v; want %d", hz, len(got), err, len(levels))
			continue
		}
		for i := range got {
			if off := got[i] - got[0] - levels[i] + levels[0]; math.Abs(off) > most {
				t.Errorf("%g Hz: partial %d is %.2f dB off", hz, i+1, off)
			}
		}
	}
	if _, err := Partials(make([]float64, 4000), rate, 110); !errors.Is(err, ErrNoNote) {
		t.Errorf("error %v for a note of a tenth of a second, want %v", err, ErrNoNote)
	}
}

// Closed form: a level taken out, one of two partials 6 dB off is 3 dB away, and what
// is missing lies 40 dB down.
func TestDistance(t *testing.T) {
	for _, c := range []struct {
		real, other []float64
		want        float64
	}{
		{[]float64{-3, -9, -12}, []float64{-13, -19, -22}, 0},
		{[]float64{0, 0}, []float64{0, -6}, 3},
		{[]float64{0, -41}, []float64{0, 0}, 0},
		{[]float64{0, -10}, []float64{0}, 15},
		{[]float64{0, -10}, []float64{0, -90}, 15},
	} {
		if got := Distance(c.real, c.other); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%v and %v are %g dB apart, want %g", c.real, c.other, got, c.want)
		}
	}
}
