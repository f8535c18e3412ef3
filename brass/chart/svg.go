package chart

import (
	"fmt"
	"io"

	"waterkey/drawing"
)

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
	var height float64
	var draw func(drawing.Canvas)
	if c.Instrument.Slide() {
		height, draw = c.slideDrawing()
	} else {
		height, draw = c.keysDrawing()
	}
	title := upperFirst(c.Instrument.Title)
	d := drawing.New(w, pageWidth, height, "Chart, "+c.Instrument.Title)
	d.Text(edge, 36, style("start", drawing.Ink, 19, true), title)
	if c.Name != "" && c.Name != c.Instrument.Title {
		d.Text(pageWidth-edge, 36, style("end", drawing.Graphite, 13, false), c.Name)
	}
	draw(d)
	return d.Close()
}

// style of a text; nothing is said by color alone: the usual way is bold, a pressed valve
// is filled.
func style(anchor, color string, size float64, bold bool) drawing.Style {
	return drawing.Style{Anchor: anchor, Color: color, Size: size, Bold: bold}
}

// Measures of a slide horn's panels.
const (
	slideLeft  = 96.0 // the closed slide
	slideRight = 44.0 // room behind its end
	rowHeight  = 30.0
	panelHead  = 52.0
	panelFoot  = 46.0
)

func (c *Chart) slideDrawing() (height float64, draw func(drawing.Canvas)) {
	grids := c.grids()
	height = headHeight
	for _, g := range grids {
		height += panelHead + rowHeight*float64(len(g.rows)) + panelFoot
	}
	return height, func(d drawing.Canvas) {
		d.Text(edge, 58, style("start", drawing.Graphite, 11, false), "Notes stand where the slide is for them: closed on the left. Bold is the usual way;")
		d.Text(edge, 73, style("start", drawing.Graphite, 11, false), "small numbers are the lean in cm, minus is nearer to first, or the cents (c) that it cannot mend.")
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
	drawing.Canvas
	c     *Chart
	top   float64
	scale float64
}

func (p panel) x(cm float64) float64 { return slideLeft + cm*p.scale }

func (p panel) draw(g *grid) {
	foot := p.top + rowHeight*float64(len(g.rows))
	p.Text(edge, p.top-32, style("start", drawing.Ink, 14, true), sideTitle(g.side))
	p.Text(edge, p.top-8, style("start", drawing.Graphite, 11, false), "partial")
	for i, cm := range g.positions {
		p.Line(p.x(cm), p.top, p.x(cm), foot, drawing.Hair, 1, "")
		p.Text(p.x(cm), p.top-8, style("middle", drawing.Ink, 13, true), fmt.Sprintf("%s%d", g.side.Prefix, i+1))
	}
	p.ruler(foot)
	p.Line(edge, p.top, pageWidth-edge, p.top, drawing.Ink, 1, "")
	for i, r := range g.rows {
		y := p.top + rowHeight*float64(i)
		if i > 0 {
			p.Line(edge, y, pageWidth-edge, y, drawing.Hair, 1, "")
		}
		p.Text(edge+30, y+19, style("end", drawing.Graphite, 12, false), fmt.Sprint(r.partial))
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
	s := style("middle", drawing.Graphite, 13, false)
	if e.usual {
		s.Color, s.Bold = drawing.Ink, true
	}
	r := remark(e.way)
	if r == "" {
		p.Text(x, y+20, s, e.note.Written.Text())
		return
	}
	p.Text(x, y+15, s, e.note.Written.Text())
	p.Text(x, y+26, style("middle", drawing.Graphite, 9, false), r)
}

// rulerStepCM is the distance of the marks on the ruler under a panel.
const rulerStepCM = 10.0

// ruler draws centimeters and the arm's reach below a panel.
func (p panel) ruler(foot float64) {
	end := p.c.Instrument.SlideMaxCM
	p.Line(p.x(0), foot, p.x(end), foot, drawing.Ink, 1, "")
	for cm := 0.0; cm <= end; cm += rulerStepCM {
		p.Line(p.x(cm), foot, p.x(cm), foot+5, drawing.Ink, 1, "")
		p.Text(p.x(cm), foot+17, style("middle", drawing.Graphite, 10, false), fmt.Sprintf("%.0f", cm))
	}
	p.Text(edge, foot+17, style("start", drawing.Graphite, 10, false), "cm")
	if reach := p.c.ReachCM; reach > 0 && reach < end {
		p.Line(p.x(reach), p.top, p.x(reach), foot+5, drawing.Graphite, 1, ` stroke-dasharray="4 3"`)
		p.Text(p.x(reach), foot+30, style("middle", drawing.Graphite, 10, false), "comfortable reach")
	}
}
