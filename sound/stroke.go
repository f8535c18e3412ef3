package sound

import (
	"math"
	"sync"
)

// The noise of a tongue stroke: air through the opening lips before the tone
// stands (all values are estimates).
const (
	strokeTime  = 0.03  // seconds it is heard
	strokeDecay = 0.008 // seconds to fall by a factor of e
	strokeRise  = 0.002 // seconds
	strokeLowHz = 800.0
	strokeTopHz = 5000.0 // each of the low-pass filters falls from here on
	strokePoles = 4      // low-pass filters: one alone leaves a hiss up to the highest frequencies, which is heard as a click
	strokeRate  = 48000.0
	strokeSize  = 1 << 13 // samples of stored noise
)

// strokeMore is how the noise of an attack differs from that of a plain one, in
// dB; attacks that are not listed have none.
var strokeMore = map[Attack]float64{Tongued: 0, Legato: -8, Accented: 4, Sforzando: 6}

// strokeNoise is noise between the two frequencies with an RMS of 1, always the
// same. It goes round without a seam: the filters have gone round once before.
var strokeNoise = sync.OnceValue(func() []float64 {
	low, high := 1-math.Exp(-2*math.Pi*strokeTopHz/strokeRate), 1-math.Exp(-2*math.Pi*strokeLowHz/strokeRate)
	white := whiteNoise(strokeSize)
	out, power := make([]float64, strokeSize), 0.0
	var smooth, before [strokePoles]float64
	slow := 0.0
	for i := range 2 * strokeSize {
		last := white[i%strokeSize]
		for k := range strokePoles {
			smooth[k] += low * ((last+before[k])/2 - smooth[k]) // the mean of two is nothing at half the rate
			before[k], last = last, smooth[k]
		}
		slow += high * (last - slow)
		out[i%strokeSize] = last - slow
	}
	for _, v := range out {
		power += v * v
	}
	for i := range out {
		out[i] /= math.Sqrt(power / strokeSize)
	}
	return out
})

// whiteNoise is n numbers between -1 and 1, always the same.
func whiteNoise(n int) []float64 {
	out := make([]float64, n)
	seed := uint64(1)
	for i := range out {
		seed ^= seed << 13 // xorshift (G. Marsaglia, Journal of Statistical Software 8, 2003)
		seed ^= seed >> 7
		seed ^= seed << 17
		out[i] = float64(seed>>11)/(1<<52) - 1
	}
	return out
}

// stroke is the noise at the start of a tone.
type stroke struct {
	start float64 // seconds
	gain  float64
	skip  int // where in the stored noise it begins, so that no two neighbors are alike
}

// strokesOf lists the strokes of a chain.
func (c chain) strokesOf(timbre *Timbre) []stroke {
	var out []stroke
	for i, l := range c {
		more, ok := strokeMore[l.Attack]
		if !ok || timbre.strokeDB == 0 || l.floor >= slurFloor {
			continue
		}
		db := min(max(l.level(l.start), softestDB), loudestDB) + timbre.strokeDB + more
		out = append(out, stroke{l.start, math.Pow(10, (ReferenceDBFS+db)/20), 997 * (i + int(l.start*7))})
	}
	return out
}

// addTo adds to out, whose first sample is number from of the clip, what the stroke
// has there.
func (s stroke) addTo(out []float64, from int, rate float64) {
	noise := strokeNoise()
	first := int(math.Ceil(s.start*rate)) - from
	for k := max(0, -first); k < int(strokeTime*rate) && first+k < len(out); k++ {
		at := float64(k) / rate
		shape := ease(at/strokeRise) * math.Exp(-at/strokeDecay) * (1 - at/strokeTime)
		place := at * strokeRate
		j := int(place)
		a, b := noise[(s.skip+j)%strokeSize], noise[(s.skip+j+1)%strokeSize]
		out[first+k] += s.gain * shape * mix(a, b, place-float64(j))
	}
}
