package positions

import (
	"fmt"
	"io"
	"math"
	"strings"

	"waterkey/brass"
	"waterkey/drawing"
	"waterkey/score"
)

// Measures of the drawing, in user units (estimates, set by looking at real parts).
// Nothing is said by color alone: a held position is a thick line, a move a thin one,
// the valve a bar of its own.
const (
	leftEdge    = 44.0  // room for position numbers
	systemTop   = 62.0  // room for bar numbers and three rows of note names
	curveHeight = 112.0 // from the closed slide to its end
	systemFoot  = 34.0  // room for the valve line and a gap
)

// WriteSVG draws the slide over time for the played bars from to to (indexes into
// Performance.Bars, both included): the closed slide on top, seventh position
// below, moves as minimum-jerk curves that end where the next note starts. Note
// names stand above, positions at the curve, bar numbers at the bar lines. The
// error says that there are no such bars or the horn has no slide, or is the
// writer's.
func (p *Path) WriteSVG(w io.Writer, from, to int) error {
	if err := score.CheckBars(len(p.Performance.Bars), from, to); err != nil {
		return err
	}
	if p.Instrument.SlideMaxCM <= 0 {
		return fmt.Errorf("there is no slide to draw: the %s has valves alone", p.Instrument.Title)
	}
	lines := drawing.Lines(p.Performance, from, to, leftEdge)
	const height = systemTop + curveHeight + systemFoot
	out := drawing.New(w, drawing.PageWidth, float64(len(lines))*height, "Slide over time, "+p.barsText(from, to))
	for i, line := range lines {
		d := sketch{out, line, p, float64(i)*height + systemTop}
		d.draw()
	}
	return out.Close()
}

func (p *Path) barsText(from, to int) string {
	part, bars := p.Performance.Part, p.Performance.Bars
	if from == to {
		return "bar " + part.BarName(bars[from].Bar)
	}
	return fmt.Sprintf("bars %s to %s", part.BarName(bars[from].Bar), part.BarName(bars[to].Bar))
}

// sketch is one line of the page; top is the height of the closed slide on it.
type sketch struct {
	drawing.Canvas
	drawing.Line
	p   *Path
	top float64
}

func (d sketch) draw() {
	d.grid()
	for _, s := range d.Line {
		d.BarLine(d.p.Performance, s, d.top, curveHeight, systemTop, drawing.Faint)
	}
	d.Canvas.Line(d.Right(), d.top, d.Right(), d.top+curveHeight, drawing.Ink, 1, "")
	first, end := d.p.Performance.NotesIn(d.First(), d.Last())
	if first > 0 { // what still sounds, or moves, from the line before
		d.hold(first-1, false)
		d.move(first - 1)
	}
	names := drawing.Names{}
	for i := first; i < end; i++ {
		d.hold(i, i == first)
		d.move(i)
		d.name(i, &names)
	}
}

// y is the height of an extension.
func (d sketch) y(cm float64) float64 {
	return d.top + curveHeight*cm/d.p.Instrument.SlideMaxCM
}

// stay draws a level line from one moment to another, as far as the system goes,
// at least so long that it can be seen.
func (d sketch) stay(from, to score.Seconds, y, width float64) {
	const shortest = 1.5
	start, end := d.Bounds()
	if from >= end || to <= start {
		return
	}
	x := d.X(from)
	d.Canvas.Line(x, y, max(d.X(to), x+shortest), y, drawing.Ink, width, "")
}

// grid draws the positions of the open horn.
func (d sketch) grid() {
	for n := 1; ; n++ {
		cm := openPosition(d.p.Instrument, n)
		if cm > d.p.Instrument.SlideMaxCM {
			return
		}
		d.Canvas.Line(leftEdge, d.y(cm), d.Right(), d.y(cm), drawing.Hair, 1, "")
		d.Text(leftEdge-8, d.y(cm)+4, drawing.Style{Anchor: "end", Color: drawing.Graphite, Size: 11}, fmt.Sprint(n))
	}
}

// openPosition is the extension of a position on the open horn, in cm: half the
// tube times the semitones' share (see package brass).
func openPosition(in *brass.Instrument, n int) float64 {
	return in.TubeCM / 2 * (math.Exp2(float64(n-1)/12) - 1)
}

// hold draws the place of note i while it sounds, from the end of the move into
// it to the start of the move out of it, and the valve below.
func (d sketch) hold(i int, first bool) {
	way := d.p.Steps[i].Way
	n := d.p.Performance.Notes[i]
	start, _ := d.Bounds()
	if way == nil {
		if n.Start >= start {
			d.Text(d.X(n.Start), d.top+curveHeight/2, drawing.Style{Anchor: "start", Color: drawing.Ink, Size: 12}, "✕")
		}
		return
	}
	leaves, y := d.leaves(i), d.y(way.ExtensionCM)
	d.stay(n.Start, min(leaves, n.End), y, 3)
	if leaves > n.End { // a rest before the slide moves on
		d.stay(n.End, leaves, y, 1.3)
	}
	if way.Valve != "" {
		y = d.top + curveHeight + 8
		d.stay(n.Start, n.End, y, 4)
		if n.Start >= start && (first || d.p.Steps[i-1].Way == nil || d.p.Steps[i-1].Way.Valve != way.Valve) {
			d.Text(d.X(n.Start), y+13, drawing.Style{Anchor: "start", Color: drawing.Graphite, Size: 10}, way.Valve)
		}
	}
}

// drawnSeconds is how long a move is drawn where there is more time for it
// (estimate: nobody spreads a move over a whole rest).
const drawnSeconds = 0.35

// leaves is when the slide leaves note i: where the move to the next starts, or
// the end of the note.
func (d sketch) leaves(i int) score.Seconds {
	n := d.p.Performance.Notes[i]
	if !d.joined(i) {
		return n.End
	}
	time := d.p.Steps[i+1].Move.Time
	if !d.p.Performance.Written(i).GlissTo {
		time = min(time, drawnSeconds)
	}
	return max(d.p.Performance.Notes[i+1].Start-time, n.Start)
}

// joined says whether the curve runs on from note i to the next: both within
// reach, and no long rest between, in which the slide is free.
func (d sketch) joined(i int) bool {
	if i+1 >= len(d.p.Steps) || d.p.Steps[i].Way == nil || d.p.Steps[i+1].Way == nil {
		return false
	}
	for _, s := range d.Line {
		if s.Rest && s.Start >= d.p.Performance.Notes[i].Start && s.End <= d.p.Performance.Notes[i+1].Start {
			return false
		}
	}
	return true
}

// curvePoints is how many pieces a move is drawn in (estimate: smooth in print).
const curvePoints = 16

// move draws the way from note i to the next.
func (d sketch) move(i int) {
	if !d.joined(i) {
		return
	}
	from, to := d.leaves(i), d.p.Performance.Notes[i+1].Start
	a, b := d.p.Steps[i].Way.ExtensionCM, d.p.Steps[i+1].Way.ExtensionCM
	start, end := d.Bounds()
	var points []string
	for k := range curvePoints + 1 {
		s := float64(k) / curvePoints
		if t := from + score.Seconds(s)*(to-from); t >= start && t <= end {
			points = append(points, fmt.Sprintf("%.1f,%.1f", d.X(t), d.y(a+minimumJerk(s)*(b-a))))
		}
	}
	if len(points) > 1 {
		fmt.Fprintf(d, `<polyline points="%s" fill="none" stroke="%s" stroke-width="1.3"/>`+"\n", strings.Join(points, " "), drawing.Ink)
	}
}

// minimumJerk is how far a minimum-jerk motion is after a share s of its time,
// 0 to 1 (Flash and Hogan, Journal of Neuroscience 5, 1985).
func minimumJerk(s float64) float64 { return s * s * s * (10 - 15*s + 6*s*s) }

// name writes the note above the curve and its position at it.
func (d sketch) name(i int, names *drawing.Names) {
	n := d.p.Performance.Notes[i]
	x := d.X(n.Start)
	name := d.p.name(i)
	row := names.Write(d.Canvas, x, d.top-34, name)
	if row < 0 {
		return
	}
	way := d.p.Steps[i].Way
	if way == nil || i > 0 && d.p.Steps[i-1].Way != nil && *d.p.Steps[i-1].Way == *way && row > 0 {
		return
	}
	y := d.y(way.ExtensionCM) + 14
	if y > d.top+curveHeight-2 {
		y = d.y(way.ExtensionCM) - 6
	}
	d.Text(x+1, y, drawing.Style{Anchor: "start", Color: drawing.Graphite, Size: 10}, way.Label)
}
