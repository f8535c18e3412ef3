package breath

import (
	"fmt"
	"io"
	"strings"

	"waterkey/drawing"
	"waterkey/score"
)

// Measures of the drawing, in user units (estimates, set by looking at real parts).
const (
	leftEdge    = 112.0 // room for the names of the lines
	systemTop   = 74.0  // room for bar numbers, three rows of note names and breaths
	curveHeight = 112.0 // from full lungs to empty
	systemFoot  = 30.0
)

// hatching shades air below the comfortable line: nothing is said by color alone, and air
// that lacks is named.
const hatching = `<defs><pattern id="low-air" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path d="M0 0V5" stroke="` + drawing.Graphite + `" stroke-width="1.6"/></pattern></defs>`

// WriteSVG draws the air in liters over time for the played bars from to to (indexes
// into Performance.Bars, both included), with lines for full lungs, for where a
// player looks for the next breath, and for empty. Breaths stand above as players
// write them: a tick for a full breath, a comma for a catch breath; none in long
// rests. The error says that there are no such bars, or is the writer's.
func (b *Breathing) WriteSVG(w io.Writer, from, to int) error {
	bars := b.Performance.Bars
	if err := score.CheckBars(len(bars), from, to); err != nil {
		return err
	}
	lines := drawing.Lines(b.Performance, from, to, leftEdge)
	const height = systemTop + curveHeight + systemFoot
	part := b.Performance.Part
	out := drawing.New(w, drawing.PageWidth, float64(len(lines))*height,
		fmt.Sprintf("Air over time, bars %s to %s", part.BarName(bars[from].Bar), part.BarName(bars[to].Bar)))
	fmt.Fprintln(out, hatching)
	curve := b.Curve()
	for i, line := range lines {
		d := sketch{out, line, b, float64(i)*height + systemTop, i}
		d.draw(curve)
	}
	return out.Close()
}

// sketch is one line of the page; top is the height of full lungs on it.
type sketch struct {
	drawing.Canvas
	drawing.Line
	b      *Breathing
	top    float64
	number int
}

func (d sketch) draw(curve []Point) {
	d.levels()
	for _, s := range d.Line {
		d.BarLine(d.b.Performance, s, d.top, curveHeight, systemTop, drawing.Hair)
	}
	right := d.Right()
	d.Canvas.Line(right, d.top-4, right, d.top+curveHeight, drawing.Ink, 1, "")
	d.curve(curve)
	names := drawing.Names{}
	first, end := d.b.Performance.NotesIn(d.First(), d.Last())
	for i := first; i < end; i++ {
		d.name(i, &names)
	}
	for _, br := range d.b.Breaths {
		d.breath(br)
	}
	for _, l := range d.b.Lacking() {
		d.lack(l)
	}
}

// y is the height of some liters: full on top, nothing at the bottom.
func (d sketch) y(liters float64) float64 {
	full := d.b.Lungs.FullLiters()
	return d.top + curveHeight*(1-min(max(liters/full, 0), 1))
}

// levels draws the three lines of air with their liters.
func (d sketch) levels() {
	l := d.b.Lungs
	for _, v := range []struct {
		liters float64
		name   string
		dash   string
	}{{l.FullLiters(), "full", ""}, {l.ComfortableLiters(), "comfortable", "6 4"}, {l.ReserveLiters(), "empty", ""}} {
		y := d.y(v.liters)
		fmt.Fprintf(d, `<line x1="%.1f" y1="%.1f" x2="%.1f" y2="%.1f" stroke="%s" stroke-dasharray="%s"/>`+"\n", leftEdge, y, d.Right(), y, drawing.Faint, v.dash)
		d.Text(leftEdge-8, y+4, drawing.Style{Anchor: "end", Color: drawing.Graphite, Size: 10}, fmt.Sprintf("%s %.1f L", v.name, v.liters))
	}
}

// curve draws the air, and hatches what lies below the comfortable line.
func (d sketch) curve(curve []Point) {
	points := d.points(curve)
	if len(points) < 2 {
		return
	}
	low, path := d.y(d.b.Lungs.ComfortableLiters()), strings.Join(points, " ")
	fmt.Fprintf(d, `<clipPath id="low-%d"><rect x="0" y="%.1f" width="%.0f" height="%.1f"/></clipPath>`+"\n", d.number, low, drawing.PageWidth, d.top+curveHeight-low)
	first, _, _ := strings.Cut(points[0], ",")
	last, _, _ := strings.Cut(points[len(points)-1], ",")
	fmt.Fprintf(d, `<polygon points="%s %s,%.1f %s,%.1f" fill="url(#low-air)" clip-path="url(#low-%d)"/>`+"\n", path, last, low, first, low, d.number)
	fmt.Fprintf(d, `<polyline points="%s" fill="none" stroke="%s" stroke-width="1.8" stroke-linejoin="round"/>`+"\n", path, drawing.Ink)
}

// points are the curve's points on this line, cut at its edges.
func (d sketch) points(curve []Point) []string {
	start, end := d.Bounds()
	var out []string
	add := func(p Point) { out = append(out, fmt.Sprintf("%.1f,%.1f", d.X(p.At), d.y(p.Liters))) }
	for i, p := range curve {
		if i > 0 {
			a := curve[i-1]
			for _, edge := range []score.Seconds{start, end} {
				if a.At < edge && edge < p.At {
					share := float64((edge - a.At) / (p.At - a.At))
					add(Point{At: edge, Liters: a.Liters + share*(p.Liters-a.Liters)})
				}
			}
		}
		if p.At >= start && p.At <= end {
			add(p)
		}
	}
	return out
}

// breath draws the sign over the place: a tick or a comma, a ring around what the
// coach asked for.
func (d sketch) breath(br Breath) {
	at := d.b.Performance.Notes[br.After+1].Start
	at -= min(br.Room, score.Seconds(d.b.Lungs.FullSeconds)) / 2
	if br.Entry || !d.Within(at) {
		return
	}
	x, y := d.X(at), d.top-12
	path := "M%.1f %.1fq4.5 4 -1.5 10" // a comma
	if br.Kind == Full {
		path = "M%.1f %.1fm-5 -2l5 11l6 -14" // a tick
	}
	fmt.Fprintf(d, `<path d="`+path+`" fill="none" stroke="%s" stroke-width="2.2" stroke-linecap="round" stroke-linejoin="round"/>`+"\n", x, y, drawing.Ink)
	if br.Pinned {
		fmt.Fprintf(d, `<circle cx="%.1f" cy="%.1f" r="9" fill="none" stroke="%s"/>`+"\n", x, y+4, drawing.Ink)
	}
}

// lack names what is missing where the air is gone.
func (d sketch) lack(l Lack) {
	at := d.b.Performance.Notes[l.RunsOut].Start
	if d.Within(at) {
		d.Text(d.X(at), d.top+curveHeight+16, drawing.Style{Anchor: "start", Color: drawing.Ink, Size: 11}, fmt.Sprintf("✕ %.1f L short", l.Liters))
	}
}

// name writes the note above the curve.
func (d sketch) name(i int, names *drawing.Names) {
	x := d.X(d.b.Performance.Notes[i].Start)
	names.Write(d.Canvas, x, d.top-46, d.b.note(i))
}
