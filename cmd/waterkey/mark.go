package main

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"waterkey/desk"
)

func markCommand() *cobra.Command {
	var f partFlags
	var out string
	c := &cobra.Command{
		Use: "mark PART [-o marked.musicxml]", Short: "Choose slide positions and write them into the part",
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			p, err := f.prepare(c, args[0])
			if err != nil {
				return err
			}
			if out != "" {
				if err := writeMarked(p, out, c.ErrOrStderr()); err != nil {
					return err
				}
			}
			doc := p.Mark()
			if f.json {
				return printJSON(c.OutOrStdout(), doc)
			}
			printHead(c.OutOrStdout(), p.Part.Title, p.Part.Name)
			printMark(c.OutOrStdout(), doc)
			return nil
		},
	}
	f.add(c)
	f.addTempo(c)
	c.Flags().StringVarP(&out, "out", "o", "", "write the marked part to this file")
	return c
}

// writeMarked writes the marked document and says what it left alone.
func writeMarked(p *desk.Prepared, out string, stderr io.Writer) error {
	data, report, err := p.Marked()
	if err != nil {
		return err
	}
	if err := writeFile(out, func(w io.Writer) error { _, err := w.Write(data); return err }); err != nil {
		return err
	}
	if report.KeptPositions > 0 {
		fmt.Fprintf(stderr, "%d notes keep the position already printed in the part\n", report.KeptPositions)
	}
	return nil
}

// printMark writes the table of positions by bar, then what to know about them.
func printMark(w io.Writer, d desk.MarkDocument) {
	fmt.Fprintf(w, "Instrument %s; the slide travels %.0f cm, at most %.0f cm/s.\n\n", d.Instrument, d.TravelCM, d.PeakSpeedCMS)
	fmt.Fprintf(w, "%5s  %-5s %-6s %-5s %7s %8s  %-8s %s\n", "bar", "note", "value", "pos.", "partial", "slide", "slur", "other ways (extra cost)")
	bar := ""
	for i, n := range d.Notes {
		margin := n.Bar
		if i > 0 && n.Bar == bar {
			margin = ""
		}
		bar = n.Bar
		fmt.Fprintln(w, strings.TrimRight(markRow(margin, n), " "))
	}
	if len(d.Breaths) > 0 {
		fmt.Fprintln(w, "\nRoom to breathe:")
		for _, b := range d.Breaths {
			fmt.Fprintf(w, "%5s  after %s, %s, %.1f s\n", b.Bar, b.Pitch, b.Kind, b.RoomS)
		}
	}
	printFindings(w, d.Findings)
}

func markRow(margin string, n desk.MarkedNote) string {
	if n.Choice == nil {
		return fmt.Sprintf("%5s  %-5s %-6s %s", margin, n.Pitch, n.Duration, "out of reach")
	}
	c := n.Choice
	// The position column is filled by hand: %-5s counts bytes, and ♯ has three.
	label := c.Label + strings.Repeat(" ", max(5-utf8.RuneCountInString(c.Label), 0))
	return fmt.Sprintf("%5s  %-5s %-6s %s %7d %5.1f cm  %-8s %s", margin, n.Pitch, n.Duration, label, c.Partial, c.ExtensionCM, n.Slur, otherWays(n.Others))
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
