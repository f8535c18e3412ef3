package main

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"waterkey/brass"
	"waterkey/desk"
)

// printMark writes the table of positions and breaths by bar, then what to know about
// them.
func printMark(w io.Writer, in *brass.Instrument, d markDocument) {
	if in.Slide() {
		fmt.Fprintf(w, "Instrument %s; the slide travels %.0f cm, at most %.0f cm/s.\n", d.Instrument, d.TravelCM, d.PeakSpeedCMS)
	} else {
		fmt.Fprintf(w, "Instrument %s.\n", d.Instrument)
	}
	if d.Written != "" {
		printLines(w, 0, d.Written)
	}
	fmt.Fprintln(w)
	if in.Slide() {
		fmt.Fprintf(w, "%5s  %-5s %-6s %-5s %7s %8s  %-8s %s\n", "bar", "note", "value", "pos.", "partial", "slide", "slur", "other ways (extra cost)")
	} else {
		fmt.Fprintf(w, "%5s  %-5s %-6s %-9s %7s %9s %6s  %-6s %s\n", "bar", "note", "value", "fingering", "partial", "off pitch", "draw", "slur", "other ways (extra cost)")
	}
	bar, after := "", map[string]desk.BreathEntry{}
	for _, b := range d.Breaths {
		after[b.After] = b
	}
	for i, n := range d.Notes {
		margin := n.Bar
		if i > 0 && n.Bar == bar {
			margin = ""
		}
		bar = n.Bar
		fmt.Fprintln(w, strings.TrimRight(markRow(margin, n, in.Slide()), " "))
		if b, ok := after[n.ID]; ok && !b.Entry {
			fmt.Fprintln(w, breathRow(b))
		}
	}
	printHardest(w, d.Efforts)
	if len(d.Notes) > 0 {
		printBreaths(w, d.Breaths, d.Air)
	}
	printFindings(w, d.Findings)
	if len(d.Notes) > 0 {
		fmt.Fprintln(w)
		printLines(w, 0, strings.Join(d.Air.Cautions, " "))
	}
}

// printHardest names the bars that ask most of the arm.
func printHardest(w io.Writer, es []desk.EffortEntry) {
	const shown, telling = 5, 1.25 // bars at most, and the effort from which one is named
	es = slices.DeleteFunc(slices.Clone(es), func(e desk.EffortEntry) bool { return e.Effort < telling })
	if len(es) == 0 {
		return
	}
	slices.SortStableFunc(es, func(a, b desk.EffortEntry) int { return cmp.Compare(b.Effort, a.Effort) })
	fmt.Fprintln(w, "\nHardest for the arm (1 is a comfortable speed):")
	for _, e := range es[:min(shown, len(es))] {
		fmt.Fprintf(w, "%5s  %.1f, %.0f cm/s\n", e.Bar, e.Effort, e.PeakSpeedCMS)
	}
}

func markRow(margin string, n desk.MarkedNote, slide bool) string {
	if n.Choice == nil {
		return fmt.Sprintf("%5s  %-5s %-6s %s", margin, n.Written, n.Duration, "out of reach")
	}
	c := n.Choice
	// The position column is filled by hand: %-5s counts bytes, and ♯ has three.
	label := c.Label + strings.Repeat(" ", max(5-utf8.RuneCountInString(c.Label), 0))
	if !slide {
		return fmt.Sprintf("%5s  %-5s %-6s %-9s %7d %7s c %6s  %-6s %s", margin, n.Written, n.Duration, c.Label, c.Partial, signed(c.OffCents), drawn(c.LeanCM), n.Slur, otherWays(n.Others))
	}
	return fmt.Sprintf("%5s  %-5s %-6s %s %7d %5.1f cm  %-8s %s", margin, n.Written, n.Duration, label, c.Partial, c.ExtensionCM, n.Slur, otherWays(n.Others))
}

// signed is a deviation in whole cents with its sign, "0" for none.
func signed(cents float64) string {
	if cents = math.Round(cents); cents == 0 {
		return "0"
	}
	return fmt.Sprintf("%+.0f", cents)
}

// drawn is how far valve slides are drawn, empty when they stay.
func drawn(cm float64) string {
	if cm == 0 {
		return ""
	}
	return fmt.Sprintf("%.1f cm", cm)
}

// otherWays lists the cheapest two ways not chosen.
func otherWays(os []desk.OtherChoice) string {
	const shown = 2
	var parts []string
	for _, o := range os[:min(shown, len(os))] {
		parts = append(parts, fmt.Sprintf("%s (%.1f)", o.Label, o.ExtraCost))
	}
	return strings.Join(parts, ", ")
}
