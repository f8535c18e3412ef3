package desk

import (
	"fmt"
	"slices"
	"time"

	"waterkey/practice"
)

// PracticeTerms are how a player practices one part. The day of the recording is the
// assignment's, or the part's.
type PracticeTerms struct {
	DaysPerWeek int    `json:"days_per_week"`         // 1 to 7
	Minutes     int    `json:"minutes"`               // at most on any day, rests and pauses included
	NowMinutes  int    `json:"now_minutes,omitempty"` // a day the player is used to; 0 when not known
	Since       string `json:"since,omitempty"`       // the first day, as 2026-11-25
	At          string `json:"at,omitempty"`          // time of day for calendars, as 17:30; "" for whole days
}

// timeOfDay is how a time of day is written.
const timeOfDay = "15:04"

// Validate checks the fields. Whether a plan keeps to them is for the part to say.
func (t *PracticeTerms) Validate() error {
	if t == nil {
		return nil
	}
	const week, longest = 7, 24 * 60
	switch {
	case t.DaysPerWeek < 1 || t.DaysPerWeek > week:
		return invalid("%d days a week: want 1 to %d, such as %d", t.DaysPerWeek, week, practice.DefaultDays)
	case t.Minutes < 1 || t.Minutes > longest:
		return invalid("%d minutes a day: want some, such as %d", t.Minutes, practice.DefaultMinutes)
	case t.NowMinutes < 0 || t.NowMinutes > longest:
		return invalid("%d minutes a day up to now: want 0 (not known) or more, such as 30", t.NowMinutes)
	}
	if t.At != "" {
		if _, err := time.Parse(timeOfDay, t.At); err != nil {
			return invalid("%q is no time of day: write it as 17:30", clip(t.At))
		}
	}
	return checkDate("first day", t.Since)
}

// PracticeDay is a day on which something was practiced: what stood on it when the
// first thing was done, and what was done of it.
type PracticeDay struct {
	Head
	Sheet
	Date string       `json:"date"` // the player's, as 2026-11-25
	Day  practice.Day `json:"day"`
	Done []DoneItem   `json:"done"` // by item
}

// DoneItem is an item of a day that was done.
type DoneItem struct {
	Item    int `json:"item"`    // index in the day's items
	Minutes int `json:"minutes"` // as they were, not as they were planned
}

// Kind is KindDay.
func (*PracticeDay) Kind() Kind { return KindDay }

// Blobs are none.
func (*PracticeDay) Blobs() []Hash { return nil }

// Validate checks the fields.
func (d *PracticeDay) Validate() error {
	if d.Date == "" || d.Date != d.Day.Date {
		return invalid("the day of practice %q holds the plan of %q; want the same day", clip(d.Date), clip(d.Day.Date))
	}
	before := -1
	for _, it := range d.Done {
		if err := it.validate(len(d.Day.Items)); err != nil {
			return err
		}
		if it.Item <= before {
			return invalid("item %d of %s is done twice, or out of order", it.Item, d.Date)
		}
		before = it.Item
	}
	return firstError(d.Part.Validate(), d.Player.Validate(), checkDate("day of practice", d.Date))
}

func (it DoneItem) validate(items int) error {
	const longest = 24 * 60 // minutes in a day
	if it.Item < 0 || it.Item >= items {
		return invalid("item %d of a day with %d items: want 0 to %d", it.Item, items, items-1)
	}
	if it.Minutes < 0 || it.Minutes > longest {
		return invalid("%d minutes on one item: want 0 to %d", it.Minutes, longest)
	}
	return nil
}

// set enters that an item was done, or takes that away.
func (d *PracticeDay) set(it DoneItem, done bool) {
	i := slices.IndexFunc(d.Done, func(o DoneItem) bool { return o.Item >= it.Item })
	if i < 0 {
		i = len(d.Done)
	}
	if i < len(d.Done) && d.Done[i].Item == it.Item {
		d.Done = slices.Delete(d.Done, i, i+1)
	}
	if done {
		d.Done = slices.Insert(d.Done, i, it)
	}
}

// label names an item for the list of changes.
func (d *PracticeDay) label(item int) string {
	return fmt.Sprintf("%s on %s", d.Day.Items[item].Label(), d.Date)
}
