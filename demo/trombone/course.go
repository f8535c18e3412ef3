package trombone

import (
	"math"
	"math/cmplx"
)

// How the course of a note's pitch is measured. A Hann window of four periods
// is the shortest that parts neighboring partials; the longer one is three
// times as exact where the tone is even.
const (
	attackPeriods = 4.0   // periods under the window in the attack
	steadyPeriods = 12.0  // and after it
	attackHop     = 0.005 // s between two readings
	steadyHop     = 0.020
	attackCourse  = 0.30 // s after the onset: the longer window takes over
	mostPartials  = 6
	courseReach   = 3 // readings under the running median and mean
)

// course measures the frequency of a note near hz in Hz, every hop seconds from
// second a up to second b: the phase that each partial gains between two
// neighboring windows of so many periods, divided by its number, weighted by
// power (phase vocoder; J. L. Flanagan and R. M. Golden, "Phase vocoder", BSTJ
// 45, 1966). It follows the note backward, from its even part into its attack.
// It shares no code and no method with the listener's pitch tracker.
func course(x []float64, rate, hz, a, b, hop, periods float64) []float64 {
	n := max(int((b-a)/hop)+1, 2)
	out := make([]float64, n)
	f := hz
	for i := n - 1; i >= 0; i-- {
		at := a + float64(i)*hop
		for _, apart := range []float64{periods / 16, periods / 4} { // the first cannot be a turn wrong
			f = phaseStep(x, rate, f, at, apart/hz, periods/hz)
		}
		out[i] = f
	}
	return smoothed(out)
}

// phaseStep refines the frequency f at a moment from two windows, width seconds
// wide, so many seconds apart.
func phaseStep(x []float64, rate, f, at, apart, width float64) float64 {
	const farthest = 0.08 // of a partial's frequency: beyond lies another sound, or noise
	apart = math.Round(apart*rate) / rate
	start := math.Round((at-apart/2)*rate) / rate
	sum, weight := 0.0, 0.0
	for k := 1; k <= mostPartials && float64(k)*f < rate/3; k++ {
		g := float64(k) * f
		before := partial(x, rate, g, start, width)
		after := partial(x, rate, g, start+apart, width)
		power := cmplx.Abs(before) * cmplx.Abs(after)
		off := cmplx.Phase(after*cmplx.Conj(before)) / (2 * math.Pi * apart)
		if math.Abs(off) > farthest*g {
			continue
		}
		sum += power * float64(k) * off
		weight += power * float64(k) * float64(k)
	}
	if weight == 0 {
		return f
	}
	return f + sum/weight
}

// partial is the Hann-weighted Fourier coefficient of x at hz in a window of
// so many seconds around a moment; its phase is relative to the clip's
// start, so that a tone at hz keeps it from window to window.
func partial(x []float64, rate, hz, at, width float64) complex128 {
	n := int(width * rate)
	from := int(math.Round(at*rate)) - n/2
	var sum complex128
	step := cmplx.Rect(1, -2*math.Pi*hz/rate)
	turn := cmplx.Rect(1, -2*math.Pi*hz/rate*float64(from))
	hannStep := cmplx.Rect(1, 2*math.Pi/float64(n))
	hann := hannStep
	for i := from; i < from+n; i++ {
		if i >= 0 && i < len(x) {
			sum += complex(x[i]*(0.5-0.5*real(hann)), 0) * turn
		}
		turn *= step
		hann *= hannStep
	}
	return sum
}

// smoothed is v under a running median and then a running mean.
func smoothed(v []float64) []float64 {
	return running(running(v, median), mean)
}

func running(v []float64, of func([]float64) float64) []float64 {
	out := make([]float64, len(v))
	for i := range v {
		out[i] = of(v[max(i-courseReach/2, 0):min(i+courseReach/2+1, len(v))])
	}
	return out
}

func mean(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x
	}
	return sum / float64(len(v))
}
