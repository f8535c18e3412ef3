package pitch

import (
	"math"

	"waterkey/audio/fourier"
)

const (
	// window is the stretch compared with its delayed self: 30 ms, two periods
	// at 67 Hz (estimate: shorter smears less at note changes).
	window = 480

	// taps is the reach of the interpolation of the difference function, on
	// either side of a dip.
	taps = 8

	shortest = 14                      // samples: the period of Highest, rounded down
	longest  = 534                     // samples: the period of Lowest, rounded up
	lags     = longest + taps + 1      // lags computed
	fftSize  = 1024                    // at least window + lags, so that no lag wraps around
	centerAt = (window + Rate/160) / 2 // samples from a frame's start to its time, for a tone of centeredHz

	// centeredHz is the tone whose frames lie on the grid exactly: the middle of
	// a trombone's range.
	centeredHz = 160.0

	// quiet is the power below which a frame is silence: -90 dBFS (estimate:
	// below the noise of any microphone).
	quiet = 1e-9
)

// candidate is a possible pitch of a frame.
type candidate struct {
	hz     float64
	weight float64 // probability; those of a frame sum to at most 1
}

// analyzer holds the work areas for one frame.
type analyzer struct {
	plan  *fourier.Plan
	z     []complex128
	seg   []float64 // the frame's samples
	diff  [lags]float64
	norm  [lags]float64 // cumulative mean normalized difference
	cands []candidate
}

func newAnalyzer() *analyzer {
	return &analyzer{plan: fourier.New(fftSize), z: make([]complex128, fftSize), seg: make([]float64, window+lags)}
}

// frame returns the candidates at sample index at, valid until the next call,
// and the level in dBFS.
func (a *analyzer) frame(x []float64, at int) ([]candidate, float64) {
	a.cut(x, at-centerAt)
	power := 0.0
	for _, v := range a.seg[:window] {
		power += v * v
	}
	power /= window
	a.cands = a.cands[:0]
	if power < quiet {
		return a.cands, max(-120, 10*math.Log10(power))
	}
	a.difference()
	a.normalize()
	a.dips()
	return a.cands, 10 * math.Log10(power)
}

// cut copies the frame that starts at index from, silence outside x.
func (a *analyzer) cut(x []float64, from int) {
	clear(a.seg)
	if lo, hi := max(from, 0), min(from+len(a.seg), len(x)); lo < hi {
		copy(a.seg[lo-from:], x[lo:hi])
	}
}

// difference fills diff with d(τ) = Σ (x[j] - x[j+τ])² over the window, equation
// 6 of the YIN paper, the cross term by one transform of both stretches packed
// as real and imaginary part.
func (a *analyzer) difference() {
	clear(a.z)
	for j, v := range a.seg {
		if j < window {
			a.z[j] = complex(v, v)
		} else {
			a.z[j] = complex(0, v)
		}
	}
	a.plan.Forward(a.z)
	a.z[0] = complex(real(a.z[0])*imag(a.z[0]), 0)
	a.z[fftSize/2] = complex(real(a.z[fftSize/2])*imag(a.z[fftSize/2]), 0)
	for k := 1; k < fftSize/2; k++ {
		p, q := a.z[k], a.z[fftSize-k]
		short := complex(real(p)+real(q), imag(p)-imag(q)) / 2
		long := complex(imag(p)+imag(q), real(q)-real(p)) / 2
		c := complex(real(short), -imag(short)) * long
		a.z[k], a.z[fftSize-k] = c, complex(real(c), -imag(c))
	}
	a.plan.Inverse(a.z)
	energy := 0.0
	for _, v := range a.seg[:window] {
		energy += v * v
	}
	delayed := energy
	for lag := range a.diff {
		a.diff[lag] = max(0, energy+delayed-2*real(a.z[lag]))
		delayed += a.seg[lag+window]*a.seg[lag+window] - a.seg[lag]*a.seg[lag]
	}
}

// normalize fills norm: equation 8 of the YIN paper.
func (a *analyzer) normalize() {
	a.norm[0] = 1
	sum := 0.0
	for lag := 1; lag < lags; lag++ {
		sum += a.diff[lag]
		a.norm[lag] = 1
		if sum > 0 {
			a.norm[lag] = a.diff[lag] * float64(lag) / sum
		}
	}
}

// dips collects the candidates: each local minimum that lies below all minima
// before it gets the probability of the thresholds between it and the lowest
// of those.
func (a *analyzer) dips() {
	const leastWeight = 1e-4 // a candidate below it never wins a path (estimate)
	low := 1.0
	for lag := shortest; lag <= longest && low > 0; lag++ {
		v := a.norm[lag]
		if v >= low || v > a.norm[lag-1] || v >= a.norm[lag+1] {
			continue
		}
		if w := thresholdBelow(low) - thresholdBelow(v); w > leastWeight {
			a.cands = append(a.cands, candidate{Rate / a.period(lag), w})
		}
		low = v
	}
}

// thresholdBelow is the probability that YIN's threshold is below v: the
// cumulative Beta(2, 18) distribution that Mauch and Dixon use (mean 0.1).
func thresholdBelow(v float64) float64 {
	v = max(0, min(v, 1))
	return 1 - math.Pow(1-v, 18)*(1+18*v)
}

// steadyLag is about how far back a period is measured, in samples: over
// several periods of a high tone, which divides the error of one dip (10 ms;
// estimate: little against a vibrato's cycle).
const steadyLag = 160

// period finds the period near an integer lag, in samples.
func (a *analyzer) period(lag int) float64 {
	one := a.place(lag)
	for n := math.Floor(steadyLag / one); n > 1; n-- {
		far := int(math.Round(n * one))
		if a.diff[far] <= a.diff[far-1] && a.diff[far] <= a.diff[far+1] {
			return a.place(far) / n
		}
	}
	return one
}

// place finds the lag of the dip near an integer lag, by parabolas through
// ever closer points of the interpolated difference function.
func (a *analyzer) place(lag int) float64 {
	d := a.diff[:]
	shift := vertex(d[lag-1], d[lag], d[lag+1], 1)
	for _, step := range []float64{0.25, 0.05} {
		shift += vertex(a.between(lag, shift-step), a.between(lag, shift), a.between(lag, shift+step), step)
		shift = max(-1, min(shift, 1))
	}
	return float64(lag) + shift
}

// vertex is where the parabola through three points, step apart, has its
// minimum, relative to the middle one and at most step away.
func vertex(l, m, r, step float64) float64 {
	bend := l - 2*m + r
	if bend <= 0 {
		return 0
	}
	return step * max(-1, min((l-r)/(2*bend), 1))
}

// between interpolates diff at lag+shift by a sinc under a Hann window.
func (a *analyzer) between(lag int, shift float64) float64 {
	if math.Abs(shift) < 1e-9 {
		return a.diff[lag]
	}
	// sin(π(shift-k)) only changes its sign from tap to tap.
	s := math.Sin(math.Pi*shift) / math.Pi
	sum, weights := 0.0, 0.0
	for k := -taps; k <= taps; k++ {
		u := shift - float64(k)
		if math.Abs(u) >= taps {
			continue
		}
		w := hannAt(u / taps)
		if math.Abs(u) > 1e-9 {
			w *= s / u
		}
		if k&1 != 0 {
			w = -w
		}
		sum += w * a.diff[lag+k]
		weights += w
	}
	return sum / weights
}

func hannAt(u float64) float64 { return 0.5 + 0.5*math.Cos(math.Pi*u) }
