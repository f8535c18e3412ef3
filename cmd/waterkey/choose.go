package main

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"waterkey/desk"
	"waterkey/finding"
	"waterkey/hear"
	"waterkey/prose"
)

func chooseCommand() *cobra.Command {
	var f partFlags
	var o hear.Options
	var markdown bool
	c := &cobra.Command{
		Use: "choose PART TAKE...", Short: "Hear several takes of a part: which one to send, and why",
		Args: wants(cobra.MinimumNArgs(2)),
		RunE: func(c *cobra.Command, args []string) error {
			if err := checkTuning(o.A4); err != nil {
				return err
			}
			if f.json && markdown {
				return usage(errBothForms)
			}
			p, err := f.prepare(c, args[0])
			if err != nil {
				return err
			}
			step, done := progress(c.ErrOrStderr(), "listening")
			o.Progress = step
			d, err := p.Choose(args[1:], o)
			done()
			if err != nil {
				return err
			}
			w := c.OutOrStdout()
			switch {
			case f.json:
				err = printJSON(w, d)
			case markdown:
				markdownChoose(w, heading(p.Part.Title, p.Part.Name), d)
			default:
				printHead(w, p.Part.Title, p.Part.Name)
				printChoose(w, d)
			}
			if err == nil && !measured(d) {
				err = errors.New("no take could be measured; what is wrong with each stands above")
			}
			return err
		},
	}
	f.add(c)
	addTuning(c, &o.A4)
	addTerms(c, &f)
	c.Flags().BoolVar(&markdown, "markdown", false, "print a check sheet of the takes as Markdown")
	return c
}

// measured says whether any take was.
func measured(d *desk.ChooseDocument) bool {
	return slices.ContainsFunc(d.Takes, func(s hear.Standing) bool { return s.Stages != nil })
}

// notices are what reading the files had to pass over, a sentence each.
func notices(d *desk.ChooseDocument) []string {
	var out []string
	for _, sheet := range d.Sheets {
		for _, n := range sheet.Notices {
			out = append(out, sheet.File+": "+n)
		}
	}
	return out
}

// byRank lists the takes from the one to send on.
func byRank(d *desk.ChooseDocument) []hear.Standing {
	out := slices.Clone(d.Takes)
	slices.SortFunc(out, func(a, b hear.Standing) int { return a.Rank - b.Rank })
	return out
}

func printChoose(w io.Writer, d *desk.ChooseDocument) {
	if d.Send != "" {
		printLines(w, 0, "Send "+d.Send+".")
	}
	printItems(w, d.Why)
	for _, n := range notices(d) {
		printLines(w, 0, n)
	}
	for _, s := range byRank(d) {
		if len(s.RuledOut) > 0 {
			fmt.Fprintln(w)
			printLines(w, 0, s.File+" is ruled out.")
			printItems(w, s.RuledOut)
		}
	}
	printSideBySide(w, d)
	for _, part := range []struct {
		title string
		items []string
	}{{"Alike in all takes", d.Steady}, {"Different from take to take", d.Varies}, {"One more take would gain most in", oneMoreSays(d)}} {
		if len(part.items) > 0 {
			fmt.Fprintf(w, "\n%s\n", part.title)
			printItems(w, part.items)
		}
	}
	fmt.Fprintln(w, "\nA coach's ear outranks every number here.")
}

func oneMoreSays(d *desk.ChooseDocument) []string {
	var out []string
	for _, m := range d.OneMore {
		out = append(out, m.Says)
	}
	return out
}

// printSideBySide writes the takes under each stage.
func printSideBySide(w io.Writer, d *desk.ChooseDocument) {
	if !measured(d) {
		return
	}
	for i, stage := range finding.Stages() {
		fmt.Fprintf(w, "\n%d %s\n", i+1, stageName(stage))
		for _, s := range byRank(d) {
			if s.Stages != nil {
				printLines(w, 2, s.File+": "+s.Stages.Says(stage)+".")
			}
		}
	}
}

func stageName(s finding.Stage) string {
	name := s.String()
	return strings.ToUpper(name[:1]) + name[1:]
}

// printItems writes sentences with a dash before each.
func printItems(w io.Writer, items []string) {
	for _, text := range items {
		mark := "- "
		for _, line := range prose.Wrap(text, prose.Columns-4) {
			fmt.Fprintf(w, "  %s%s\n", mark, line)
			mark = "  "
		}
	}
}

// markdownChoose writes the check sheet of the takes and the choice.
func markdownChoose(w io.Writer, title string, d *desk.ChooseDocument) {
	fmt.Fprintf(w, "# Takes of %s\n\n", escape(orUntitled(title)))
	fmt.Fprint(w, "| rank | take | length | rate, Hz | true peak, dBTP | loudness, LUFS | over noise, dB | A, Hz | beats a minute |\n|---|---|---|---|---|---|---|---|---|\n")
	for _, s := range byRank(d) {
		i := slices.IndexFunc(d.Sheets, func(c desk.FileSheet) bool { return c.File == s.File })
		fmt.Fprintf(w, "| %d | %s %s\n", s.Rank, escape(s.File), sheetRow(d.Sheets[i].CheckSheet))
	}
	if d.Send != "" {
		fmt.Fprintf(w, "\n**Send %s.**\n", escape(d.Send))
	}
	markdownItems(w, append(slices.Clone(d.Why), notices(d)...))
	for _, s := range byRank(d) {
		if len(s.RuledOut) > 0 {
			fmt.Fprintf(w, "\n## %s is ruled out\n", escape(s.File))
			markdownItems(w, s.RuledOut)
		}
	}
	markdownSideBySide(w, d)
	for _, part := range []struct {
		title string
		items []string
	}{{"Alike in all takes", d.Steady}, {"Different from take to take", d.Varies}, {"One more take would gain most in", oneMoreSays(d)}} {
		if len(part.items) > 0 {
			fmt.Fprintf(w, "\n## %s\n", part.title)
			markdownItems(w, part.items)
		}
	}
	fmt.Fprint(w, "\n## Files\n\n")
	for _, c := range d.Sheets {
		fmt.Fprintf(w, "- %s: SHA-256 `%s`\n", escape(c.File), c.SHA256)
	}
}

// markdownSideBySide lists the takes under each stage.
func markdownSideBySide(w io.Writer, d *desk.ChooseDocument) {
	if !measured(d) {
		return
	}
	for i, stage := range finding.Stages() {
		fmt.Fprintf(w, "\n## %d %s\n\n", i+1, stageName(stage))
		for _, s := range byRank(d) {
			if s.Stages != nil {
				fmt.Fprintf(w, "- %s: %s.\n", escape(s.File), escape(s.Stages.Says(stage)))
			}
		}
	}
}

// sheetRow is the rest of a take's row.
func sheetRow(c desk.CheckSheet) string {
	if !c.Heard {
		return "| not heard | | | | | | |"
	}
	noise := "none between"
	if c.OverNoiseDB != nil {
		noise = fmt.Sprintf("%.0f", *c.OverNoiseDB)
	}
	return fmt.Sprintf("| %s | %d | %.1f | %.1f | %s | %.1f | %.1f |", clock(c.Seconds), c.SampleRate, c.TruePeakDBTP, c.LoudnessLUFS, noise, c.TuningHz, c.TempoBPM)
}

func markdownItems(w io.Writer, items []string) {
	fmt.Fprintln(w)
	for _, s := range items {
		fmt.Fprintf(w, "- %s\n", escape(s))
	}
}

func orUntitled(title string) string {
	if title == "" {
		return "an untitled part"
	}
	return title
}
