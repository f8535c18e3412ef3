package main

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"waterkey/desk"
)

// markFlags are the flags of mark alone.
type markFlags struct {
	out, svg, air, bars, why, compare string
}

func markCommand() *cobra.Command {
	var f partFlags
	var m markFlags
	c := &cobra.Command{
		Use: "mark PART [-o marked.musicxml]", Short: "Choose positions or fingerings and breaths and write them into the part",
		Args: wants(cobra.ExactArgs(1)),
		RunE: func(c *cobra.Command, args []string) error {
			p, err := f.prepare(c, args[0])
			if err != nil {
				return err
			}
			return m.run(c, p, f.json)
		},
	}
	f.add(c)
	f.addTempo(c)
	f.addChoices(c)
	f.addPlayer(c)
	f.breath.add(c)
	c.Flags().StringVarP(&m.out, "out", "o", "", "write the marked part to this file")
	c.Flags().StringVar(&m.svg, "svg", "", "draw the slide over time to this file")
	c.Flags().StringVar(&m.air, "air", "", "draw the air over time to this file")
	c.Flags().StringVar(&m.bars, "bars", "", "show and draw only these bars, such as 9-16")
	c.Flags().StringVar(&m.why, "why", "", "explain the choices of a bar or bars, such as 5 or 5-8")
	c.Flags().StringVar(&m.compare, "compare", "", "what another instrument, or an arm of so many cm (60cm), would spare")
	return c
}

// markDocument is the JSON of mark.
type markDocument struct {
	desk.MarkDocument
	Air desk.AirDocument `json:"air"`
}

// run answers what the flags ask for.
func (m *markFlags) run(c *cobra.Command, p *desk.Prepared, asJSON bool) error {
	from, to, err := m.span(p, m.bars)
	if err != nil {
		return err
	}
	if m.out != "" {
		if err := writeMarked(p, m.out, c.ErrOrStderr()); err != nil {
			return err
		}
	}
	if m.svg != "" {
		if err := writeFile(m.svg, func(w io.Writer) error { return p.WriteSlide(w, from, to) }); err != nil {
			return err
		}
	}
	if m.air != "" {
		if err := writeFile(m.air, func(w io.Writer) error { return p.WriteAir(w, from, to) }); err != nil {
			return err
		}
	}
	w := c.OutOrStdout()
	switch {
	case m.why != "":
		return m.explain(w, p, asJSON)
	case m.compare != "":
		return m.set(w, p, asJSON)
	}
	doc := markDocument{p.MarkBars(from, to), p.AirBars(from, to)}
	if asJSON {
		return printJSON(w, doc)
	}
	printHead(w, p.Part.Title, p.Part.Name)
	printMark(w, p.Path.Instrument, doc)
	return nil
}

// span is bars as indexes; all of them when none are named.
func (m *markFlags) span(p *desk.Prepared, bars string) (from, to int, err error) {
	if bars == "" {
		return 0, len(p.Part.Bars) - 1, nil
	}
	from, to, err = desk.BarRange(p.Part, bars)
	return from, to, usage(err)
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
	if report.KeptBreaths > 0 {
		fmt.Fprintf(stderr, "%s printed in the part already\n", counted(report.KeptBreaths, "breath mark"))
	}
	return nil
}
