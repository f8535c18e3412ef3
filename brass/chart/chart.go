// Package chart lays out every way an instrument offers to sound each pitch, as
// players know it from method books: for a slide horn partial by position, for
// valve brass a fingering table; as text, as a drawing and as a document.
//
// A chart is a view of [brass.Instrument.Ways]: it decides nothing. Notes run from
// the highest down. Lengths are centimeters from the closed slide, deviations cents,
// positive is sharp. Parts for transposing instruments name the written note first.
package chart

import (
	"math"

	"waterkey/brass"
	"waterkey/score"
)

// Chart is all ways of an instrument by pitch.
type Chart struct {
	Instrument *brass.Instrument
	Name       string  // what the player calls the horn; may be empty
	ReachCM    float64 // how far out the player's arm goes in comfort; 0 is not known
	Notes      []Note  // from the highest down
}

// Note is one pitch with the ways to sound it, the usual one first.
type Note struct {
	Pitch   score.Pitch // sounding
	Written score.Pitch // as parts for the instrument write it
	Ways    []brass.Way
}

// farthestBelow is how many semitones below the fundamental a chart looks for pedal
// notes: two octaves, more than any slide or valves reach.
const farthestBelow = 24

// New charts an instrument.
func New(in *brass.Instrument) *Chart {
	c := &Chart{Instrument: in}
	for midi := in.Highest().MIDI(); midi >= in.Fundamental.MIDI()-farthestBelow; midi-- {
		p := score.PitchFromMIDI(midi)
		if ways := in.Ways(p); len(ways) > 0 {
			c.Notes = append(c.Notes, Note{p, p.Transpose(in.Written.Steps, in.Written.Semitones), ways})
		}
	}
	return c
}

// Transposing says whether parts are written at another pitch than they sound.
func (c *Chart) Transposing() bool { return c.Instrument.Written.Semitones != 0 }

// cell is one entry of a grid.
type cell struct {
	note  *Note
	way   *brass.Way
	usual bool
}

// row is one partial of a side, by position; cells without a way are empty.
type row struct {
	partial int
	cells   []cell
}

// grid is one side of a slide horn: its partials from the highest down, and where
// its positions lie.
type grid struct {
	side      brass.Side
	positions []float64 // cm from the closed slide
	rows      []row
}

// grids lays the ways of a slide horn out by side.
func (c *Chart) grids() []grid {
	grids := make([]grid, len(c.Instrument.Sides))
	for i, s := range c.Instrument.Sides {
		grids[i] = grid{side: s, positions: c.Instrument.Positions(s)}
		for partial := brass.HighestPartial; partial >= 1; partial-- {
			if r, ok := c.row(s, partial, len(grids[i].positions)); ok {
				grids[i].rows = append(grids[i].rows, r)
			}
		}
	}
	return grids
}

// row finds the notes of a partial; ok is false when there are none.
func (c *Chart) row(s brass.Side, partial, positions int) (r row, ok bool) {
	r = row{partial, make([]cell, positions)}
	for i := range c.Notes {
		n := &c.Notes[i]
		for k := range n.Ways {
			w := &n.Ways[k]
			if w.Valve == s.Valve && w.Partial == partial && w.Position <= positions {
				r.cells[w.Position-1] = cell{n, w, k == 0}
				ok = true
			}
		}
	}
	return r, ok
}

// Below these amounts a chart does not mention that a note lies beside its position
// or that something is left out of tune (estimates: half a centimeter is 5 to 6
// cents, which a player hears and corrects without being told).
const (
	leanShownCM   = 0.5
	offShownCents = 5.0
)

// remark is what to know about a way beside its position: how far to lean, else what
// is left out of tune; "" for neither.
func remark(w *brass.Way) string {
	switch {
	case math.Abs(w.LeanCM) >= leanShownCM:
		return signed(w.LeanCM, 1)
	case math.Abs(w.OffCents) >= offShownCents:
		return signed(w.OffCents, 0) + "c"
	}
	return ""
}
