package breath

import (
	"bufio"
	"fmt"
	"html"
	"io"
	"strings"

	"waterkey/score"
)

// Colors of the page. Nothing is said by color alone: low air is hatched, air that
// lacks is named.
const (
	paper    = "#fbf8f0"
	ink      = "#1c1a17"
	graphite = "#5d5850"
	hair     = "#ddd5c5"
	faint    = "#cfc7b6"
)

// typeface of numbers and names, with what to fall back on.
const typeface = "'Atkinson Hyperlegible Next', 'DejaVu Sans', sans-serif"

// hatching shades air below the comfortable line.
const hatching = `<defs><pattern id="low-air" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path d="M0 0V5" stroke="` + graphite + `" stroke-width="1.6"/></pattern></defs>`

// WriteSVG draws the air in liters over time for the played bars from to to (indexes
// into Performance.Bars, both included), with lines for full lungs, for where a
// player looks for the next breath, and for empty. Breaths stand above as players
// write them: a tick for a full breath, a comma for a catch breath; none in long
// rests. The error says that there are no such bars, or is the writer's.
func (b *Breathing) WriteSVG(w io.Writer, from, to int) error {
	bars := b.Performance.Bars
	if from < 0 || to < from || to >= len(bars) {
		return fmt.Errorf("bars at index %d to %d do not lie in the part's %d; indexes go from 0 to %d", from, to, len(bars), len(bars)-1)
	}
	out := bufio.NewWriter(w)
	lines := layout(b.Performance, from, to)
	const lineHeight = systemTop + curveHeight + systemFoot
	part := b.Performance.Part
	fmt.Fprintf(out, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %.0f %.0f" font-family="%s" role="img" aria-label="%s">`+"\n",
		pageWidth, float64(len(lines))*lineHeight, typeface,
		html.EscapeString(fmt.Sprintf("Air over time, bars %s to %s", part.BarName(bars[from].Bar), part.BarName(bars[to].Bar))))
	fmt.Fprintf(out, `<rect width="100%%" height="100%%" fill="%s"/>%s`+"\n", paper, hatching)
	curve := b.Curve()
	for i, line := range lines {
		d := drawing{out, b, line, float64(i)*lineHeight + systemTop, i}
		d.draw(curve)
	}
	fmt.Fprintln(out, "</svg>")
	return out.Flush()
}

// drawing is one line of the page; top is the height of full lungs on it.
type drawing struct {
	*bufio.Writer
	b      *Breathing
	staves []stave
	top    float64
	number int
}

func (d drawing) draw(curve []Point) {
	d.levels()
	for _, s := range d.staves {
		d.barLine(s)
	}
	right := d.right()
	d.line(right, d.top-4, right, d.top+curveHeight, ink, 1)
	d.curve(curve)
	rows := nameRows{}
	first, end := notesIn(d.b.Performance, d.staves[0].from, d.staves[len(d.staves)-1].to)
	for i := first; i < end; i++ {
		d.name(i, &rows)
	}
	for _, br := range d.b.Breaths {
		d.breath(br)
	}
	for _, l := range d.b.Lacking() {
		d.lack(l)
	}
}

func (d drawing) right() float64 {
	last := d.staves[len(d.staves)-1]
	return last.x + last.width
}

// y is the height of some liters: full on top, nothing at the bottom.
func (d drawing) y(liters float64) float64 {
	full := d.b.Lungs.FullLiters()
	return d.top + curveHeight*(1-min(max(liters/full, 0), 1))
}

// x is where a moment lies; moments outside lie at the edges.
func (d drawing) x(t score.Seconds) float64 {
	for _, s := range d.staves {
		if t < s.end {
			return max(s.at(t), d.staves[0].x)
		}
	}
	return d.right()
}

// bounds are the moments at which the line starts and ends.
func (d drawing) bounds() (start, end score.Seconds) {
	return d.staves[0].start, d.staves[len(d.staves)-1].end
}

func (d drawing) within(t score.Seconds) bool {
	start, end := d.bounds()
	return t >= start && t < end
}

// levels draws the three lines of air with their liters.
func (d drawing) levels() {
	l := d.b.Lungs
	for _, v := range []struct {
		liters float64
		name   string
		dash   string
	}{{l.FullLiters(), "full", ""}, {l.ComfortableLiters(), "comfortable", "6 4"}, {l.ReserveLiters(), "empty", ""}} {
		y := d.y(v.liters)
		fmt.Fprintf(d, `<line x1="%.1f" y1="%.1f" x2="%.1f" y2="%.1f" stroke="%s" stroke-dasharray="%s"/>`+"\n", leftEdge, y, d.right(), y, faint, v.dash)
		d.text(leftEdge-8, y+4, "end", graphite, 10, fmt.Sprintf("%s %.1f L", v.name, v.liters))
	}
}

// barLine draws the line at the start of a bar, its number, and a long rest.
func (d drawing) barLine(s stave) {
	d.line(s.x, d.top-4, s.x, d.top+curveHeight, hair, 1)
	number := d.b.Performance.Part.Bars[d.b.Performance.Bars[s.from].Bar].Number
	d.text(s.x+2, d.top-systemTop+14, "start", graphite, 11, number)
	if s.rest {
		middle := d.top + curveHeight/2
		d.line(s.x+8, middle, s.x+s.width-8, middle, ink, 6)
		d.text(s.x+s.width/2, middle-8, "middle", ink, 12, fmt.Sprint(s.to-s.from+1))
	}
}

// curve draws the air, and hatches what lies below the comfortable line.
func (d drawing) curve(curve []Point) {
	points := d.points(curve)
	if len(points) < 2 {
		return
	}
	low, path := d.y(d.b.Lungs.ComfortableLiters()), strings.Join(points, " ")
	fmt.Fprintf(d, `<clipPath id="low-%d"><rect x="0" y="%.1f" width="%.0f" height="%.1f"/></clipPath>`+"\n", d.number, low, pageWidth, d.top+curveHeight-low)
	first, _, _ := strings.Cut(points[0], ",")
	last, _, _ := strings.Cut(points[len(points)-1], ",")
	fmt.Fprintf(d, `<polygon points="%s %s,%.1f %s,%.1f" fill="url(#low-air)" clip-path="url(#low-%d)"/>`+"\n", path, last, low, first, low, d.number)
	fmt.Fprintf(d, `<polyline points="%s" fill="none" stroke="%s" stroke-width="1.8" stroke-linejoin="round"/>`+"\n", path, ink)
}

// points are the curve's points on this line, cut at its edges.
func (d drawing) points(curve []Point) []string {
	start, end := d.bounds()
	var out []string
	add := func(p Point) { out = append(out, fmt.Sprintf("%.1f,%.1f", d.x(p.At), d.y(p.Liters))) }
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
func (d drawing) breath(br Breath) {
	at := d.b.Performance.Notes[br.After+1].Start
	at -= min(br.Room, score.Seconds(d.b.Lungs.FullSeconds)) / 2
	if br.Entry || !d.within(at) {
		return
	}
	x, y := d.x(at), d.top-12
	path := "M%.1f %.1fq4.5 4 -1.5 10" // a comma
	if br.Kind == Full {
		path = "M%.1f %.1fm-5 -2l5 11l6 -14" // a tick
	}
	fmt.Fprintf(d, `<path d="`+path+`" fill="none" stroke="%s" stroke-width="2.2" stroke-linecap="round" stroke-linejoin="round"/>`+"\n", x, y, ink)
	if br.Pinned {
		fmt.Fprintf(d, `<circle cx="%.1f" cy="%.1f" r="9" fill="none" stroke="%s"/>`+"\n", x, y+4, ink)
	}
}

// lack names what is missing where the air is gone.
func (d drawing) lack(l Lack) {
	at := d.b.Performance.Notes[l.RunsOut].Start
	if d.within(at) {
		d.text(d.x(at), d.top+curveHeight+16, "start", ink, 11, fmt.Sprintf("✕ %.1f L short", l.Liters))
	}
}

// nameRows keeps names that lie close from covering each other: where the last name
// of each row ends.
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

// name writes the note above the curve.
func (d drawing) name(i int, rows *nameRows) {
	x := d.x(d.b.Performance.Notes[i].Start)
	name := d.b.note(i)
	const letter, gap = 6.6, 3.0 // width of a letter at 11 units, room between names (estimate)
	row := rows.take(x, letter*float64(len([]rune(name)))+gap)
	if row >= 0 {
		d.text(x, d.top-46+12*float64(row), "start", ink, 11, name)
	}
}

func (d drawing) line(x1, y1, x2, y2 float64, color string, width float64) {
	fmt.Fprintf(d, `<line x1="%.1f" y1="%.1f" x2="%.1f" y2="%.1f" stroke="%s" stroke-width="%g"/>`+"\n", x1, y1, x2, y2, color, width)
}

// text writes on a halo of paper, so that a line behind it does not cross it out.
func (d drawing) text(x, y float64, anchor, color string, size float64, s string) {
	fmt.Fprintf(d, `<text x="%.1f" y="%.1f" text-anchor="%s" fill="%s" font-size="%g" stroke="%s" stroke-width="3" paint-order="stroke">%s</text>`+"\n", x, y, anchor, color, size, paper, html.EscapeString(s))
}
