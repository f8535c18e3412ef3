package chart

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"waterkey/brass"
	"waterkey/prose"
)

// fingeringColumns are the widths of the columns that not every instrument has; 0
// leaves one out.
type fingeringColumns struct{ sounds, slide int }

func (c *Chart) fingeringText(out *page) {
	col := fingeringColumns{}
	if c.Transposing() {
		n := c.Notes[0]
		out.paragraph(fmt.Sprintf("Notes are as written: %s sounds %s.", n.Written.Text(), n.Pitch.Text()))
		col.sounds = 8
	}
	if s := togetherText(c.Instrument); s != "" {
		out.paragraph(s)
	}
	legend := "Off is how far the fingering sounds from pitch, in cents. "
	if slices.ContainsFunc(c.Instrument.Valves, func(v brass.Valve) bool { return v.KickCM > 0 }) {
		legend += "Slide is how far valve slides are drawn for it, and what is then left. "
		col.slide = 16
	}
	out.line("")
	out.paragraph(legend + "Behind other ways stand partial and cents.")
	out.line("")
	out.line(padded("note", 6) + clipped("sounds", col.sounds) + padded("keys", 8) + padded("partial", -7) + padded("off", -8) + "  " + clipped("slide", col.slide) + "other ways")
	for i := range c.Notes {
		c.fingeringLines(out, &c.Notes[i], col)
	}
}

// clipped is a padded heading, nothing in a column without width.
func clipped(s string, width int) string {
	if width == 0 {
		return ""
	}
	return padded(s, width)
}

// togetherText says how sharp valves sound together.
func togetherText(in *brass.Instrument) string {
	var parts []string
	for _, s := range in.Sides {
		if len(s.Valve) > 1 && s.Valve[0] != 'T' { // the thumb's half of a horn is in proportion
			parts = append(parts, fmt.Sprintf("%s %s", s.Prefix, signed(s.SharpCents(), 0)))
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return "Valves together, in cents against their semitones: " + strings.Join(parts, ", ") + "."
}

// fingeringLines writes a note: the usual fingering, and the others behind it on as
// many lines as they need.
func (c *Chart) fingeringLines(out *page, n *Note, col fingeringColumns) {
	w := n.Ways[0]
	head := padded(n.Written.Text(), 6) + clipped(n.Pitch.Text(), col.sounds) +
		padded(w.Label, 8) + padded(fmt.Sprint(w.Partial), -7) +
		padded(signed(w.LeanCents, 0)+" c", -8) + "  " + clipped(drawn(&w), col.slide)
	margin := strings.Repeat(" ", utf8.RuneCountInString(head))
	others := prose.Wrap(othersText(n.Ways[1:]), prose.Columns-len(margin))
	if len(others) == 0 {
		out.line(head)
	}
	for _, l := range others {
		out.line(head + strings.ReplaceAll(l, "_", " "))
		head = margin
	}
}

// drawn says how far slides go out and what is left.
func drawn(w *brass.Way) string {
	if w.LeanCM == 0 {
		return ""
	}
	s := fmt.Sprintf("%.1f cm", w.LeanCM)
	if math.Abs(w.OffCents) >= offShownCents {
		s += fmt.Sprintf(", %s c", signed(w.OffCents, 0))
	}
	return s
}

// othersText lists fingerings; an underscore is a space at which no line breaks.
func othersText(ways []brass.Way) string {
	var parts []string
	for _, w := range ways {
		parts = append(parts, fmt.Sprintf("%s_(%d,_%s)", w.Label, w.Partial, signed(w.LeanCents, 0)))
	}
	return strings.Join(parts, " ")
}
