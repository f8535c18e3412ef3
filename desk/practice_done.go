package desk

import (
	"context"
	"time"
)

// DoItem enters that an item of a day was done, or no longer. Ticks made at the same
// time are entered one after the other.
func (d *Desk) DoItem(ctx context.Context, s Sheet, date string, it DoneItem, done bool) (*PracticeDocument, error) {
	d.ticking.Lock()
	defer d.ticking.Unlock()
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
