package audio

import "math"

// Resampling filter: a sinc under a Kaiser window.
const (
	sincCrossings = 32   // zero crossings on either side
	kaiserBeta    = 10.0 // side lobes about 100 dB down (published formula, Kaiser and Schafer 1980)
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
	r := NewResampler(from, to)
	if from == to {
		return x
	}
	out := make([]float64, 0, r.length(int64(len(x))))
	for ; len(x) > 0; x = x[min(blockFrames, len(x)):] {
		out = append(out, r.Push(x[:min(blockFrames, len(x))])...)
	}
	return append(out, r.Flush()...)
}

// Resampler converts a stream of samples as [Resample] does, block by block.
// Rates far above the wanted one are halved first, the rest is one polyphase
// filter.
type Resampler struct {
	from, to int64
	halvers  []*halver
	filter   *phases
	up, down int64
	buf      []float64 // input of the filter from index base on
	base     int64
	whole    int64 // index where the filter stands next, and the part of a sample after it
	part     int64 // in 1/up
	taken    int64 // samples of the stream
	made     int64 // samples of the result
	out      []float64
}

// NewResampler panics unless both rates, in Hz, are positive.
func NewResampler(from, to int) *Resampler {
	if from <= 0 || to <= 0 {
		panic("audio: resampling needs positive rates")
	}
	r := &Resampler{from: int64(from), to: int64(to)}
	if from == to {
		return r
	}
	halves := 0
	for ; float64(from)/math.Pow(2, float64(halves)) >= halveAbove*float64(to); halves++ {
		r.halvers = append(r.halvers, newHalver())
	}
	g := gcd(from, to<<halves)
	r.up, r.down = int64(to<<halves/g), int64(from/g)
	r.filter = newPhases(r.up, float64(to<<halves)/float64(from))
	r.base = int64(1 - r.filter.half)
	r.whole = r.base
	r.buf = make([]float64, r.filter.half-1)
	return r
}

// length is the number of samples that n become.
func (r *Resampler) length(n int64) int64 { return (n*r.to + r.from - 1) / r.from }

// Push takes samples in and hands out those of the result that are ready,
// valid until the next call.
func (r *Resampler) Push(x []float64) []float64 {
	if r.filter == nil {
		return x
	}
	r.taken += int64(len(x))
	for _, h := range r.halvers {
		x = h.push(x)
	}
	r.out = r.out[:0]
	r.run(x, math.MaxInt64)
	return r.out
}

// Flush hands out what is left of the result once the stream has ended, valid
// until the next call.
func (r *Resampler) Flush() []float64 {
	if r.filter == nil {
		return nil
	}
	r.out = r.out[:0]
	last := r.length(r.taken)
	for i, h := range r.halvers {
		x := h.flush()
		for _, next := range r.halvers[i+1:] {
			x = next.push(x)
		}
		r.run(x, last)
	}
	r.run(make([]float64, 2*r.filter.half), last)
	return r.out
}

// run filters what came in, up to the sample limit of the result.
func (r *Resampler) run(x []float64, limit int64) {
	r.buf = append(r.buf, x...)
	buf, out, width := r.buf, r.out, 2*r.filter.half
	from := int(r.whole - r.base)
	for r.made < limit && from+width <= len(buf) {
		out = append(out, r.filter.at(buf[from:from+width], r.part))
		r.made++
		r.part += r.down
		step := r.part / r.up
		r.part -= step * r.up
		r.whole += step
		from += int(step)
	}
	r.out = out
	if from = min(from, len(buf)); from > 0 {
		r.buf = buf[:copy(buf, buf[from:])]
		r.base += int64(from)
	}
}

// phases is the filter sampled at the phases between two input samples.
type phases struct {
	half int // input samples on either side, a multiple of halfStep
	up   int64
	rows [][]float64
}

// halfStep suits the vector kernel.
const halfStep = 8

// newPhases makes the filter for a ratio of wanted rate to rate.
func newPhases(up int64, ratio float64) *phases {
	narrow := min(1, ratio)
	half := math.Ceil(sincCrossings / narrow)
	f := &phases{up: up, half: (int(half) + halfStep - 1) / halfStep * halfStep}
	n := min(up, maxPhases)
	f.rows = make([][]float64, n+1)
	window := kaiser(kaiserBeta)
	for p := range f.rows {
		row := make([]float64, 2*f.half)
		for k := range row {
			d := float64(k-f.half+1) - float64(p)/float64(n)
			row[k] = sincCut(passShare*narrow, d) * window(d/half)
		}
		normalize(row)
		f.rows[p] = row
	}
	return f
}

// at is the value part/up of a sample after the middle of x, which is as long
// as the filter.
func (f *phases) at(x []float64, part int64) float64 {
	if f.up <= maxPhases {
		return dot(x, f.rows[part])
	}
	place := float64(part) / float64(f.up) * maxPhases
	p := int(place)
	v := dot(x, f.rows[p])
	return v + (place-float64(p))*(dot(x, f.rows[p+1])-v)
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}
