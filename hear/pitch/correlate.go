package pitch

import "math"

// register is a range of lags that are read from windows of one shape: a
// difference function over each block of a Hop, shared by the frames whose
// windows hold the block.
type register struct {
	lag0    int       // the first lag
	lags    int       // a multiple of 4
	back    int       // blocks from the window's start to the frame's time
	weights []float64 // of the blocks in the window
	ring    []piece   // the last blocks, by block number modulo their count
	diff    []float64 // the difference function of a frame, a mean over its window
	counts  float64   // samples that an even window as exact would have
}

// piece is what one block gives.
type piece struct {
	number int
	energy float64
	diff   []float64
}

// newRegister makes a register; weights are relative.
func newRegister(lag0, lags, back int, weights []float64) *register {
	r := &register{lag0: lag0, lags: lags, back: back, diff: make([]float64, lags)}
	total := 0.0
	for _, w := range weights {
		total += w * block
	}
	for _, w := range weights {
		w /= total
		r.counts += w * w * block
		r.weights = append(r.weights, w)
		r.ring = append(r.ring, piece{number: math.MinInt, diff: make([]float64, lags)})
	}
	r.counts = 1 / r.counts
	return r
}

// window is the length of the window in samples.
func (r *register) window() int { return len(r.weights) * block }

// difference fills diff with the mean of (y[j] - y[j+lag])² over the window of
// frame i, equation 6 of the YIN paper with a weight on each block. Sample p of
// the sound is y[p-first]. It returns false for silence.
func (r *register) difference(y []float64, first, i int) bool {
	energy := 0.0
	for b, w := range r.weights {
		energy += w * r.piece(y, first, i-r.back+b).energy
	}
	if energy < quiet {
		return false
	}
	clear(r.diff)
	b := 0
	for ; b+1 < len(r.weights); b += 2 {
		p, q := r.piece(y, first, i-r.back+b), r.piece(y, first, i-r.back+b+1)
		blend(r.diff, p.diff, q.diff, r.weights[b], r.weights[b+1])
	}
	if b < len(r.weights) {
		p := r.piece(y, first, i-r.back+b)
		blend(r.diff, p.diff, p.diff, r.weights[b], 0)
	}
	return true
}

// blend adds v·p + w·q to dst.
func blend(dst, p, q []float64, v, w float64) {
	p, q = p[:len(dst)], q[:len(dst)]
	for k := range dst {
		dst[k] += v*p[k] + w*q[k]
	}
}

// piece returns block b, computing it unless it is there.
func (r *register) piece(y []float64, first, b int) *piece {
	p := &r.ring[(b%len(r.ring)+len(r.ring))%len(r.ring)]
	if p.number == b {
		return p
	}
	p.number = b
	at := b*block - first
	x, y := y[at:at+block], y[at+r.lag0:at+r.lag0+r.lags+block]
	p.energy = sumSquares(x)
	correlate(p.diff, x, y)
	delayed := sumSquares(y[:block])
	gone, come := y[:len(p.diff)], y[block:][:len(p.diff)]
	for k, products := range p.diff {
		p.diff[k] = max(0, p.energy+delayed-2*products)
		delayed += (come[k] - gone[k]) * (come[k] + gone[k])
	}
	return p
}

// correlate sets out[k] = Σ x[j]·y[j+k] over the block x, four lags and four
// products at a time. len(out) is a multiple of 4, len(y) ≥ len(out)+block.
func correlate(out, x, y []float64) {
	x = x[:block]
	for k := 0; k+4 <= len(out); k += 4 {
		v := y[k:][:block+4]
		y0, y1, y2 := v[0], v[1], v[2]
		var s0, s1, s2, s3 float64
		for j := 0; j+4 <= block; j += 4 {
			x0, x1, x2, x3 := x[j], x[j+1], x[j+2], x[j+3]
			y3, y4, y5, y6 := v[j+3], v[j+4], v[j+5], v[j+6]
			s0 += (x0*y0 + x1*y1) + (x2*y2 + x3*y3)
			s1 += (x0*y1 + x1*y2) + (x2*y3 + x3*y4)
			s2 += (x0*y2 + x1*y3) + (x2*y4 + x3*y5)
			s3 += (x0*y3 + x1*y4) + (x2*y5 + x3*y6)
			y0, y1, y2 = y4, y5, y6
		}
		out[k], out[k+1], out[k+2], out[k+3] = s0, s1, s2, s3
	}
}

func sumSquares(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v * v
	}
	return sum
}
