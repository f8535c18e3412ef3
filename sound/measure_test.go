package sound

import (
	"math"
	"math/cmplx"
)

// The measures here share nothing with the synthesis: they look at samples
// only.

// line is the Hann-weighted Fourier coefficient of x at hz; its modulus is the
// amplitude of a sine there.
func line(x []float64, hz, rate float64) complex128 {
	var sum complex128
	n := float64(len(x))
	for i, v := range x {
		hann := 0.5 - 0.5*math.Cos(2*math.Pi*float64(i)/n)
		sum += complex(v*hann, 0) * cmplx.Rect(1, -2*math.Pi*hz/rate*float64(i))
	}
	return sum * complex(4/n, 0)
}

// frequency measures the frequency of the partial near hz from the phase it
// gains in a part of x: first a short part, which cannot be a turn wrong, then
// a quarter (phase-vocoder estimate; J. L. Flanagan and R. M. Golden, "Phase
// vocoder", BSTJ 45, 1966).
func frequency(x []float64, hz, rate float64) float64 {
	for _, share := range []int{32, 4} {
		hop := len(x) / share
		n := len(x) - hop
		gain := cmplx.Phase(line(x[hop:], hz, rate) / line(x[:n], hz, rate))
		off := math.Remainder(gain-2*math.Pi*hz*float64(hop)/rate, 2*math.Pi)
		hz += off * rate / (2 * math.Pi * float64(hop))
	}
	return hz
}

func cents(a, b float64) float64 { return 1200 * math.Log2(a/b) }

// dbfs is the RMS level of x in dB relative to full scale.
func dbfs(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v * v
	}
	return 10 * math.Log10(sum/float64(len(x)))
}

// centroid is the power-weighted mean frequency of the partials of hz in x.
func centroid(x []float64, hz, rate float64) float64 {
	power, sum := 0.0, 0.0
	for f := hz; f < rate/4; f += hz {
		a := cmplx.Abs(line(x, f, rate))
		power, sum = power+a*a, sum+a*a*f
	}
	return sum / power
}

// largestStep is the largest distance of neighboring samples.
func largestStep(x []float64) float64 {
	most := 0.0
	for i := 1; i < len(x); i++ {
		most = max(most, math.Abs(x[i]-x[i-1]))
	}
	return most
}

func peak(x []float64) float64 {
	most := 0.0
	for _, v := range x {
		most = max(most, math.Abs(v))
	}
	return most
}

// envelope is the RMS of x in windows of width samples, one for each sample,
// centered.
func envelope(x []float64, width int) []float64 {
	out := make([]float64, len(x))
	sum := 0.0
	for i := range len(x) + width {
		if i < len(x) {
			sum += x[i] * x[i]
		}
		if i >= width {
			sum -= x[i-width] * x[i-width]
		}
		if mid := i - width/2; mid >= 0 && mid < len(x) {
			out[mid] = math.Sqrt(max(sum, 0) / float64(width))
		}
	}
	return out
}

// seconds cuts x from a to b seconds at the default rate.
func seconds(x []float64, a, b float64) []float64 {
	return x[int(a*DefaultRate):int(b*DefaultRate)]
}
