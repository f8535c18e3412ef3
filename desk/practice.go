package desk

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"waterkey/practice"
	"waterkey/practice/ical"
)

// SheetTerms are the terms of a sheet: its own, or the usual ones.
type SheetTerms struct {
	By string `json:"by"` // day of the recording, as 2026-12-16; "" when none is set
	PracticeTerms
}

// DoneOn is an item that was done, on its day.
type DoneOn struct {
	Date string `json:"date"`
	DoneItem
}

// PracticeDocument is the practice of a sheet: the plan from today on, and what was
// done.
type PracticeDocument struct {
	Plan     *practice.Plan `json:"plan"` // null where there is none
	Reason   string         `json:"reason,omitempty"`
	Today    string         `json:"today"`
	Revision Revision       `json:"revision"` // of the terms; 0 before they were set
	Terms    SheetTerms     `json:"terms"`
	Past     []practice.Day `json:"past"`    // days before today on which something was done, as they were then
	Done     []DoneOn       `json:"done"`    // by date and item; item is the index in that day's items
	Waiting  int            `json:"waiting"` // takes that the plan does not know yet, as they are not measured
}

// sheetPractice is all that the practice of a sheet rests on.
type sheetPractice struct {
	opened  *Opened
	of      *Assignment // new when there is none
	days    []*PracticeDay
	takes   []heardTake
	waiting int
	today   time.Time
}

// Clock is what time it is for the people at the desk.
func (d *Desk) Clock() time.Time {
	if d.Now != nil {
		return d.Now()
	}
	return time.Now()
}

func (d *Desk) openPractice(ctx context.Context, s Sheet) (*sheetPractice, error) {
	p := &sheetPractice{today: d.Clock()}
	var err error
	if p.takes, p.waiting, err = d.heardTakes(ctx, s); err != nil {
		return nil, err
	}
	if p.opened, err = d.Open(ctx, SheetQuery{Sheet: s}); err != nil {
		return nil, err
	}
	if p.days, err = d.PracticeDays(ctx, s); err != nil {
		return nil, err
	}
	as, err := d.Assignments(ctx, s)
	if err != nil {
		return nil, err
	}
	p.of = &Assignment{Sheet: s}
	if len(as) > 0 {
		p.of = as[0]
	}
	return p, nil
}

// terms are those that were set, or the usual ones from today on.
func (p *sheetPractice) terms() SheetTerms {
	t := SheetTerms{By: orString(p.of.Due, p.opened.Part.Due)}
	t.PracticeTerms = PracticeTerms{DaysPerWeek: practice.DefaultDays, Minutes: practice.DefaultMinutes}
	if p.of.Practice != nil {
		t.PracticeTerms = *p.of.Practice
	}
	return t
}

// errNoDate says that a sheet has no day to plan for.
var errNoDate = errors.New("no date is set: say on which day the part is recorded, and the days up to it are planned")

// plan plans from a day on by what was known then.
func (p *sheetPractice) plan(day time.Time, terms SheetTerms) (*practice.Plan, error) {
	if terms.By == "" {
		return nil, errNoDate
	}
	by, err := time.Parse(time.DateOnly, terms.By)
	if err != nil {
		return nil, err
	}
	t := practice.Terms{Today: day, By: by, DaysPerWeek: terms.DaysPerWeek, Minutes: terms.Minutes, Now: terms.NowMinutes}
	if terms.Since != "" {
		if t.Since, err = time.Parse(time.DateOnly, terms.Since); err != nil {
			return nil, err
		}
	}
	plan, err := p.opened.Prepared.Plan(t, p.heardBy(day))
	if err != nil {
		return nil, err
	}
	plan.Title = p.opened.Part.Title
	return plan, nil
}

// heardBy are the takes up to a day that could be heard, oldest first.
func (p *sheetPractice) heardBy(day time.Time) []HeardTake {
	var out []HeardTake
	for _, h := range p.takes {
		if h.heard != nil && h.take.Recorded.Format(time.DateOnly) <= day.Format(time.DateOnly) {
			out = append(out, HeardTake{Name: h.name, Take: h.heard})
		}
	}
	return out
}

// Practice is the practice of a sheet. Today stands in the plan as it was when the
// first of it was done.
func (d *Desk) Practice(ctx context.Context, s Sheet) (*PracticeDocument, error) {
	p, err := d.openPractice(ctx, s)
	if err != nil {
		return nil, err
	}
	return p.document(), nil
}

func (p *sheetPractice) document() *PracticeDocument {
	today := p.today.Format(time.DateOnly)
	doc := &PracticeDocument{Today: today, Revision: p.of.Revision, Terms: p.terms(), Past: []practice.Day{}, Done: []DoneOn{}, Waiting: p.waiting}
	for _, day := range p.days {
		if day.Date < today {
			doc.Past = append(doc.Past, day.Day)
		}
		for _, it := range day.Done {
			doc.Done = append(doc.Done, DoneOn{day.Date, it})
		}
	}
	plan, err := p.plan(p.today, doc.Terms)
	if err != nil {
		doc.Reason = sentenceOf(err)
		return doc
	}
	p.keepBegun(plan, today)
	doc.Plan = plan
	return doc
}

// keepBegun puts a day that was begun in place of what would be planned for it now.
func (p *sheetPractice) keepBegun(plan *practice.Plan, today string) {
	i := slices.IndexFunc(p.days, func(day *PracticeDay) bool { return day.Date == today })
	switch {
	case i < 0:
	case len(plan.Days) > 0 && plan.Days[0].Date == today:
		plan.Days[0] = p.days[i].Day
	default:
		plan.Days = slices.Insert(plan.Days, 0, p.days[i].Day)
	}
}

// sentenceOf is an error as a sentence.
func sentenceOf(err error) string {
	text := err.Error()
	if !strings.HasSuffix(text, ".") {
		text += "."
	}
	return strings.ToUpper(text[:1]) + text[1:]
}

// SetTerms keeps the terms of a sheet. The revision is that of the terms as they
// were seen. Terms that cannot be planned are refused with the plan's reason.
func (d *Desk) SetTerms(ctx context.Context, s Sheet, seen Revision, terms SheetTerms) (*PracticeDocument, error) {
	p, err := d.openPractice(ctx, s)
	if err != nil {
		return nil, err
	}
	if terms.Since == "" {
		terms.Since = orString(p.terms().Since, p.today.Format(time.DateOnly))
	}
	p.of.Due = ""
	if terms.By != p.opened.Part.Due {
		p.of.Due = terms.By
	}
	own := terms.PracticeTerms
	p.of.Practice, p.of.Revision = &own, seen
	if err := p.of.Validate(); err != nil {
		return nil, err
	}
	if _, err := p.plan(p.today, p.terms()); err != nil && !errors.Is(err, errNoDate) {
		return nil, invalid("%v", err)
	}
	_, err = d.Commit(ctx, Change{Sheet: s, Says: "set the terms of practice", Edits: []Edit{Put(p.of)}})
	if err != nil {
		return nil, err
	}
	return p.document(), nil
}

// DoItem enters that an item of a day was done, or no longer.
func (d *Desk) DoItem(ctx context.Context, s Sheet, date string, it DoneItem, done bool) (*PracticeDocument, error) {
	p, err := d.openPractice(ctx, s)
	if err != nil {
		return nil, err
	}
	day, err := p.day(date)
	if err != nil {
		return nil, err
	}
	if err := it.validate(len(day.Day.Items)); err != nil {
		return nil, err
	}
	day.set(it, done)
	says, edits := "did "+day.label(it.Item), []Edit{Put(day)}
	if !done {
		says = "did not do " + day.label(it.Item)
	}
	switch {
	case len(day.Done) == 0 && day.Revision == 0:
		return p.document(), nil
	case len(day.Done) == 0:
		edits = []Edit{Delete(day)}
	}
	if _, err = d.Commit(ctx, Change{Sheet: s, Says: says, Edits: append(edits, p.begun(date)...)}); err != nil {
		return nil, err
	}
	if p.days, err = d.PracticeDays(ctx, s); err != nil {
		return nil, err
	}
	return p.document(), nil
}

// begun keeps the usual terms when practice begins without any having been set, so
// that the plan goes on from that day.
func (p *sheetPractice) begun(date string) []Edit {
	if p.of.Practice != nil && p.of.Practice.Since != "" {
		return nil
	}
	own := p.terms().PracticeTerms
	own.Since = date
	p.of.Practice = &own
	return []Edit{Put(p.of)}
}

// day is a day of practice up to today: as it was begun, or as it was planned.
func (p *sheetPractice) day(date string) (*PracticeDay, error) {
	for _, day := range p.days {
		if day.Date == date {
			return day, nil
		}
	}
	on, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return nil, invalid("%q is no date: write it as 2026-11-25", clip(date))
	}
	today := p.today.Format(time.DateOnly)
	if date > today {
		return nil, invalid("nothing was done on %s yet: today is %s", date, today)
	}
	terms := p.terms()
	if date < orString(terms.Since, today) {
		return nil, invalid("practice began on %s: nothing was planned for %s", orString(terms.Since, today), date)
	}
	plan, err := p.plan(on, terms)
	if err != nil {
		return nil, invalid("%v", err)
	}
	if len(plan.Days) == 0 || plan.Days[0].Date != date {
		return nil, invalid("nothing is planned for %s: it is a day off", date)
	}
	return &PracticeDay{Sheet: p.of.Sheet, Date: date, Day: plan.Days[0]}, nil
}

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
