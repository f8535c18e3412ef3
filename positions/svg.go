package positions

import (
	"bufio"
	"fmt"
	"html"
	"io"
	"math"
	"strings"

	"waterkey/brass"
	"waterkey/score"
)

// Colors of the page. Nothing is said by color alone: a held position is a thick
// line, a move a thin one, the valve a bar of its own.
const (
	paper    = "#fbf8f0"
	ink      = "#1c1a17"
	graphite = "#5d5850"
	hair     = "#ddd5c5"
	faint    = "#cfc7b6"
)

// typeface of numbers and names, with what to fall back on.
const typeface = "'Atkinson Hyperlegible Next', 'DejaVu Sans', sans-serif"

// WriteSVG draws the slide over time for the played bars from to to (indexes into
// Performance.Bars, both included): the closed slide on top, seventh position
// below, moves as minimum-jerk curves that end where the next note starts. Note
// names stand above, positions at the curve, bar numbers at the bar lines. The
// error says that there are no such bars or the horn has no slide, or is the
// writer's.
func (p *Path) WriteSVG(w io.Writer, from, to int) error {
	if err := checkBars(len(p.Performance.Bars), from, to); err != nil {
		return err
	}
	if p.Instrument.SlideMaxCM <= 0 {
		return fmt.Errorf("there is no slide to draw: the %s has valves alone", p.Instrument.Title)
	}
	out := bufio.NewWriter(w)
	systems := layout(p, from, to)
	height := float64(len(systems)) * (systemTop + curveHeight + systemFoot)
	fmt.Fprintf(out, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %.0f %.0f" font-family="%s" role="img" aria-label="%s">`+"\n",
		pageWidth, height, typeface, html.EscapeString("Slide over time, "+p.barsText(from, to)))
	fmt.Fprintf(out, `<rect width="100%%" height="100%%" fill="%s"/>`+"\n", paper)
	for i, s := range systems {
		d := drawing{out, p, s, float64(i)*(systemTop+curveHeight+systemFoot) + systemTop}
		d.draw()
	}
	fmt.Fprintln(out, "</svg>")
	return out.Flush()
}

func (p *Path) barsText(from, to int) string {
	part, bars := p.Performance.Part, p.Performance.Bars
	if from == to {
		return "bar " + part.BarName(bars[from].Bar)
	}
	return fmt.Sprintf("bars %s to %s", part.BarName(bars[from].Bar), part.BarName(bars[to].Bar))
}

// drawing is one system; top is the height of the closed slide on the page.
type drawing struct {
	*bufio.Writer
	p   *Path
	s   system
	top float64
}

func (d drawing) draw() {
	d.grid()
	for _, s := range d.s.spans {
		d.barLine(s)
	}
	last := d.s.spans[len(d.s.spans)-1]
	d.line(last.x+last.width, d.top, last.x+last.width, d.top+curveHeight, ink, 1)
	first, end := notesIn(d.p.Performance, d.s.spans[0].from, last.to)
	if first > 0 { // what still sounds, or moves, from the line before
		d.hold(first-1, false)
		d.move(first - 1)
	}
	rows := nameRows{}
	for i := first; i < end; i++ {
		d.hold(i, i == first)
		d.move(i)
		d.name(i, &rows)
	}
}

// y is the height of an extension.
func (d drawing) y(cm float64) float64 {
	return d.top + curveHeight*cm/d.p.Instrument.SlideMaxCM
}

// x is where a moment lies; moments outside the system lie at its edges.
func (d drawing) x(t score.Seconds) float64 {
	for _, s := range d.s.spans {
		if t < s.end {
			return max(s.at(t), d.s.spans[0].x)
		}
	}
	last := d.s.spans[len(d.s.spans)-1]
	return last.x + last.width
}

// bounds are the moments at which the system starts and ends.
func (d drawing) bounds() (start, end score.Seconds) {
	return d.s.spans[0].start, d.s.spans[len(d.s.spans)-1].end
}

// stay draws a level line from one moment to another, as far as the system goes,
// at least so long that it can be seen.
func (d drawing) stay(from, to score.Seconds, y, width float64) {
	const shortest = 1.5
	start, end := d.bounds()
	if from >= end || to <= start {
		return
	}
	x := d.x(from)
	d.line(x, y, max(d.x(to), x+shortest), y, ink, width)
}

// grid draws the positions of the open horn.
func (d drawing) grid() {
	last := d.s.spans[len(d.s.spans)-1]
	for n := 1; ; n++ {
		cm := openPosition(d.p.Instrument, n)
		if cm > d.p.Instrument.SlideMaxCM {
			return
		}
		d.line(leftEdge, d.y(cm), last.x+last.width, d.y(cm), hair, 1)
		d.text(leftEdge-8, d.y(cm)+4, "end", graphite, 11, fmt.Sprint(n))
	}
}

// openPosition is the extension of a position on the open horn, in cm: half the
// tube times the semitones' share (see package brass).
func openPosition(in *brass.Instrument, n int) float64 {
	return in.TubeCM / 2 * (math.Exp2(float64(n-1)/12) - 1)
}

// barLine draws the line at the start of a bar, its number, and a long rest.
func (d drawing) barLine(s span) {
	d.line(s.x, d.top-4, s.x, d.top+curveHeight, faint, 1)
	number := d.p.Performance.Part.Bars[d.p.Performance.Bars[s.from].Bar].Number
	d.text(s.x+2, d.top-systemTop+14, "start", graphite, 11, number)
	if s.rest {
		middle := d.top + curveHeight/2
		d.line(s.x+8, middle, s.x+s.width-8, middle, ink, 6)
		d.text(s.x+s.width/2, middle-8, "middle", ink, 12, fmt.Sprint(s.to-s.from+1))
	}
}

// hold draws the place of note i while it sounds, from the end of the move into
// it to the start of the move out of it, and the valve below.
func (d drawing) hold(i int, first bool) {
	way := d.p.Steps[i].Way
	n := d.p.Performance.Notes[i]
	start, _ := d.bounds()
	if way == nil {
		if n.Start >= start {
			d.text(d.x(n.Start), d.top+curveHeight/2, "start", ink, 12, "✕")
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
			d.text(d.x(n.Start), y+13, "start", graphite, 10, way.Valve)
		}
	}
}

// drawnSeconds is how long a move is drawn where there is more time for it
// (estimate: nobody spreads a move over a whole rest).
const drawnSeconds = 0.35

// leaves is when the slide leaves note i: where the move to the next starts, or
// the end of the note.
func (d drawing) leaves(i int) score.Seconds {
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
func (d drawing) joined(i int) bool {
	if i+1 >= len(d.p.Steps) || d.p.Steps[i].Way == nil || d.p.Steps[i+1].Way == nil {
		return false
	}
	for _, s := range d.s.spans {
		if s.rest && s.start >= d.p.Performance.Notes[i].Start && s.end <= d.p.Performance.Notes[i+1].Start {
			return false
		}
	}
	return true
}

// curvePoints is how many pieces a move is drawn in (estimate: smooth in print).
const curvePoints = 16

// move draws the way from note i to the next.
func (d drawing) move(i int) {
	if !d.joined(i) {
		return
	}
	from, to := d.leaves(i), d.p.Performance.Notes[i+1].Start
	a, b := d.p.Steps[i].Way.ExtensionCM, d.p.Steps[i+1].Way.ExtensionCM
	start, end := d.bounds()
	var points []string
	for k := range curvePoints + 1 {
		s := float64(k) / curvePoints
		if t := from + score.Seconds(s)*(to-from); t >= start && t <= end {
			points = append(points, fmt.Sprintf("%.1f,%.1f", d.x(t), d.y(a+minimumJerk(s)*(b-a))))
		}
	}
	if len(points) > 1 {
		fmt.Fprintf(d, `<polyline points="%s" fill="none" stroke="%s" stroke-width="1.3"/>`+"\n", strings.Join(points, " "), ink)
	}
}

// minimumJerk is how far a minimum-jerk motion is after a share s of its time,
// 0 to 1 (Flash and Hogan, Journal of Neuroscience 5, 1985).
func minimumJerk(s float64) float64 { return s * s * s * (10 - 15*s + 6*s*s) }

// nameRows keeps names that lie close from covering each other: where the last
// name of each row ends.
type nameRows [3]float64

// take is the first row with room at x, -1 when all are full.
func (r *nameRows) take(x, width float64) int {
	for k := range r {
		if x >= r[k] {
			r[k] = x + width
			return k
		}
	}
	return -1
}

// name writes the note above the curve and its position at it.
func (d drawing) name(i int, rows *nameRows) {
	n := d.p.Performance.Notes[i]
	x := d.x(n.Start)
	name := d.p.name(i)
	const letter, gap = 6.6, 3.0 // width of a letter at 11 units, room between names (estimate)
	row := rows.take(x, letter*float64(len([]rune(name)))+gap)
	if row < 0 {
		return
	}
	d.text(x, d.top-34+12*float64(row), "start", ink, 11, name)
	way := d.p.Steps[i].Way
	if way == nil || i > 0 && d.p.Steps[i-1].Way != nil && *d.p.Steps[i-1].Way == *way && row > 0 {
		return
	}
	y := d.y(way.ExtensionCM) + 14
	if y > d.top+curveHeight-2 {
		y = d.y(way.ExtensionCM) - 6
	}
	d.text(x+1, y, "start", graphite, 10, way.Label)
}

func (d drawing) line(x1, y1, x2, y2 float64, color string, width float64) {
	fmt.Fprintf(d, `<line x1="%.1f" y1="%.1f" x2="%.1f" y2="%.1f" stroke="%s" stroke-width="%g"/>`+"\n", x1, y1, x2, y2, color, width)
}

// text writes on a halo of paper, so that a line behind it does not cross it out.
func (d drawing) text(x, y float64, anchor, color string, size float64, s string) {
	fmt.Fprintf(d, `<text x="%.1f" y="%.1f" text-anchor="%s" fill="%s" font-size="%g" stroke="%s" stroke-width="3" paint-order="stroke">%s</text>`+"\n", x, y, anchor, color, size, paper, html.EscapeString(s))
}
