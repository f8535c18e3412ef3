// Package ical writes a plan of practice as an iCalendar object that calendars
// import: one event for each day.
//
// Published: RFC 5545, Internet Calendaring and Scheduling (B. Desruisseaux, 2009).
// Lines end in CRLF and are folded at 75 octets (3.1); every event has UID and
// DTSTAMP (3.6.1). Times are floating (3.3.5, form 1): five o'clock is five
// o'clock wherever the player is.
package ical

import (
	"crypto/sha256"
	"fmt"
	"io"
	"strings"
	"time"

	ics "github.com/arran4/golang-ical"

	"waterkey/practice"
)

// Options say what a plan does not.
type Options struct {
	Stamp time.Time // when the object was made
	// Key tells plans apart, such as part and player: the same day of the same plan
	// keeps its UID when it is planned anew, so that calendars replace it.
	Key      string
	Sequence int // of the revision, 0 for the first; grows with every new plan
	// At is the time of day at which practice starts, since midnight; negative for
	// events that last the whole day.
	At time.Duration
}

// firstSecond is where [SequenceAt] counts from, so that the number stays below 2³¹,
// the end of an integer (published: RFC 5545, 3.3.8), up to the year 2094.
var firstSecond = time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)

// SequenceAt numbers a revision by the clock, for plans whose earlier revisions nobody
// keeps: a later one has a larger number.
func SequenceAt(t time.Time) int { return max(0, int(t.Sub(firstSecond)/time.Second)) }

const (
	product = "-//Waterkey//Practice plan//EN"
	floats  = "20060102T150405" // form 1 of DATE-TIME
)

// Write writes the plan. The error is the writer's, or that of a day whose date
// cannot be read.
func Write(w io.Writer, p *practice.Plan, o Options) error {
	cal := ics.NewCalendar()
	cal.SetProductId(product)
	cal.SetMethod(ics.MethodPublish)
	for _, d := range p.Days {
		day, err := time.Parse(time.DateOnly, d.Date)
		if err != nil {
			return fmt.Errorf("the day %q is no date: %w", d.Date, err)
		}
		addDay(cal, p, d, day, o)
	}
	return cal.SerializeTo(w, ics.WithNewLineWindows)
}

func addDay(cal *ics.Calendar, p *practice.Plan, d practice.Day, day time.Time, o Options) {
	e := cal.AddEvent(uid(o.Key, d.Date))
	e.SetDtStampTime(o.Stamp)
	e.SetSequence(o.Sequence)
	if o.At < 0 {
		e.SetAllDayStartAt(day)
		e.SetAllDayEndAt(day.AddDate(0, 0, 1))
		e.SetTimeTransparency(ics.TransparencyTransparent)
	} else {
		start := day.Add(o.At)
		e.SetProperty(ics.ComponentPropertyDtStart, start.Format(floats))
		e.SetProperty(ics.ComponentPropertyDtEnd, start.Add(time.Duration(d.Minutes)*time.Minute).Format(floats))
	}
	e.SetSummary(summary(p, d))
	e.SetDescription(describe(d))
	e.AddCategory("Practice")
}

// uid is the same for the same key and day.
func uid(key, date string) string {
	const digits = 16 // of the hash: 64 bits, enough for one coach's calendars (estimate)
	return fmt.Sprintf("%s-%.*x@waterkey", strings.ReplaceAll(date, "-", ""), digits/2, sha256.Sum256([]byte(key)))
}

func summary(p *practice.Plan, d practice.Day) string {
	title := p.Title
	if title == "" {
		title = "the part"
	}
	if d.Phase == practice.Recording {
		return "Record " + title
	}
	return fmt.Sprintf("Practice %s, %d min", title, d.Minutes)
}

// describe is the day in lines.
func describe(d practice.Day) string {
	lines := []string{d.Focus}
	for _, it := range d.Items {
		line := fmt.Sprintf("%d min  %s", it.Minutes, it.Label())
		if turns := it.Turns(); turns != "" {
			line += ": " + turns
		}
		lines = append(lines, line+". "+it.Says())
	}
	return strings.Join(lines, "\n")
}
