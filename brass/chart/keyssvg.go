package chart

import (
	"fmt"
	"slices"
	"strings"

	"waterkey/drawing"
)

// Measures of a fingering chart: a cell for each semitone, an octave in a row.
const (
	keyCellHead = 62.0 // name, valves, fingering, partial
	otherLine   = 12.0
	cellFoot    = 12.0
	octave      = 12
	mostOthers  = 4 // other ways shown in a cell, those nearest to usual; the text has all
	valveRadius = 4.4
	valveStep   = 11.0
)

// octaveRow is the notes from a C to the B above.
type octaveRow struct {
	notes  [octave]*Note // nil where the instrument has none
	height float64
}

// octaves lays the written notes out from C to B, the highest octave on top.
func (c *Chart) octaves() []octaveRow {
	low, high := c.Notes[len(c.Notes)-1].Written.MIDI(), c.Notes[0].Written.MIDI()
	bottom, top := low/octave, high/octave
	rows := make([]octaveRow, top-bottom+1)
	for i := range c.Notes {
		midi := c.Notes[i].Written.MIDI()
		rows[top-midi/octave].notes[midi%octave] = &c.Notes[i]
	}
	for i := range rows {
		rows[i].height = c.rowHeight(&rows[i])
	}
	return rows
}

// rowHeight is what the fullest cell of a row needs.
func (c *Chart) rowHeight(r *octaveRow) float64 {
	most := 0
	for _, n := range r.notes {
		if n != nil {
			most = max(most, min(len(n.Ways)-1, mostOthers))
		}
	}
	height := keyCellHead + cellFoot + otherLine*float64(most)
	if c.Transposing() {
		height += otherLine
	}
	return height
}

func (c *Chart) keysDrawing() (height float64, draw func(drawing.Canvas)) {
	rows := c.octaves()
	height = headHeight + edge
	for _, r := range rows {
		height += r.height
	}
	return height, func(d drawing.Canvas) {
		c.keysLegend(d)
		top := headHeight
		for i := range rows {
			c.keysRow(d, &rows[i], top)
			top += rows[i].height
		}
		d.Line(edge, top, pageWidth-edge, top, drawing.Ink, 1, "")
	}
}

// keysRow draws an octave.
func (c *Chart) keysRow(d drawing.Canvas, r *octaveRow, top float64) {
	const width = (pageWidth - 2*edge) / octave
	d.Line(edge, top, pageWidth-edge, top, drawing.Ink, 1, "")
	for k, n := range r.notes {
		left := edge + width*float64(k)
		if k > 0 {
			d.Line(left, top, left, top+r.height, drawing.Hair, 1, "")
		}
		if n != nil {
			keyCell{d, c, left + width/2, top}.draw(n)
		}
	}
}

func (c *Chart) keysLegend(d drawing.Canvas) {
	s := style("start", drawing.Graphite, 11, false)
	first := "Filled valves are down. Below the usual fingering stand its partial and the cents it sounds from pitch."
	second := "Small: other fingerings, with their cents."
	if c.Transposing() {
		n := c.Notes[0]
		second += fmt.Sprintf(" Notes are as written; %s sounds %s.", n.Written.Text(), n.Pitch.Text())
	}
	d.Text(edge, 58, s, first)
	d.Text(edge, 73, s, second)
}

// keyCell is one note of a fingering chart; x is its middle.
type keyCell struct {
	drawing.Canvas
	c      *Chart
	x, top float64
}

func (k keyCell) draw(n *Note) {
	w := n.Ways[0]
	y := k.top + 17
	k.Text(k.x, y, style("middle", drawing.Ink, 14, true), n.Written.Text())
	if k.c.Transposing() {
		y += otherLine
		k.Text(k.x, y, style("middle", drawing.Graphite, 9, false), "sounds "+n.Pitch.Text())
	}
	k.valves(w.Valve, y+11)
	k.Text(k.x, y+31, style("middle", drawing.Ink, 12, true), w.Label)
	k.Text(k.x, y+43, style("middle", drawing.Graphite, 9, false), fmt.Sprintf("%d, %s c", w.Partial, signed(w.LeanCents, 0)))
	for i, o := range n.Ways[1:] {
		if i == mostOthers {
			break
		}
		k.Text(k.x, y+57+otherLine*float64(i), style("middle", drawing.Graphite, 10, false), fmt.Sprintf("%s  %s", o.Label, signed(o.LeanCents, 0)))
	}
}

// thumbGap sets the thumb's valve apart from the fingers'.
const thumbGap = 5.0

// valves draws the instrument's valves in a row, filled when down.
func (k keyCell) valves(down string, y float64) {
	vs := k.c.Instrument.Valves
	held := strings.Split(down, "+")
	x := k.x - valveStep*float64(len(vs)-1)/2
	if vs[0].Name == "T" {
		x += thumbGap / 2
	}
	for _, v := range vs {
		fill := "none"
		if slices.Contains(held, v.Name) {
			fill = drawing.Ink
		}
		at := x
		if v.Name == "T" {
			at -= thumbGap
		}
		fmt.Fprintf(k, `<circle cx="%.1f" cy="%.1f" r="%g" fill="%s" stroke="%s"/>`+"\n", at, y, valveRadius, fill, drawing.Ink)
		x += valveStep
	}
}
