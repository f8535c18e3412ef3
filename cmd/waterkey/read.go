package main

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"waterkey/brass"
	"waterkey/desk"
)

func readCommand() *cobra.Command {
	var f partFlags
	c := &cobra.Command{
		Use: "read PART", Short: "Walk through the page: what to watch for, in a coach's order",
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			p, err := f.prepare(args[0])
			if err != nil {
				return err
			}
			doc := p.Read()
			if f.json {
				return printJSON(c.OutOrStdout(), doc)
			}
			printRead(c.OutOrStdout(), p.Path.Instrument, doc)
			return nil
		},
	}
	f.add(c)
	f.addTempo(c)
	return c
}

func printRead(w io.Writer, in *brass.Instrument, d desk.ReadDocument) {
	printHead(w, d.Title, d.Part)
	printLines(w, 0, fmt.Sprintf("On a %s: %d bars, %d notes, %s to %s, %s with repeats.",
		in.Title, d.Bars, d.Notes, orNone(d.Lowest), orNone(d.Highest), clock(d.DurationS)))
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

func printHead(w io.Writer, title, part string) {
	switch {
	case title == "":
		title = part
	case part != "":
		title += ", " + part
	}
	if title != "" {
		fmt.Fprintln(w, title)
	}
}

func orNone(s string) string {
	if s == "" {
		return "no note"
	}
	return s
}
