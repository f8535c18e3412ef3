package sound

import (
	"math"
	"sort"
)

// Timbre is the sound of an instrument: the levels of its partials by pitch and
// brightness, and how it speaks.
//
// The law behind every timbre, in dB over frequency: a first-order high-pass for
// what the bell radiates, times a roll-off that is straight in dB against
// frequency above a knee. The wave steepens in the tube as it grows (N. H.
// Fletcher and A. Tarnopolsky, "Blowing pressure, power, and spectrum in trumpet
// playing", JASA 105, 1999), which lifts high partials more than low ones: so many
// dB more of level halve the roll-off, and fewer above forte, where the sound
// turns brassy (A. Myers, R. W. Pyle, J. Gilbert and D. M. Campbell, "The influence
// of bore size on brassiness", 2010, name the effect; the numbers are estimates).
type Timbre struct {
	Name string

	bellHz     float64 // 3 dB down below this
	kneeHz     float64
	rollOffDB  float64 // dB per kHz at mezzo-forte
	brightenDB float64 // dB more of level that halve the roll-off
	brassyDB   float64 // the same above forte

	notes []measured // at mezzo-forte, by pitch; nil is the law alone
	scale float64    // a note sounds as the measured one at its frequency times this

	strokeDB float64 // noise of the tongue, RMS relative to the tone; 0 is none
	speaks   float64 // periods more that an attack takes: low notes speak late
}

// measured are the partials of a recorded note in dB, the first partial first.
type measured struct {
	midi   int
	levels []float64
}

// hz is the fundamental of a measured note.
func (m measured) hz() float64 { return DefaultA4 * math.Exp2(float64(m.midi-69)/12) }

// Values of the law fitted to every second of 33 recorded mezzo-forte notes E2 to
// C5 (University of Iowa Musical Instrument Samples, tenor trombone; 2.9 dB RMS
// over all partials within 40 dB of the strongest).
const (
	bellHz     = 450.0
	kneeHz     = 300.0
	rollOffDB  = 13.0
	brightenDB = 12.0 // estimate
	brassyDB   = 8.0  // estimate
	forteDB    = stepDB
)

// plainTone is the law alone, without noise: exact in every partial.
var plainTone = Timbre{Name: "plain", bellHz: bellHz, kneeHz: kneeHz, rollOffDB: rollOffDB, brightenDB: brightenDB, brassyDB: brightenDB}

// partialDB is the level of partial n of hz for a brightness in dB: the level of
// the tone when it is steady.
func (t *Timbre) partialDB(n int, hz, brightness float64) float64 {
	f := float64(n) * hz
	if t.notes == nil {
		return t.bell(f) - t.slope(brightness)*t.reach(f)
	}
	return t.measuredDB(n, hz*t.scale) - (t.slope(brightness)-t.slope(0))*t.reach(f*t.scale)
}

// bell is what the bell keeps back of a low frequency.
func (t *Timbre) bell(hz float64) float64 {
	return -10 * math.Log10(1+(t.bellHz/hz)*(t.bellHz/hz))
}

// slope is the roll-off in dB per kHz.
func (t *Timbre) slope(brightness float64) float64 {
	brassy := max(brightness-forteDB, 0)
	return t.rollOffDB * math.Exp2(-(brightness-brassy)/t.brightenDB-brassy/t.brassyDB)
}

// reach is how far a frequency lies on the straight part of the roll-off, in kHz.
func (t *Timbre) reach(hz float64) float64 { return (math.Hypot(hz, t.kneeHz) - t.kneeHz) / 1000 }

// measuredDB is the level of partial n of hz between the measured notes around
// it. Outside their range the nearest note's levels stay at their frequencies
// (estimate: what bell and tube do does not move with the pitch).
func (t *Timbre) measuredDB(n int, hz float64) float64 {
	at := 69 + 12*math.Log2(hz/DefaultA4)
	i := sort.Search(len(t.notes), func(i int) bool { return float64(t.notes[i].midi) > at })
	switch i {
	case 0:
		return t.envelope(t.notes[0], float64(n)*hz/t.notes[0].hz())
	case len(t.notes):
		return t.envelope(t.notes[i-1], float64(n)*hz/t.notes[i-1].hz())
	}
	a, b := t.notes[i-1], t.notes[i]
	w := (at - float64(a.midi)) / float64(b.midi-a.midi)
	return mix(t.envelope(a, float64(n)), t.envelope(b, float64(n)), w)
}

// envelope reads the levels of a note at a number of partial that need not be
// whole; outside what was measured it goes on as the law does.
func (t *Timbre) envelope(m measured, number float64) float64 {
	last := len(m.levels)
	switch {
	case number <= 1:
		return m.levels[0] + t.bell(number*m.hz()) - t.bell(m.hz())
	case number >= float64(last):
		return m.levels[last-1] - t.rollOffDB*(number-float64(last))*m.hz()/1000
	}
	k := int(number)
	return mix(m.levels[k-1], m.levels[k], number-float64(k))
}
