// Package spectrum measures the partials of one sustained note.
//
// It shares nothing with the synthesis in package sound, so that it can judge
// recorded and synthesized notes alike. Each partial is the mean power of
// Hann-windowed Fourier coefficients at whole multiples of a fundamental that is
// followed through the note by the phase it gains (phase-vocoder estimate; J. L.
// Flanagan and R. M. Golden, "Phase vocoder", Bell System Technical Journal 45,
// 1966).
package spectrum

import (
	"errors"
	"math"
	"math/cmplx"
)

// How a note is looked at (estimates).
const (
	skipSeconds  = 0.25 // after the onset: the attack and its settling
	loudEnough   = 0.4  // of the loudest window's RMS: the note still sounds
	hopSeconds   = 0.125
	leastSeconds = 0.08 // of a window
	periods      = 10.0 // of a window at least: partials are 5 bins apart under a Hann window two bins wide on each side
	highestHz    = 10_000.0
	aboveNoiseDB = 6.0 // a partial stands out of what lies between partials by this
	scoutPartial = 3   // strong on every brass note; gives three times the resolution
)

// ErrNoNote says that nothing sounds long enough to be measured.
var ErrNoNote = errors.New("no sustained note of half a second")

// Partials gives the mean levels in dB, in no particular reference, of the
// partials of a note near a frequency in Hz: up to the first two in a row that do
// not stand out of the noise between them, at most 10 kHz. x is at rate samples a
// second. The error is ErrNoNote.
func Partials(x []float64, rate, near float64) ([]float64, error) {
	width := int(max(leastSeconds, periods/near) * rate)
	windows := sustained(x, rate, width)
	if float64(len(windows))*hopSeconds < 0.5-leastSeconds {
		return nil, ErrNoNote
	}
	var out []float64
	missing := 0
	courses := make([]float64, len(windows))
	for i, w := range windows {
		courses[i] = frequency(w, scoutPartial*near, rate) / scoutPartial
		windows[i] = weighted(w)
	}
	for n := 1.0; n*near < min(highestHz, 0.45*rate) && missing < 2; n++ {
		here, between := 0.0, 0.0
		for i, w := range windows {
			here += power(w, n*courses[i], rate)
			between += (power(w, (n-0.5)*courses[i], rate) + power(w, (n+0.5)*courses[i], rate)) / 2
		}
		db := 10 * math.Log10(here/float64(len(windows)))
		if here < between*math.Pow(10, aboveNoiseDB/10) {
			missing++
		} else {
			missing = 0
		}
		out = append(out, db)
	}
	return out[:len(out)-missing], nil
}

// sustained lists the windows of x between attack and end.
func sustained(x []float64, rate float64, width int) [][]float64 {
	hop := int(hopSeconds * rate)
	var all [][]float64
	loudest := 0.0
	for i := 0; i+width <= len(x); i += hop {
		all = append(all, x[i:i+width])
		loudest = max(loudest, rms(x[i:i+width]))
	}
	first, last := 0, len(all)-1
	for first < len(all) && rms(all[first]) < loudEnough*loudest {
		first++
	}
	first += int(skipSeconds/hopSeconds) + 1
	for last > first && rms(all[last]) < loudEnough*loudest {
		last--
	}
	if first >= last {
		return nil
	}
	return all[first:last]
}

func rms(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v * v
	}
	return math.Sqrt(sum / float64(len(x)))
}

// weighted is x under a Hann window, scaled so that the modulus of a line is the
// amplitude of a sine there.
func weighted(x []float64) []float64 {
	out := make([]float64, len(x))
	n := float64(len(x))
	for i, v := range x {
		out[i] = v * (0.5 - 0.5*math.Cos(2*math.Pi*float64(i)/n)) * 4 / n
	}
	return out
}

// line is the Fourier coefficient of weighted samples at hz.
func line(y []float64, hz, rate float64) complex128 {
	var sum complex128
	turn := cmplx.Rect(1, -2*math.Pi*hz/rate)
	at := complex(1, 0)
	for _, v := range y {
		sum += complex(v, 0) * at
		at *= turn
	}
	return sum
}

func power(y []float64, hz, rate float64) float64 {
	a := cmplx.Abs(line(y, hz, rate))
	return a * a
}

// frequency is that of the partial near hz, from the phase it gains in ever
// longer parts of x.
func frequency(x []float64, hz, rate float64) float64 {
	for _, share := range []int{32, 4} {
		hop := len(x) / share
		before, after := weighted(x[:len(x)-hop]), weighted(x[hop:])
		gain := cmplx.Phase(line(after, hz, rate) / line(before, hz, rate))
		off := math.Remainder(gain-2*math.Pi*hz*float64(hop)/rate, 2*math.Pi)
		hz += off * rate / (2 * math.Pi * float64(hop))
	}
	return hz
}
