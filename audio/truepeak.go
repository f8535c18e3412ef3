package audio

import "math"

// True peak after ITU-R BS.1770-4, annex 2: the signal is interpolated to at
// least 192 kHz and its highest value taken. The filter is a windowed sinc of
// our own, longer than the standard's example.
const (
	peakRate = 160_000 // Hz: rates of half of this are doubled, lower ones taken four times
	peakTaps = 12      // on either side
	peakBeta = 7.0     // ripple 70 dB down

	peakBuffer = 1024 // samples worked through at a time
	peakChunk  = 96   // samples that are passed over together
)

// peakFilter interpolates between two samples. Two bounds tell without any
// filtering that nothing in a stretch can exceed the maximum so far: no value
// is above gain times the highest sample, and none is further from the
// straight line between its neighbors than bend times the greatest second
// difference.
type peakFilter struct {
	rows       [][]float64 // one for each point between two samples
	gain, bend float64
}

func newPeakFilter(rate int) *peakFilter {
	times := 4
	switch {
	case rate >= peakRate:
		times = 1
	case rate >= peakRate/2:
		times = 2
	}
	f := &peakFilter{}
	window := kaiser(peakBeta)
	for p := 1; p < times; p++ {
		row := make([]float64, 2*peakTaps)
		at := float64(p) / float64(times)
		for k := range row {
			d := float64(k-peakTaps+1) - at
			row[k] = sincCut(1, d) * window(d/peakTaps)
		}
		straighten(row, at)
		f.rows = append(f.rows, row)
		f.gain = max(f.gain, absSum(row))
		f.bend = max(f.bend, absSum(curve(row, at)))
	}
	return f
}

// straighten makes the filter hand a constant and a slope through unchanged.
func straighten(row []float64, at float64) {
	normalize(row)
	moment := -at
	for k, v := range row {
		moment += v * float64(k-peakTaps+1)
	}
	row[peakTaps-1] += moment
	row[peakTaps] -= moment
}

// curve is the filter written as a weighting of second differences: what it
// adds to the straight line between the middle samples, summed up twice.
func curve(row []float64, at float64) []float64 {
	g := make([]float64, len(row))
	once, twice := 0.0, 0.0
	for k, v := range row {
		switch k {
		case peakTaps - 1:
			v -= 1 - at
		case peakTaps:
			v -= at
		}
		once += v
		twice += once
		g[k] = twice
	}
	return g
}

func absSum(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += math.Abs(v)
	}
	return sum
}

// peakMeter follows the true peak of one channel.
type peakMeter struct {
	f   *peakFilter
	buf []float64 // begins with the samples that the filter still needs
	max float64
}

func newPeakMeter(f *peakFilter) *peakMeter {
	return &peakMeter{f: f, buf: make([]float64, peakTaps, peakBuffer+2*peakTaps)}
}

func (p *peakMeter) add(x []float64) {
	for len(x) > 0 {
		n := min(len(x), cap(p.buf)-len(p.buf))
		p.buf = append(p.buf, x[:n]...)
		x = x[n:]
		if len(p.buf) == cap(p.buf) {
			p.run()
		}
	}
}

// peak is the highest value so far, what is not worked through included; what
// follows is taken as silence.
func (p *peakMeter) peak() float64 {
	rest := peakMeter{f: p.f, max: p.max, buf: make([]float64, len(p.buf), len(p.buf)+2*peakTaps)}
	copy(rest.buf, p.buf)
	rest.buf = append(rest.buf, make([]float64, 2*peakTaps)...)
	rest.run()
	return rest.max
}

// run works through the buffer and keeps its end.
func (p *peakMeter) run() {
	if maxAbs(p.buf)*max(p.f.gain, 1) > p.max {
		for from := 0; from+2*peakTaps <= len(p.buf); from += peakChunk {
			p.chunk(p.buf[from:min(len(p.buf), from+peakChunk+2*peakTaps-1)])
		}
	}
	p.buf = p.buf[:copy(p.buf, p.buf[len(p.buf)-2*peakTaps+1:])]
}

// chunk looks at the stretch between the middle samples of x.
func (p *peakMeter) chunk(x []float64) {
	if maxAbs(x)*max(p.f.gain, 1) <= p.max {
		return
	}
	middle := x[peakTaps-1 : len(x)-peakTaps+1]
	p.max = max(p.max, maxAbs(middle))
	bend := p.f.bend * maxBend(x)
	for i := range len(middle) - 1 {
		if max(math.Abs(middle[i]), math.Abs(middle[i+1]))+bend <= p.max {
			continue
		}
		for _, row := range p.f.rows {
			p.max = max(p.max, math.Abs(dot(x[i:i+2*peakTaps], row)))
		}
	}
}

// maxBend is the greatest second difference in x.
func maxBend(x []float64) float64 {
	top := 0.0
	for i := 2; i < len(x); i++ {
		if d := math.Abs(x[i] - 2*x[i-1] + x[i-2]); d > top {
			top = d
		}
	}
	return top
}

// maxAbs is the greatest absolute value in x.
func maxAbs(x []float64) float64 {
	var a, b float64
	for ; len(x) >= 2; x = x[2:] {
		if v := math.Abs(x[0]); v > a {
			a = v
		}
		if v := math.Abs(x[1]); v > b {
			b = v
		}
	}
	if len(x) == 1 {
		a = max(a, math.Abs(x[0]))
	}
	return max(a, b)
}
