// Package drawing is the paper that the music packages draw on: SVG in the colors
// and the type of the page, and bars laid out over time in lines, for what is drawn
// under them.
//
// Measures are units of the view box.
package drawing

import (
	"bufio"
	"fmt"
	"html"
	"io"
)

// Colors of the page. Nothing may be said by color alone.
const (
	Paper    = "#fbf8f0"
	Ink      = "#1c1a17"
	Graphite = "#5d5850" // what is beside the matter
	Hair     = "#ddd5c5"
	Faint    = "#cfc7b6"
	Wash     = "#f0e6cd" // the ground of what is in order
	Brass    = "#8a6420" // worth speaking of
)

// typeface of numbers and names, with what to fall back on.
const typeface = "'Atkinson Hyperlegible Next', 'DejaVu Sans', sans-serif"

// Canvas is an SVG document under way.
type Canvas struct{ *bufio.Writer }

// New begins a document on paper; label is what it shows, for those who do not see it.
func New(w io.Writer, width, height float64, label string) Canvas {
	c := Canvas{bufio.NewWriter(w)}
	fmt.Fprintf(c, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %.0f %.0f" font-family="%s" role="img" aria-label="%s">`+"\n",
		width, height, typeface, html.EscapeString(label))
	fmt.Fprintf(c, `<rect width="100%%" height="100%%" fill="%s"/>`+"\n", Paper)
	return c
}

// Close ends the document. The error is the writer's, of now or before.
func (c Canvas) Close() error {
	fmt.Fprintln(c, "</svg>")
	return c.Flush()
}

// Line draws a straight line. more are further attributes, beginning with a space.
func (c Canvas) Line(x1, y1, x2, y2 float64, color string, width float64, more string) {
	fmt.Fprintf(c, `<line x1="%.1f" y1="%.1f" x2="%.1f" y2="%.1f" stroke="%s" stroke-width="%g"%s/>`+"\n", x1, y1, x2, y2, color, width, more)
}

// Style of a text.
type Style struct {
	Anchor string // "start", "middle" or "end"
	Color  string
	Size   float64
	Bold   bool
}

// Text writes on a halo of paper, so that a line behind it does not cross it out.
func (c Canvas) Text(x, y float64, s Style, text string) {
	weight := ""
	if s.Bold {
		weight = ` font-weight="bold"`
	}
	fmt.Fprintf(c, `<text x="%.1f" y="%.1f" text-anchor="%s" fill="%s" font-size="%g"%s stroke="%s" stroke-width="3" paint-order="stroke">%s</text>`+"\n",
		x, y, s.Anchor, s.Color, s.Size, weight, Paper, html.EscapeString(text))
}
