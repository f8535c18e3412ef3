package desk

import (
	"context"
	"fmt"
	"io"
	"time"

	"waterkey/practice/ical"
)

// WriteCalendar writes the plan of a sheet for calendars.
func (d *Desk) WriteCalendar(ctx context.Context, w io.Writer, s Sheet) (name string, err error) {
	p, err := d.openPractice(ctx, s)
	if err != nil {
		return "", err
	}
	doc := p.document()
	if doc.Plan == nil {
		return "", &SeasonError{Text: doc.Reason, Is: ErrIncomplete}
	}
	revision, err := d.Revision(ctx)
	if err != nil {
		return "", err
	}
	start := time.Duration(-1)
	if doc.Terms.At != "" {
		at, err := time.Parse(timeOfDay, doc.Terms.At)
		if err != nil {
			return "", err
		}
		start = time.Duration(at.Hour())*time.Hour + time.Duration(at.Minute())*time.Minute
	}
	o := ical.Options{Stamp: p.today, Key: fmt.Sprintf("%s/%s", s.Part, s.Player), Sequence: int(revision), At: start}
	return safeName(fmt.Sprintf("%s, %s, practice.ics", p.opened.Part.Title, p.opened.Player.Name)), ical.Write(w, doc.Plan, o)
}
