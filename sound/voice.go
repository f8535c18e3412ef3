package sound

import (
	"math"

	"waterkey/audio/fourier"
)

// control is the state of the tone at one moment.
type control struct {
	hz         float64
	gain       float64 // RMS amplitude, full scale being 1
	brightness float64 // dB relative to mezzo-forte
}

// brightStep is the distance of the stored brightnesses in dB: fine enough that
// mixing two neighbors is no different from the envelope between (estimate).
const brightStep = 3.0

// cell names a stored period: semitones from A4, steps of brightness from
// mezzo-forte.
type cell struct{ semitone, bright int }

// bank holds stored periods, one for each semitone and each step of brightness
// that is needed. All have their partials in the same phase, so that a mix of two
// is a tone between them.
type bank struct {
	timbre  *Timbre
	rate    int
	a4      float64
	periods map[cell][]float32
	plan    *fourier.Real
}

func newBank(o Options) *bank {
	return &bank{timbre: o.Timbre, rate: o.Rate, a4: o.A4, periods: map[cell][]float32{}, plan: fourier.NewReal(tableSize)}
}

func (b *bank) period(c cell) []float32 {
	p, ok := b.periods[c]
	if !ok {
		hz := b.a4 * math.Exp2(float64(c.semitone)/12)
		p = period(b.timbre.partials(hz, brightStep*float64(c.bright), b.rate), b.plan)
		b.periods[c] = p
	}
	return p
}

// voice makes samples from stored periods.
type voice struct {
	*bank
	phase float64 // of the fundamental, in turns, 0 to 1
}

// layer is a stored period with its weight at both ends of a block.
type layer struct {
	cell     cell
	from, to float64
	period   []float32
}

// layers lists the periods whose mix gives the tone at a and, changing evenly,
// at b: one to four for each, shared ones once.
func (v *voice) layers(buf []layer, a, b control) []layer {
	buf = v.addCorners(buf, a, true)
	buf = v.addCorners(buf, b, false)
	for i := range buf {
		buf[i].period = v.period(buf[i].cell)
	}
	return buf
}

// addCorners adds the periods around one state, weighted by distance.
func (v *voice) addCorners(buf []layer, c control, first bool) []layer {
	const rounding = 1e-9 // of a step: the tone is on a stored one
	s := 12 * math.Log2(c.hz/v.a4)
	b := min(max(c.brightness, softestDB), loudestDB) / brightStep
	s0, b0 := math.Floor(s+rounding), math.Floor(b+rounding)
	ds, db := s-s0, b-b0
	for i, w := range [4]float64{(1 - ds) * (1 - db), (1 - ds) * db, ds * (1 - db), ds * db} {
		if w < rounding {
			continue
		}
		at := cell{int(s0) + i/2, int(b0) + i%2}
		k := 0
		for k < len(buf) && buf[k].cell != at {
			k++
		}
		if k == len(buf) {
			buf = append(buf, layer{cell: at})
		}
		if first {
			buf[k].from += w * c.gain
		} else {
			buf[k].to += w * c.gain
		}
	}
	return buf
}

// add adds n samples to out, going evenly from state a to state b. Samples
// outside out only move the phase on; first may be negative.
func (v *voice) add(out []float64, first, n int, a, b control) {
	var room [8]layer
	ls := v.layers(room[:0], a, b)
	inc, last := a.hz/float64(v.rate), b.hz/float64(v.rate)
	bend := (last - inc) / float64(n)
	phase := v.phase
	for j := range n {
		at := phase * tableSize
		k := int(at)
		f := at - float64(k)
		u := float64(j) / float64(n)
		sum := 0.0
		for i := range ls {
			l := &ls[i]
			y0, y1 := float64(l.period[k]), float64(l.period[k+1])
			sum += (l.from + u*(l.to-l.from)) * (y0 + f*(y1-y0))
		}
		if i := first + j; i >= 0 && i < len(out) {
			out[i] += sum
		}
		phase += inc
		phase -= math.Floor(phase)
		inc += bend
	}
	v.phase = phase
}
