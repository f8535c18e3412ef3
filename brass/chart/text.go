package chart

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"waterkey/brass"
	"waterkey/prose"
)

// signed is a number with its sign, "0" for one that rounds to nothing.
func signed(x float64, digits int) string {
	s := strconv.FormatFloat(x, 'f', digits, 64)
	switch {
	case strings.Trim(s, "-0.") == "":
		return strings.TrimPrefix(s, "-")
	case x > 0:
		return "+" + s
	}
	return s
}

// padded fills s with spaces to a width in letters, on the right; with a negative
// width on the left.
func padded(s string, width int) string {
	fill := strings.Repeat(" ", max(abs(width)-utf8.RuneCountInString(s), 0))
	if width < 0 {
		return fill + s
	}
	return s + fill
}

func abs(n int) int { return max(n, -n) }

// WriteText writes the chart at most 80 columns wide.
func (c *Chart) WriteText(w io.Writer) error {
	out := &page{Writer: bufio.NewWriter(w)}
	out.paragraph(upperFirst(c.Instrument.Title) + ".")
	if c.Name != "" && c.Name != c.Instrument.Title {
		out.paragraph(c.Name)
	}
	if c.Instrument.Slide() {
		c.slideText(out)
	} else {
		c.fingeringText(out)
	}
	return out.Flush()
}

// upperFirst starts a sentence.
func upperFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// page is text under way.
type page struct{ *bufio.Writer }

// line writes a line without spaces at its end.
func (p *page) line(s string) { fmt.Fprintln(p, strings.TrimRight(s, " ")) }

func (p *page) paragraph(s string) {
	for _, l := range prose.Wrap(s, prose.Columns) {
		p.line(l)
	}
}

// ordinals name the positions.
var ordinals = [...]string{"1st", "2nd", "3rd", "4th", "5th", "6th", "7th"}

// cellWidth and marginWidth lay out a grid of seven positions: 8 + 7*10 columns.
const cellWidth, marginWidth = 10, 8

func (c *Chart) slideText(out *page) {
	out.line("")
	out.paragraph("A star is the usual way. A number behind a note is how far it lies beside its position in cm, minus is nearer to first; a number with c is what the slide cannot mend, in cents.")
	for _, g := range c.grids() {
		out.line("")
		out.paragraph(sideTitle(g.side))
		out.gridText(&g)
	}
	out.line("")
	out.paragraph("Every way, the usual one first. Alone is how far the partial sounds from pitch in the plain position, left is what leaning leaves.")
	out.line("")
	out.line(padded("note", 6) + padded("position", 11) + padded("partial", -7) + padded("slide", -11) + padded("lean", -11) + padded("alone", -9) + padded("left", -8))
	for i := range c.Notes {
		name := c.Notes[i].Written.Text()
		for k := range c.Notes[i].Ways {
			out.line(wayLine(name, &c.Notes[i].Ways[k]))
			name = ""
		}
	}
}

// sideTitle names a side of a slide horn.
func sideTitle(s brass.Side) string {
	if s.Valve == "" {
		return "Open horn"
	}
	whose := map[string]string{"T": "T for the thumb", "M": "M for the middle finger", "TM": "TM for both"}[s.Prefix]
	return fmt.Sprintf("With %s (%s1 is first, %s)", strings.ReplaceAll(strings.ReplaceAll(s.Valve, "b", "♭"), "+", " and "), s.Prefix, whose)
}

func (p *page) gridText(g *grid) {
	head, slide := padded("partial", marginWidth), padded("slide", marginWidth)
	for i, cm := range g.positions {
		head += padded(ordinals[i], cellWidth)
		slide += padded(fmt.Sprintf("%.1f cm", cm), cellWidth)
	}
	p.line(head)
	for _, r := range g.rows {
		line := padded(padded(fmt.Sprint(r.partial), -4), marginWidth)
		for _, e := range r.cells {
			text := ""
			if e.way != nil {
				text = e.text()
			}
			line += padded(text, cellWidth)
		}
		p.line(line)
	}
	p.line(slide)
}

// text is a cell of a grid: the note, a star for the usual way, and a remark.
func (e cell) text() string {
	star := ""
	if e.usual {
		star = "*"
	}
	return padded(e.note.Written.Text()+star, 4) + " " + remark(e.way)
}

// wayLine is one way of a slide horn.
func wayLine(name string, w *brass.Way) string {
	left := ""
	if math.Abs(w.OffCents) >= offShownCents {
		left = signed(w.OffCents, 0) + " c"
	}
	return padded(name, 6) + padded(w.Label, 11) + padded(fmt.Sprint(w.Partial), -7) +
		padded(fmt.Sprintf("%.1f cm", w.ExtensionCM), -11) + padded(signed(w.LeanCM, 1)+" cm", -11) +
		padded(signed(w.LeanCents, 0)+" c", -9) + padded(left, -8)
}
