package desk

import (
	"context"
	"errors"
	"slices"
	"strings"
	"time"

	"waterkey/practice"
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
	plan, err := p.opened.Prepared.Plan(t, p.heardBy(day), p.doneBefore(day))
	if err != nil {
		return nil, err
	}
	plan.Title = p.opened.Part.Title
	return plan, nil
}

// heardBy are the takes up to a day that could be heard, oldest first: all of them
// today, whatever the zone in which they were recorded.
func (p *sheetPractice) heardBy(day time.Time) []HeardTake {
	date := day.Format(time.DateOnly)
	today := date == p.today.Format(time.DateOnly)
	var out []HeardTake
	for _, h := range p.takes {
		if h.heard != nil && (today || h.take.Recorded.Format(time.DateOnly) <= date) {
			out = append(out, HeardTake{Name: h.name, Take: h.heard})
		}
	}
	return out
}

// doneBefore are the days before a day with the items that were done.
func (p *sheetPractice) doneBefore(day time.Time) []practice.Day {
	var out []practice.Day
	for _, d := range p.days {
		if d.Date >= day.Format(time.DateOnly) {
			continue
		}
		done := d.Day
		done.Items = nil
		for _, it := range d.Done {
			done.Items = append(done.Items, d.Day.Items[it.Item])
		}
		out = append(out, done)
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
