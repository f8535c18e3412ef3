package main

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"waterkey/desk"
	"waterkey/prose"
)

// breathRow is the line of the table below the note that a breath comes after: a comma
// for a catch breath, a tick for a full one, as players write them.
func breathRow(b desk.BreathEntry) string {
	sign := ","
	if b.Kind == "full" {
		sign = "√"
	}
	text := fmt.Sprintf("%5s  %s %s breath, %.1f to %.1f L", "", sign, b.Kind, b.AirBeforeL, b.AirAfterL)
	if b.Pinned {
		text += ", as you asked"
	}
	return text
}

// printBreaths lists the breaths with their air and what speaks for each, then where
// the air comes low or does not last.
func printBreaths(w io.Writer, breaths []desk.BreathEntry, air desk.AirDocument) {
	fmt.Fprintln(w, "\nBreaths")
	printLines(w, 0, fmt.Sprintf("Lungs %.1f L (%s): full %.1f L, comfortable %.1f L, empty %.1f L.%s",
		air.CapacityL, air.Lungs, air.Lines.FullL, air.Lines.ComfortableL, air.Lines.ReserveL, estimated(air)))
	told := 0
	for _, b := range breaths {
		if b.Entry {
			continue
		}
		if told++; told == 1 {
			fmt.Fprintf(w, "%5s  %-5s %-6s %12s  %s\n", "bar", "after", "breath", "air, L", "why")
		}
		fmt.Fprintln(w, breathLine(b))
	}
	switch {
	case told == 0 && len(breaths) == 0:
		printLines(w, 0, fmt.Sprintf("One full breath carries it; %.1f L are left at the end.", air.EndL))
	case told == 0:
		printLines(w, 0, "The long rests are breath enough.")
	}
	printLow(w, air.Low)
	for _, l := range air.Lacking {
		fmt.Fprintln(w)
		printLines(w, 0, l.Says+" "+l.Do+lastsAt(l.Tempo))
	}
	printParted(w, air.Parted)
	for _, x := range air.Warnings {
		fmt.Fprintln(w)
		printLines(w, 0, x.Says+" "+x.Do)
	}
}

func estimated(air desk.AirDocument) string {
	if air.Estimate {
		return " The flow is an estimate; --long-tone sets it to your own."
	}
	return ""
}

func breathLine(b desk.BreathEntry) string {
	row := fmt.Sprintf("%5s  %-5s %-6s %5.1f to %3.1f  ", b.Bar, b.Written, b.Kind, b.AirBeforeL, b.AirAfterL)
	return row + strings.Join(prose.Wrap(b.Reason, prose.Columns-len(row)), "\n"+strings.Repeat(" ", len(row)))
}

func printLow(w io.Writer, low []desk.LowEntry) {
	const telling = 0.05 // liters or seconds that round to something
	low = slices.DeleteFunc(slices.Clone(low), func(l desk.LowEntry) bool { return l.Litres < telling && l.Seconds < telling })
	if len(low) == 0 {
		return
	}
	fmt.Fprintln(w, "\nBelow comfortable:")
	for _, l := range low {
		fmt.Fprintf(w, "%9s  by %.1f L, for %.1f s\n", barMargin(l.Bars[:]), l.Litres, l.Seconds)
	}
}

func printParted(w io.Writer, parted []desk.PartedEntry) {
	if len(parted) == 0 {
		return
	}
	fmt.Fprintln(w, "\nBreaths that nobody would take if anything else lasted:")
	for _, p := range parted {
		for i, line := range prose.Wrap(fmt.Sprintf("it parts %s.%s", p.Parts, lastsAt(p.Tempo)), prose.Columns-barColumn-2) {
			margin := p.Bar
			if i > 0 {
				margin = ""
			}
			fmt.Fprintf(w, "%*s  %s\n", barColumn, margin, line)
		}
	}
}

// lastsAt says from which tempo on a stretch lasts on one breath.
func lastsAt(s *desk.Slowest) string {
	if s == nil {
		return " No tempo is fast enough for one breath."
	}
	where := "Bar " + s.Bars[0] + " lasts"
	if s.Bars[0] != s.Bars[1] {
		where = fmt.Sprintf("Bars %s to %s last", s.Bars[0], s.Bars[1])
	}
	return fmt.Sprintf(" %s on one full breath at %s = %.0f and faster.", where, s.Unit, s.BPM)
}
