package hear

import (
	"fmt"
	"html"
	"io"
	"math"
	"strings"

	"waterkey/drawing"
	"waterkey/score"
)

// Layout of the lanes in pixels.
const (
	lanesWide   = 960
	noteWide    = 24 // a column for each note
	marginLeft  = 76
	marginRight = 14
	nameHigh    = 34 // bar numbers and note names
	laneHigh    = 46
	laneGap     = 12
	systemGap   = 26
	top         = 14
)

// lane is one row of the drawing.
type lane struct {
	name  string
	reach float64 // value at the upper and lower edge
	band  float64 // within it nothing is said; 0 for none
	value func(n *Note) (v float64, ok bool)
	large func(n *Note, v float64) bool // worth its number
	share bool                          // drawn as a length: the sounded share of the written value
}

// lanes are the rows: intonation, time, level, length.
func (t *Take) lanes() []lane {
	level := medianLevel(t.Notes)
	return []lane{
		{name: "cents", reach: 50, band: inTune, value: func(n *Note) (float64, bool) { return n.CentsOwn, n.State == Played },
			large: func(n *Note, v float64) bool {
				return outOfBand(v, n.Unsure.Cents) && n.Offset-n.Onset >= shortToTune
			}},
		{name: "ms late", reach: 120, band: lateLimit, value: func(n *Note) (float64, bool) { return n.Late, true },
			large: func(n *Note, v float64) bool { return exceeds(v, lateLimit, n.Unsure.Late) }},
		{name: "dB", reach: 15, value: func(n *Note) (float64, bool) { return n.LevelDB - level, true },
			large: func(*Note, float64) bool { return false }},
		{name: "length", share: true, value: func(n *Note) (float64, bool) { return n.LengthRatio, true }},
	}
}

// WriteSVG draws the notes from to to (indexes, both included): their names,
// and under them how far each lies from the take's own tuning, from its local
// beat and from its median level, and what share of its written value it
// sounds. The error says that there are no such notes,
// or is the writer's.
func (t *Take) WriteSVG(w io.Writer, from, to int) error {
	if from < 0 || to >= len(t.Notes) || from > to {
		return fmt.Errorf("notes %d to %d are not in the take; it has 0 to %d", from, to, len(t.Notes)-1)
	}
	d := &sketch{take: t, lanes: t.lanes()}
	perLine := (lanesWide - marginLeft - marginRight) / noteWide
	lines := (to - from + perLine) / perLine
	high := top + lines*d.systemHigh()
	fmt.Fprintf(&d.b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" width="%d" height="%d" font-family="'Atkinson Hyperlegible Next', sans-serif" font-size="10">`+"\n",
		lanesWide, high, lanesWide, high)
	fmt.Fprintf(&d.b, `<title>A take, note by note: intonation in cents, time in milliseconds, level in decibels</title>`+"\n")
	fmt.Fprintf(&d.b, `<rect width="%d" height="%d" fill="%s"/>`+"\n", lanesWide, high, drawing.Paper)
	for k := range lines {
		first := from + k*perLine
		d.system(first, min(first+perLine-1, to), top+k*d.systemHigh())
	}
	d.b.WriteString("</svg>\n")
	_, err := io.WriteString(w, d.b.String())
	return err
}

// drawing gathers the elements.
type sketch struct {
	b     strings.Builder
	take  *Take
	lanes []lane
}

func (d *sketch) systemHigh() int { return nameHigh + len(d.lanes)*(laneHigh+laneGap) + systemGap }

// system draws one line of notes with its lanes.
func (d *sketch) system(first, last, y int) {
	right := marginLeft + (last-first+1)*noteWide
	for k, l := range d.lanes {
		d.ground(l, y+nameHigh+k*(laneHigh+laneGap), right)
	}
	for i := first; i <= last; i++ {
		n := &d.take.Notes[i]
		x := marginLeft + (i-first)*noteWide
		if i == first || n.Bar != d.take.Notes[i-1].Bar || n.Pass != d.take.Notes[i-1].Pass {
			d.barline(x, y, n.Bar)
		}
		d.name(n, x+noteWide/2, y+nameHigh-10)
		for k, l := range d.lanes {
			d.mark(l, n, x, y+nameHigh+k*(laneHigh+laneGap))
		}
	}
}

// ground is the empty lane.
func (d *sketch) ground(l lane, y, right int) {
	middle := y + laneHigh/2
	if l.band > 0 {
		half := l.band / l.reach * laneHigh / 2
		fmt.Fprintf(&d.b, `<rect x="%d" y="%.1f" width="%d" height="%.1f" fill="%s"/>`+"\n", marginLeft, float64(middle)-half, right-marginLeft, 2*half, drawing.Wash)
	}
	if !l.share {
		fmt.Fprintf(&d.b, `<path d="M%d %dH%d" stroke="%s"/>`+"\n", marginLeft, middle, right, drawing.Hair)
	}
	fmt.Fprintf(&d.b, `<text x="%d" y="%d" text-anchor="end" fill="%s">%s</text>`+"\n", marginLeft-10, middle+3, drawing.Graphite, l.name)
}

func (d *sketch) barline(x, y int, number string) {
	bottom := y + nameHigh + len(d.lanes)*(laneHigh+laneGap) - laneGap
	fmt.Fprintf(&d.b, `<path d="M%d %dV%d" stroke="%s"/>`+"\n", x, y+nameHigh-22, bottom, drawing.Hair)
	fmt.Fprintf(&d.b, `<text x="%d" y="%d" fill="%s" font-style="italic" font-family="Literata, serif">%s</text>`+"\n", x+3, y+nameHigh-24, drawing.Graphite, html.EscapeString(number))
}

// name writes the note, or what became of it.
func (d *sketch) name(n *Note, x, y int) {
	text, color := n.Pitch, drawing.Ink
	switch n.State {
	case Missed:
		text, color = "("+text+")", drawing.Brass
	case Other:
		text, color = n.Heard+"!", drawing.Brass
	}
	if p, err := score.ParsePitch(strings.Trim(text, "()!")); err == nil {
		text = strings.Replace(text, strings.Trim(text, "()!"), p.Text(), 1)
	}
	fmt.Fprintf(&d.b, `<text x="%d" y="%d" text-anchor="middle" fill="%s">%s</text>`+"\n", x, y, color, text)
}

// mark draws the value of a note in a lane, with its number where it is large.
func (d *sketch) mark(l lane, n *Note, x, y int) {
	if n.Measures == nil {
		return
	}
	v, ok := l.value(n)
	if !ok {
		return
	}
	if l.share {
		d.length(v, x, y)
		return
	}
	at := float64(y) + laneHigh/2*(1-max(-1, min(v/l.reach, 1)))
	color := drawing.Graphite
	if l.large(n, v) {
		color = drawing.Brass
		dy := -5.0
		if v < 0 {
			dy = 11
		}
		fmt.Fprintf(&d.b, `<text x="%d" y="%.1f" text-anchor="middle" fill="%s" font-size="9">%+.0f</text>`+"\n", x+noteWide/2, at+dy, color, math.Round(v))
	}
	fmt.Fprintf(&d.b, `<path d="M%d %.1fh%d" stroke="%s" stroke-width="2.5"/>`+"\n", x+5, at, noteWide-10, color)
}

// length draws the written value as a pale bar and what sounds of it as a dark
// one.
func (d *sketch) length(share float64, x, y int) {
	const written = noteWide - 6 // pixels
	middle := y + laneHigh/2
	fmt.Fprintf(&d.b, `<path d="M%d %dh%d" stroke="%s" stroke-width="5"/>`+"\n", x+2, middle, written, drawing.Hair)
	fmt.Fprintf(&d.b, `<path d="M%d %dh%.1f" stroke="%s" stroke-width="5"/>`+"\n", x+2, middle, written*max(0, min(share, 1.2)), drawing.Graphite)
}
