package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"waterkey/hear"
)

func hearCommand() *cobra.Command {
	var f partFlags
	var o hear.Options
	var table bool
	var svg string
	c := &cobra.Command{
		Use: "hear PART TAKE", Short: "Measure a recorded take against the page",
		Args: wants(cobra.ExactArgs(2)),
		RunE: func(c *cobra.Command, args []string) error {
			if err := checkTuning(o.A4); err != nil {
				return err
			}
			p, err := f.prepare(c, args[0])
			if err != nil {
				return err
			}
			take, err := hearTake(c, p, args[1], o)
			if err != nil {
				return err
			}
			if svg != "" {
				if err := writeFile(svg, func(w io.Writer) error { return take.WriteSVG(w, 0, len(take.Notes)-1) }); err != nil {
					return err
				}
			}
			if f.json {
				return printJSON(c.OutOrStdout(), take)
			}
			printHead(c.OutOrStdout(), p.Part.Title, p.Part.Name)
			printTake(c.OutOrStdout(), take, table)
			return nil
		},
	}
	f.add(c)
	addTuning(c, &o.A4)
	addTerms(c, &f)
	c.Flags().StringVar(&svg, "svg", "", "draw the take note by note to this file")
	c.Flags().BoolVar(&table, "notes", false, "print the measures of every note")
	return c
}

// addTerms adds --terms for the commands that listen.
func addTerms(c *cobra.Command, f *partFlags) {
	c.Flags().StringVar(&f.terms, "terms", "us", "names of note values: us (quarter note) or uk (crotchet)")
}

func printTake(w io.Writer, t *hear.Take, table bool) {
	r := t.Record
	printLines(w, 0, fmt.Sprintf("Recording: %s at %d Hz, peak %.1f dBFS, loudness %.1f LUFS, noise floor %.0f dBFS.",
		clock(r.Seconds), r.SampleRate, r.PeakDBFS, r.LoudnessLUFS, r.NoiseFloorDBFS))
	for _, n := range r.Notices {
		printLines(w, 0, n)
	}
	if r.Clipped > 0 {
		fmt.Fprintf(w, "%d samples are clipped: record again with less gain.\n", r.Clipped)
	}
	printLines(w, 0, fmt.Sprintf("Tuned to A = %.1f Hz, %.1f felt beats a minute. %s", t.TuningHz, t.TempoBPM, tally(t)))
	if table {
		printTakeNotes(w, t)
	}
	if len(t.Findings) == 0 {
		fmt.Fprintln(w, "\nNothing stands out beyond what can be measured and heard.")
	} else {
		printFirst(w, t)
		printFindings(w, t.Findings)
	}
	fmt.Fprintln(w, "\nA coach's ear outranks every number here.")
}

// printFirst writes what a coach would say first, where there is more than that.
func printFirst(w io.Writer, t *hear.Take) {
	if len(t.Findings) <= len(t.First) {
		fmt.Fprintln(w, "\nWhat to fix first is on top.")
		return
	}
	fmt.Fprintln(w, "\nFirst")
	for _, i := range t.First {
		printItems(w, []string{t.Findings[i].Says})
	}
}

// tally counts the states: "118 of 120 notes played, 1 missed, 1 other."
func tally(t *hear.Take) string {
	count := map[hear.State]int{}
	for _, n := range t.Notes {
		count[n.State]++
	}
	s := fmt.Sprintf("%d of %d notes played", count[hear.Played], len(t.Notes))
	if n := count[hear.Missed]; n > 0 {
		s += fmt.Sprintf(", %d missed", n)
	}
	if n := count[hear.Other]; n > 0 {
		s += fmt.Sprintf(", %d played as another", n)
	}
	if n := len(t.Extra); n > 0 {
		s += fmt.Sprintf(", %d extra", n)
	}
	return s + "."
}

// printTakeNotes writes one row a note: time in seconds, deviation in ms and
// cents, sounded share of the written value, level in dB.
func printTakeNotes(w io.Writer, t *hear.Take) {
	fmt.Fprintf(w, "\n%5s  %-5s %-7s %8s %8s %7s %7s %7s %8s\n", "bar", "note", "state", "at s", "late ms", "cents", "own", "length", "level dB")
	for _, n := range t.Notes {
		row := fmt.Sprintf("%5s  %-5s %-7s", n.Bar, n.Pitch, n.State)
		if n.Measures != nil {
			m := n.Measures
			row += fmt.Sprintf(" %8.2f %8.0f %7.1f %7.1f %7.2f %8.1f", m.Onset, m.Late, m.Cents, m.CentsOwn, m.LengthRatio, m.LevelDB)
			if n.Heard != "" && n.State == hear.Other {
				row += "  heard " + n.Heard
			}
		}
		fmt.Fprintln(w, strings.TrimRight(row, " "))
	}
}
