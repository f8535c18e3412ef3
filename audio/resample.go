package audio

import "math"

// Resampling filter: a sinc under a Kaiser window (J. F. Kaiser and R. W.
// Schafer, "On the use of the I0-sinh window for spectrum analysis", IEEE
// Trans. ASSP 28, 1980).
const (
	sincCrossings = 32   // zero crossings on either side
	kaiserBeta    = 10.0 // side lobes about 100 dB down (published formula, same paper)
	passShare     = 0.90 // cutoff as a share of the lower Nyquist frequency, half the transition below it

	// maxPhases bounds the filter table. Rates with more phases (44101 Hz) use
	// the two nearest ones, linearly mixed: error about -130 dB (computed).
	maxPhases = 2048
)

// Resample converts x from one sample rate to another, in Hz, without delay:
// sample n of the result lies at n/to seconds. Beyond its ends x is taken as
// silence. The result has ceil(len(x)·to/from) samples; equal rates hand back
// x itself. It panics unless both rates are positive.
func Resample(x []float64, from, to int) []float64 {
	if from <= 0 || to <= 0 {
		panic("audio: resampling needs positive rates")
	}
	if from == to {
		return x
	}
	g := gcd(from, to)
	up, down := to/g, from/g
	f := newPhases(up, float64(from), float64(to))
	out := make([]float64, (len(x)*up+down-1)/down)
	for n := range out {
		at := n * down
		out[n] = f.at(x, at/up, float64(at%up)/float64(up))
	}
	return out
}

// phases is the filter sampled at every phase between two input samples.
type phases struct {
	half int // input samples on either side
	rows [][]float64
}

func newPhases(up int, from, to float64) *phases {
	cut := passShare * min(1, to/from)
	f := &phases{half: int(math.Ceil(sincCrossings / min(1, to/from)))}
	n := min(up, maxPhases)
	f.rows = make([][]float64, n+1)
	for p := range f.rows {
		row := make([]float64, 2*f.half)
		sum := 0.0
		for k := range row {
			d := float64(k-f.half+1) - float64(p)/float64(n)
			row[k] = sinc(cut*d) * kaiser(d/float64(f.half))
			sum += row[k]
		}
		for k := range row {
			row[k] /= sum // a constant stays what it is
		}
		f.rows[p] = row
	}
	return f
}

// at is the value of x a fraction of a sample after index i.
func (f *phases) at(x []float64, i int, fraction float64) float64 {
	place := fraction * float64(len(f.rows)-1)
	p := int(place)
	v := f.dot(x, i, f.rows[p])
	if mix := place - float64(p); mix > 1e-9 {
		v += mix * (f.dot(x, i, f.rows[p+1]) - v)
	}
	return v
}

func (f *phases) dot(x []float64, i int, row []float64) float64 {
	from := i - f.half + 1
	if from < 0 {
		row = row[min(-from, len(row)):]
		from = 0
	}
	if from >= len(x) {
		return 0
	}
	seg := x[from:min(from+len(row), len(x))]
	row = row[:len(seg)]
	var a, b, c, d float64
	k := 0
	for ; k+4 <= len(seg); k += 4 {
		s, r := seg[k:k+4:k+4], row[k:k+4:k+4]
		a += s[0] * r[0]
		b += s[1] * r[1]
		c += s[2] * r[2]
		d += s[3] * r[3]
	}
	for ; k < len(seg); k++ {
		a += seg[k] * row[k]
	}
	return a + b + c + d
}

func sinc(x float64) float64 {
	if math.Abs(x) < 1e-9 {
		return 1
	}
	return math.Sin(math.Pi*x) / (math.Pi * x)
}

// kaiser is the window at u, -1 to +1 from end to end; 0 outside.
func kaiser(u float64) float64 {
	if math.Abs(u) > 1 {
		return 0
	}
	return bessel0(kaiserBeta*math.Sqrt(1-u*u)) / bessel0(kaiserBeta)
}

// bessel0 is the modified Bessel function of the first kind, order 0, by its
// power series.
func bessel0(x float64) float64 {
	sum, term := 1.0, 1.0
	for k := 1.0; term > 1e-16*sum; k++ {
		term *= (x / 2 / k) * (x / 2 / k)
		sum += term
	}
	return sum
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}
