package desk

import (
	"context"
	"time"

	"waterkey/finding"
	"waterkey/hear"
	"waterkey/practice"
)

// Lesson is what the sheet of a lesson says beside the page and its walk.
type Lesson struct {
	Day    string        `json:"day"`    // "Wednesday 25 November 2026"
	Advice *LessonAdvice `json:"advice"` // null without a take that could be heard
	Next   *LessonNext   `json:"next"`   // null without a plan
	// Takes are the names of the takes that remarks speak of: "24 November, 17:42".
	Takes map[ID]string `json:"takes"`
}

// LessonAdvice is what to say first about the newest take.
type LessonAdvice struct {
	Take string            `json:"take"` // its name in a sentence
	Says []finding.Finding `json:"says"` // none when there is nothing to remark
}

// LessonNext is the next day of practice.
type LessonNext struct {
	Day     string       `json:"day"` // "today", or "Thursday 26 November"
	Focus   string       `json:"focus"`
	Minutes int          `json:"minutes"`
	Items   []LessonItem `json:"items"`
}

// LessonItem is one thing to do, in words.
type LessonItem struct {
	Minutes int    `json:"minutes"`
	Label   string `json:"label"` // "" for a pause
	Turns   string `json:"turns,omitempty"`
	What    string `json:"what"`
}

// Lesson gathers the lesson of a sheet: a part before a player.
func (d *Desk) Lesson(ctx context.Context, s Sheet) (*Lesson, error) {
	p, err := d.openPractice(ctx, s)
	if err != nil {
		return nil, err
	}
	l := NewLesson(p.today)
	if l.Takes, err = d.TakeDays(ctx, s); err != nil {
		return nil, err
	}
	for _, h := range p.takes { // oldest first
		if h.heard != nil {
			l.Advice = FirstAdvice(h.name, h.heard)
		}
	}
	if plan := p.document().Plan; plan != nil && len(plan.Days) > 0 {
		l.Next = lessonNext(plan.Days[0], p.today.Format(time.DateOnly))
	}
	return l, nil
}

// NewLesson is a lesson of a day that knows nothing else yet.
func NewLesson(day time.Time) *Lesson {
	return &Lesson{Day: day.Format("Monday 2 January 2006"), Takes: map[ID]string{}}
}

// TakeDays are the takes of a sheet by when they were recorded: "24 November,
// 17:42".
func (d *Desk) TakeDays(ctx context.Context, s Sheet) (map[ID]string, error) {
	takes, err := d.Takes(ctx, TakeQuery{Sheet: s})
	if err != nil {
		return nil, err
	}
	out := takeNames(takes)
	for id, name := range out {
		out[id] = name[len(takeNameStart):]
	}
	return out, nil
}

// FirstAdvice is what to say first about a take.
func FirstAdvice(name string, t *hear.Take) *LessonAdvice {
	a := &LessonAdvice{Take: name, Says: []finding.Finding{}}
	for _, i := range t.First {
		if i >= 0 && i < len(t.Findings) {
			a.Says = append(a.Says, t.Findings[i])
		}
	}
	return a
}

func lessonNext(d practice.Day, today string) *LessonNext {
	n := &LessonNext{Day: "today", Focus: d.Focus, Minutes: d.Minutes, Items: []LessonItem{}}
	if d.Date != today {
		if day, err := time.Parse(time.DateOnly, d.Date); err == nil {
			n.Day = day.Format("Monday 2 January")
		}
	}
	for _, it := range d.Items {
		item := LessonItem{it.Minutes, it.Label(), it.Turns(), it.What}
		if it.Kind == practice.Pause { // its words say it
			item.Label = ""
		}
		n.Items = append(n.Items, item)
	}
	return n
}
