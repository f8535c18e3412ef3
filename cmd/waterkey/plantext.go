package main

import (
	"fmt"
	"io"
	"strings"
	"time"

	"waterkey/practice"
	"waterkey/prose"
)

// printPlan writes the segments and then the days, one under the other.
func printPlan(w io.Writer, p *practice.Plan, why bool) {
	printHead(w, p.Title, "")
	printLines(w, 0, fmt.Sprintf("To be recorded on %s: %s of practice, at most %d minutes each.", longDate(p.By), counted(len(p.Days)-1, "day"), p.Minutes))
	for _, r := range p.Remarks {
		printLines(w, 0, r)
	}
	if len(p.Segments) > 0 {
		fmt.Fprintln(w, "\nWhat to work on")
		from := "" // said once for segments in a row
		for _, s := range p.Segments {
			if s.State != practice.InRuns {
				printSegment(w, s, s.NowFrom != from)
				from = s.NowFrom
			}
		}
	}
	for _, d := range p.Days {
		printDay(w, d)
	}
	if why {
		fmt.Fprintln(w, "\nWhat it rests on")
		for _, g := range p.Evidence {
			printLines(w, 2, fmt.Sprintf("%s %s %s", g.Choice, g.Source, g.Strength))
		}
	}
	fmt.Fprintln(w)
	for _, c := range p.Cautions {
		printLines(w, 0, c)
	}
}

func printSegment(w io.Writer, s practice.Segment, why bool) {
	from := ""
	if why {
		from = " (" + s.NowFrom + ")"
	}
	text := fmt.Sprintf("%s: %s = %.0f to begin with%s, %.0f is the goal.", s.Name, s.Unit, s.NowBPM, from, s.GoalBPM)
	if s.NowBPM == s.GoalBPM {
		text = fmt.Sprintf("%s: at the goal, %s = %.0f%s.", s.Name, s.Unit, s.GoalBPM, from)
	}
	if s.Right > 0 {
		text += fmt.Sprintf(" Right in the last %s.", counted(s.Right, "take"))
	}
	margin := barMargin(s.Bars[:])
	for _, line := range prose.Wrap(text, prose.Columns-barColumn-2) {
		fmt.Fprintf(w, "%*s  %s\n", barColumn, margin, line)
		margin = ""
	}
}

func printDay(w io.Writer, d practice.Day) {
	fmt.Fprintf(w, "\n%s, %d min\n", longDate(d.Date), d.Minutes)
	printLines(w, 2, d.Focus)
	for _, it := range d.Items {
		head := it.Label()
		if turns := it.Turns(); turns != "" {
			head += ": " + turns
		}
		lines := prose.Wrap(head+".", prose.Columns-barColumn-2)
		if it.Reps == 0 {
			lines = prose.Wrap(it.What, prose.Columns-barColumn-2)
		} else {
			for _, line := range prose.Wrap(it.What, prose.Columns-barColumn-4) {
				lines = append(lines, "  "+line)
			}
		}
		margin := fmt.Sprintf("%d min", it.Minutes)
		for _, line := range lines {
			fmt.Fprintf(w, "%*s  %s\n", barColumn, margin, line)
			margin = ""
		}
	}
}

// longDate is "Thu 26 Nov 2026".
func longDate(iso string) string {
	day, err := time.Parse(time.DateOnly, iso)
	if err != nil {
		return iso
	}
	return day.Format("Mon 2 Jan 2006")
}

// markdownPlan writes a sheet for each week, with a box to tick for each item.
func markdownPlan(w io.Writer, p *practice.Plan) {
	title := p.Title
	if title == "" {
		title = "Untitled"
	}
	fmt.Fprintf(w, "# %s, to be recorded on %s\n", escape(title), longDate(p.By))
	week := ""
	for _, d := range p.Days {
		if start := monday(d.Date); start != week {
			week = start
			fmt.Fprintf(w, "\n## Week of %s\n", longDate(week))
		}
		fmt.Fprintf(w, "\n### %s, %d min\n\n%s\n\n", longDate(d.Date), d.Minutes, escape(d.Focus))
		for _, it := range d.Items {
			fmt.Fprintf(w, "- [ ] %s\n", markdownItem(it))
		}
		fmt.Fprint(w, "\nMinutes played: ____  What to tell the coach: ____________________\n")
	}
	fmt.Fprintln(w)
	for _, r := range p.Remarks {
		fmt.Fprintf(w, "> %s\n", escape(r))
	}
	for _, c := range p.Cautions {
		fmt.Fprintf(w, "> %s\n", escape(c))
	}
}

func markdownItem(it practice.Item) string {
	text := fmt.Sprintf("%d min **%s**", it.Minutes, escape(it.Label()))
	if turns := it.Turns(); turns != "" {
		text += ", " + escape(turns)
	}
	return strings.TrimSuffix(text, ".") + ". " + escape(it.Says())
}

// monday is the first day of a week.
func monday(iso string) string {
	day, err := time.Parse(time.DateOnly, iso)
	if err != nil {
		return iso
	}
	return day.AddDate(0, 0, -(int(day.Weekday())+6)%7).Format(time.DateOnly)
}
