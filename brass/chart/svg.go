package chart

import (
	"bufio"
	"fmt"
	"html"
	"io"
)

// Colors of the page. Nothing is said by color alone: the usual way is bold, a
// pressed valve is filled.
const (
	paper    = "#fbf8f0"
	ink      = "#1c1a17"
	graphite = "#5d5850"
	hair     = "#ddd5c5"
)

// typeface of numbers and names, with what to fall back on.
const typeface = "'Atkinson Hyperlegible Next', 'DejaVu Sans', sans-serif"

// Measures of the drawing, in units of the view box.
const (
	pageWidth  = 820.0
	edge       = 28.0
	headHeight = 84.0
)

// WriteSVG draws the chart. On a slide horn every note stands where the slide is for
// it, lean included, with partials one above another; on valve brass fingerings stand
// in rows of an octave.
func (c *Chart) WriteSVG(w io.Writer) error {
	out := bufio.NewWriter(w)
	var height float64
	var draw func(drawing)
	if c.Instrument.Slide() {
		height, draw = c.slideDrawing()
	} else {
		height, draw = c.keysDrawing()
	}
	title := upperFirst(c.Instrument.Title)
	fmt.Fprintf(out, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %.0f %.0f" font-family="%s" role="img" aria-label="%s">`+"\n",
		pageWidth, height, typeface, html.EscapeString("Chart, "+c.Instrument.Title))
	fmt.Fprintf(out, `<rect width="100%%" height="100%%" fill="%s"/>`+"\n", paper)
	d := drawing{out}
	d.text(edge, 36, style{"start", ink, 19, true}, title)
	if c.Name != "" && c.Name != c.Instrument.Title {
		d.text(pageWidth-edge, 36, style{"end", graphite, 13, false}, c.Name)
	}
	draw(d)
	fmt.Fprintln(out, "</svg>")
	return out.Flush()
}

// drawing is a page under way.
type drawing struct{ *bufio.Writer }

// style of a text.
type style struct {
	anchor, color string
	size          float64
	bold          bool
}

// text writes on a halo of paper, so that a line behind it does not cross it out.
func (d drawing) text(x, y float64, s style, text string) {
	weight := ""
	if s.bold {
		weight = ` font-weight="bold"`
	}
	fmt.Fprintf(d, `<text x="%.1f" y="%.1f" text-anchor="%s" fill="%s" font-size="%g"%s stroke="%s" stroke-width="3" paint-order="stroke">%s</text>`+"\n",
		x, y, s.anchor, s.color, s.size, weight, paper, html.EscapeString(text))
}

func (d drawing) line(x1, y1, x2, y2 float64, color, more string) {
	fmt.Fprintf(d, `<line x1="%.1f" y1="%.1f" x2="%.1f" y2="%.1f" stroke="%s"%s/>`+"\n", x1, y1, x2, y2, color, more)
}

// Measures of a slide horn's panels.
const (
	slideLeft  = 96.0 // the closed slide
	slideRight = 44.0 // room behind its end
	rowHeight  = 30.0
	panelHead  = 52.0
	panelFoot  = 46.0
)

func (c *Chart) slideDrawing() (height float64, draw func(drawing)) {
	grids := c.grids()
	height = headHeight
	for _, g := range grids {
		height += panelHead + rowHeight*float64(len(g.rows)) + panelFoot
	}
	return height, func(d drawing) {
		d.text(edge, 58, style{"start", graphite, 11, false}, "Notes stand where the slide is for them: closed on the left. Bold is the usual way;")
		d.text(edge, 73, style{"start", graphite, 11, false}, "small numbers are the lean in cm, minus is nearer to first, or the cents (c) that it cannot mend.")
		top := headHeight
		for _, g := range grids {
			p := panel{d, c, top + panelHead, c.scale()}
			p.draw(&g)
			top += panelHead + rowHeight*float64(len(g.rows)) + panelFoot
		}
	}
}

// scale is units for each cm of slide.
func (c *Chart) scale() float64 {
	return (pageWidth - slideLeft - slideRight) / c.Instrument.SlideMaxCM
}

// panel is one side of a slide horn; top is the height of the line above its first
// row.
type panel struct {
	drawing
	c     *Chart
	top   float64
	scale float64
}

func (p panel) x(cm float64) float64 { return slideLeft + cm*p.scale }

func (p panel) draw(g *grid) {
	foot := p.top + rowHeight*float64(len(g.rows))
	p.text(edge, p.top-32, style{"start", ink, 14, true}, sideTitle(g.side))
	p.text(edge, p.top-8, style{"start", graphite, 11, false}, "partial")
	for i, cm := range g.positions {
		p.line(p.x(cm), p.top, p.x(cm), foot, hair, "")
		p.text(p.x(cm), p.top-8, style{"middle", ink, 13, true}, fmt.Sprintf("%s%d", g.side.Prefix, i+1))
	}
	p.ruler(foot)
	p.line(edge, p.top, pageWidth-edge, p.top, ink, "")
	for i, r := range g.rows {
		y := p.top + rowHeight*float64(i)
		if i > 0 {
			p.line(edge, y, pageWidth-edge, y, hair, "")
		}
		p.text(edge+30, y+19, style{"end", graphite, 12, false}, fmt.Sprint(r.partial))
		for _, e := range r.cells {
			if e.way != nil {
				p.note(e, y)
			}
		}
	}
}

// note writes a note at its place on the slide.
func (p panel) note(e cell, y float64) {
	x := p.x(e.way.ExtensionCM)
	s := style{"middle", graphite, 13, false}
	if e.usual {
		s.color, s.bold = ink, true
	}
	r := remark(e.way)
	if r == "" {
		p.text(x, y+20, s, e.note.Written.Text())
		return
	}
	p.text(x, y+15, s, e.note.Written.Text())
	p.text(x, y+26, style{"middle", graphite, 9, false}, r)
}

// rulerStepCM is the distance of the marks on the ruler under a panel.
const rulerStepCM = 10.0

// ruler draws centimeters and the arm's reach below a panel.
func (p panel) ruler(foot float64) {
	end := p.c.Instrument.SlideMaxCM
	p.line(p.x(0), foot, p.x(end), foot, ink, "")
	for cm := 0.0; cm <= end; cm += rulerStepCM {
		p.line(p.x(cm), foot, p.x(cm), foot+5, ink, "")
		p.text(p.x(cm), foot+17, style{"middle", graphite, 10, false}, fmt.Sprintf("%.0f", cm))
	}
	p.text(edge, foot+17, style{"start", graphite, 10, false}, "cm")
	if reach := p.c.ReachCM; reach > 0 && reach < end {
		p.line(p.x(reach), p.top, p.x(reach), foot+5, graphite, ` stroke-dasharray="4 3"`)
		p.text(p.x(reach), foot+30, style{"middle", graphite, 10, false}, "comfortable reach")
	}
}
