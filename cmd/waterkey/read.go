package main

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"waterkey/brass"
	"waterkey/desk"
	"waterkey/finding"
	"waterkey/reading"
	"waterkey/score"
)

func readCommand() *cobra.Command {
	var f partFlags
	var top int
	var markdown bool
	c := &cobra.Command{
		Use: "read PART", Short: "Walk through the page: what to watch for, in a coach's order",
		Args: wants(cobra.ExactArgs(1)),
		RunE: func(c *cobra.Command, args []string) error {
			switch {
			case f.json && markdown:
				return usage(errBothForms)
			case c.Flags().Changed("top") && top < 1:
				return usage(fmt.Errorf("--top %d: want 1 or more findings, such as 5; leave it out for all", top))
			}
			p, err := f.prepare(c, args[0])
			if err != nil {
				return err
			}
			doc := p.Read()
			doc.Findings = finding.Top(doc.Findings, top)
			switch {
			case f.json:
				return printJSON(c.OutOrStdout(), doc)
			case markdown:
				markdownRead(c.OutOrStdout(), p.Path.Instrument, doc)
			default:
				printRead(c.OutOrStdout(), p.Path.Instrument, doc)
			}
			return nil
		},
	}
	f.add(c)
	f.addTempo(c)
	f.addPlayer(c)
	f.breath.add(c)
	c.Flags().IntVar(&top, "top", -1, "only so many findings, the weightiest")
	c.Flags().BoolVar(&markdown, "markdown", false, "print Markdown")
	return c
}

func printRead(w io.Writer, in *brass.Instrument, d desk.ReadDocument) {
	printHead(w, d.Title, d.Part)
	printLines(w, 0, summary(in, d))
	if spark := spark(d.Tessitura.Histogram); spark != "" {
		printLines(w, 0, fmt.Sprintf("%s %s %s by time; most lies between %s and %s.", d.Written.Lowest, spark, d.Written.Highest, d.Written.Low, d.Written.High))
	}
	printFindings(w, d.Findings)
	fmt.Fprintln(w)
	for _, c := range d.Cautions {
		printLines(w, 0, c)
	}
	if len(d.PassedOver) > 0 {
		fmt.Fprintln(w, "\nPassed over in the file:")
		for _, s := range d.PassedOver {
			printLines(w, 2, s)
		}
	}
}

// summary is one sentence on the whole part, and how its notes are named.
func summary(in *brass.Instrument, d desk.ReadDocument) string {
	text := fmt.Sprintf("On %s: %s, %s, %s to %s, %s with repeats.",
		reading.WithArticle(in.Title), counted(d.Bars, "bar"), counted(d.Notes, "note"), orNone(d.Written.Lowest), orNone(d.Written.Highest), clock(d.DurationS))
	if d.Written.Says != "" {
		text += " " + d.Written.Says
	}
	return text
}

// spark draws how long each semitone sounds, one block a semitone from the
// lowest note to the highest.
func spark(h []desk.PitchEntry) string {
	blocks := []rune("▁▂▃▄▅▆▇█")
	seconds := map[int]float64{}
	lo, hi, most := 128, -1, 0.0
	for _, e := range h {
		p, err := score.ParsePitch(e.Pitch)
		if err != nil {
			continue
		}
		m := p.MIDI()
		seconds[m] += e.Seconds
		lo, hi, most = min(lo, m), max(hi, m), max(most, seconds[m])
	}
	out := ""
	for m := lo; m <= hi; m++ {
		if seconds[m] == 0 {
			out += " "
			continue
		}
		out += string(blocks[int(seconds[m]/most*float64(len(blocks)-1)+0.5)])
	}
	return out
}

// heading joins the title of a piece and the name of a part.
func heading(title, part string) string {
	switch {
	case title == "":
		return part
	case part == "" || part == title:
		return title
	}
	return title + ", " + part
}

func printHead(w io.Writer, title, part string) {
	if title = heading(title, part); title != "" {
		fmt.Fprintln(w, title)
	}
}

func orNone(s string) string {
	if s == "" {
		return "no note"
	}
	return s
}
