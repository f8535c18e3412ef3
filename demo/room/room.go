package room

import (
	"math"
	"math/rand/v2"
)

// Response is a room that takes so many seconds to fall by 60 dB: the sound
// itself, then noise that dies away, so many dB under it in all. The tail begins 5 ms
// after, with the first reflections (J. A. Moorer, "About this reverberation
// business", CMJ 3, 1979: noise under an exponential serves as a response).
func Response(seconds, under float64, rate int, r *rand.Rand) []float64 {
	const first = 0.005 // s
	h := make([]float64, int(seconds*float64(rate)))
	sum := 0.0
	for i := int(first * float64(rate)); i < len(h); i++ {
		h[i] = r.NormFloat64() * math.Pow(10, -3*float64(i)/float64(len(h)))
		sum += h[i] * h[i]
	}
	gain := math.Sqrt(math.Pow(10, -under/10) / sum)
	for i := range h {
		h[i] *= gain
	}
	h[0] = 1
	return h
}

// AddNoise adds noise whose power falls with frequency as a room's does: white
// noise through a one-pole filter at 800 Hz, mixed with white. level is that of the
// whole in dBFS RMS.
func AddNoise(x []float64, level float64, r *rand.Rand) {
	const pole = 0.9 // corner about 800 Hz at 48 kHz
	amp := math.Pow(10, level/20)
	low := 0.0
	gain := math.Sqrt(1 - pole*pole)
	for i := range x {
		low = pole*low + gain*r.NormFloat64()
		x[i] += amp * (0.95*low + 0.31*r.NormFloat64())
	}
}

// Hiss adds noise around hz, swelling and fading from one second to another: width
// is that of its band as a share of hz, amp about its RMS in the middle.
func Hiss(x []float64, rate int, from, to, amp, hz, width float64, r *rand.Rand) {
	// A two-pole resonance.
	radius := math.Exp(-math.Pi * width * hz / float64(rate))
	c := 2 * radius * math.Cos(2*math.Pi*hz/float64(rate))
	gain := (1 - radius) * 2
	y1, y2 := 0.0, 0.0
	for i := max(int(from*float64(rate)), 0); i < min(int(to*float64(rate)), len(x)); i++ {
		y := gain*r.NormFloat64() + c*y1 - radius*radius*y2
		y1, y2 = y, y1
		u := (float64(i)/float64(rate) - from) / (to - from)
		x[i] += 4 * amp * y * math.Sin(math.Pi*u)
	}
}
