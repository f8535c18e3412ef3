package pitch

import (
	"math"
	"math/rand/v2"
)

// timbre is the amplitude of the k-th harmonic of a tone, hz its frequency.
type timbre func(k, hz float64) float64

// Timbres whose frequency is known in closed form.
var timbres = map[string]timbre{
	"sine": func(k, _ float64) float64 {
		if k > 1 {
			return 0
		}
		return 0.2
	},
	"harmonics of 1/k": func(k, _ float64) float64 { return 0.2 / k },
	"fundamental missing": func(k, _ float64) float64 {
		if k == 1 {
			return 0
		}
		return 0.2 / k
	},
	"telephone, 300 to 3400 Hz": func(k, hz float64) float64 {
		if hz < 300 || hz > 3400 {
			return 0
		}
		return 0.2 / k
	},
	"formant at 600 Hz": func(_, hz float64) float64 {
		u := (hz - 600) / 400
		return 0.2*math.Exp(-u*u) + 1e-3
	},
}

// tone is a tone whose pitch is hz(s) at each moment, its harmonics below 7.6 kHz
// out of step.
func tone(seconds float64, hz func(s float64) float64, amp timbre) []float64 {
	return sound(seconds, hz, amp, func(k float64) float64 { return k * k })
}

// pulses is a tone whose harmonics of amplitude 1/k are in step: all that happens
// in a period happens at once.
func pulses(seconds float64, hz func(s float64) float64) []float64 {
	return sound(seconds, hz, timbres["harmonics of 1/k"], func(float64) float64 { return 0 })
}

func sound(seconds float64, hz func(s float64) float64, amp timbre, start func(k float64) float64) []float64 {
	x := make([]float64, int(seconds*Rate))
	phase := 0.0
	for i := range x {
		f := hz(float64(i) / Rate)
		for k := 1.0; k*f < 0.95*Rate/2; k++ {
			if a := amp(k, k*f); a > 0 {
				x[i] += a * math.Sin(k*phase+start(k))
			}
		}
		phase += 2 * math.Pi * f / Rate
	}
	return x
}

func constant(hz float64) func(float64) float64 { return func(float64) float64 { return hz } }

// midiHz is the frequency of a MIDI note at A4 = 440 Hz.
func midiHz(midi float64) float64 { return 440 * math.Exp2((midi-69)/12) }

// noisy adds white noise so many dB below x.
func noisy(x []float64, below float64) []float64 {
	r, power := rand.New(rand.NewPCG(1, 2)), 0.0
	for _, v := range x {
		power += v * v / float64(len(x))
	}
	gain := math.Sqrt(power) * math.Pow(10, -below/20)
	out := make([]float64, len(x))
	for i, v := range x {
		out[i] = v + gain*r.NormFloat64()
	}
	return out
}
