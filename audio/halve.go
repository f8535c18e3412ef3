package audio

import "slices"

// The half-band filter: a sinc at half the Nyquist frequency under a Kaiser
// window. Every other tap is 0, so halving a rate costs little (R. E.
// Crochiere and L. R. Rabiner, "Optimum FIR digital filter implementations for
// decimation, interpolation, and narrow-band filtering", IEEE Trans. ASSP 23,
// 1975).
const (
	halfTaps = 16   // on either side of the middle, zeros left out
	halfBeta = 12.0 // stop band about 118 dB down

	// halveAbove is how many times the wanted rate a rate must have to be
	// halved: what the filter's slope lets through then stays above the wanted
	// band (computed from taps and beta: 44.1 to 16 kHz still fits).
	halveAbove = 2.75
)

// halver halves the rate of a stream without delay. Beyond its ends the stream
// is taken as silence.
type halver struct {
	taps      []float64 // of the odd samples
	even, odd []float64 // not used up yet
	carry     []float64 // an even sample whose odd one has not come
	out       []float64
}

func newHalver() *halver {
	h := &halver{odd: make([]float64, halfTaps), taps: make([]float64, 2*halfTaps)}
	window := kaiser(halfBeta)
	for k := range h.taps {
		d := float64(2*k+1) - 2*halfTaps
		h.taps[k] = sincCut(0.5, d) * window(d/(2*halfTaps))
	}
	normalize(h.taps)
	return h
}

// push takes samples in and hands out those that are ready, valid until the
// next call.
func (h *halver) push(x []float64) []float64 {
	if len(h.carry) == 1 && len(x) > 0 {
		h.even, h.odd = append(h.even, h.carry[0]), append(h.odd, x[0])
		h.carry, x = h.carry[:0], x[1:]
	}
	n := len(x) / 2
	h.even, h.odd = slices.Grow(h.even, n), slices.Grow(h.odd, n)
	even, odd := h.even[len(h.even):len(h.even)+n], h.odd[len(h.odd):len(h.odd)+n]
	for i := range even {
		pair := x[2*i : 2*i+2]
		even[i], odd[i] = pair[0], pair[1]
	}
	h.even, h.odd = h.even[:len(h.even)+n], h.odd[:len(h.odd)+n]
	h.carry = append(h.carry, x[2*n:]...)
	return h.ready()
}

// flush hands out the rest: as many samples in all as half of what came in,
// rounded up.
func (h *halver) flush() []float64 {
	h.even = append(h.even, h.carry...)
	h.odd = append(h.odd, make([]float64, halfTaps+len(h.carry))...)
	h.carry = nil
	return h.ready()
}

// ready filters while both sides of the filter are there. The odd samples
// begin halfTaps before the even ones.
func (h *halver) ready() []float64 {
	n := max(0, min(len(h.even), len(h.odd)-2*halfTaps+1))
	h.out = slices.Grow(h.out[:0], n)[:n]
	out := h.out
	filter(out, h.odd, h.taps)
	for i, v := range h.even[:n] {
		out[i] = 0.5 * (v + out[i])
	}
	h.even = h.even[:copy(h.even, h.even[n:])]
	h.odd = h.odd[:copy(h.odd, h.odd[n:])]
	return h.out
}
