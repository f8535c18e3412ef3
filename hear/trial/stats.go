package trial

import (
	"math"
	"slices"

	"waterkey/demo/trombone"
)

// rate is the sample rate of everything rendered, in Hz.
const rate = trombone.Rate

// median of v, NaN for none; v is left as it is.
func median(v []float64) float64 { return quantile(v, 0.5) }

// quantile is the value below which a share q of v lies, linearly between
// neighbors; NaN for none.
func quantile(v []float64, q float64) float64 {
	if len(v) == 0 {
		return math.NaN()
	}
	s := slices.Sorted(slices.Values(v))
	at := q * float64(len(s)-1)
	i := min(int(at), len(s)-1)
	j := min(i+1, len(s)-1)
	return s[i] + (at-float64(i))*(s[j]-s[i])
}

// cents is the interval from b up to a.
func cents(a, b float64) float64 { return 1200 * math.Log2(a/b) }

// ratio is the frequency ratio of an interval in cents.
func ratio(c float64) float64 { return math.Exp2(c / 1200) }

func sinc(x float64) float64 {
	if math.Abs(x) < 1e-9 {
		return 1
	}
	return math.Sin(math.Pi*x) / (math.Pi * x)
}
