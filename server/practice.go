package server

import (
	"bytes"
	"context"
	"mime"

	"github.com/danielgtaylor/huma/v2"

	"waterkey/desk"
)

// registerPractice lists what is asked about a sheet's takes and practice as a whole.
func registerPractice(api huma.API, h *handlers) {
	get(api, "compare-takes", "/api/takes/compare", "The takes of a sheet side by side: which one to send, and why", h.compareTakes)
	get(api, "practice", "/api/practice", "The practice of a sheet: the plan from today on, and what was done", h.practice)
	put(api, "set-terms", "/api/practice", "Set the day of the recording, and how much is practiced", h.setTerms)
	post(api, "do-item", "/api/practice/done", "Enter that an item of a day was done, or no longer", h.doItem)
	get(api, "practice-calendar", "/api/practice/calendar", "The plan for calendars, as iCalendar", h.practiceCalendar)
}

// PairParams name a part before a player.
type PairParams struct {
	Part   string `query:"part" required:"true"`
	Player string `query:"player" required:"true"`
}

func (p *PairParams) sheet() desk.Sheet {
	return desk.Sheet{Part: desk.ID(p.Part), Player: desk.ID(p.Player)}
}

type compareAnswer struct{ Body *desk.Comparison }

func (h *handlers) compareTakes(ctx context.Context, in *PairParams) (*compareAnswer, error) {
	c, err := h.desk.CompareTakes(ctx, in.sheet())
	if err == nil {
		c.Waiting, err = h.awaited(ctx, in.sheet(), c.Waiting)
	}
	return &compareAnswer{c}, err
}

// awaited has the takes that wait measured, where nobody does yet. Those that the
// program could not measure wait no longer.
func (h *handlers) awaited(ctx context.Context, s desk.Sheet, waiting int) (int, error) {
	if waiting == 0 {
		return 0, nil
	}
	left, err := h.desk.Unmeasured(ctx, s)
	if err != nil {
		return 0, err
	}
	n := 0
	for _, id := range left {
		if job, known := h.jobs.look(id); known && job.state == stateFailed {
			continue
		}
		h.jobs.want(id)
		n++
	}
	return n, nil
}

type practiceAnswer struct{ Body *desk.PracticeDocument }

func (h *handlers) practice(ctx context.Context, in *PairParams) (*practiceAnswer, error) {
	p, err := h.desk.Practice(ctx, in.sheet())
	if err == nil {
		p.Waiting, err = h.awaited(ctx, in.sheet(), p.Waiting)
	}
	return &practiceAnswer{p}, err
}

type termsRequest struct {
	Body struct {
		Part     desk.ID         `json:"part"`
		Player   desk.ID         `json:"player"`
		Revision desk.Revision   `json:"revision" doc:"of the terms, as they were seen"`
		Terms    desk.SheetTerms `json:"terms"`
	}
}

func (h *handlers) setTerms(ctx context.Context, in *termsRequest) (*practiceAnswer, error) {
	b := in.Body
	p, err := h.desk.SetTerms(ctx, desk.Sheet{Part: b.Part, Player: b.Player}, b.Revision, b.Terms)
	return &practiceAnswer{p}, err
}

type doneRequest struct {
	Body struct {
		Part    desk.ID `json:"part"`
		Player  desk.ID `json:"player"`
		Date    string  `json:"date" doc:"today or a day before, as 2026-11-25"`
		Item    int     `json:"item" doc:"index in the day's items"`
		Minutes int     `json:"minutes" minimum:"0"`
		Done    bool    `json:"done"`
	}
}

func (h *handlers) doItem(ctx context.Context, in *doneRequest) (*practiceAnswer, error) {
	b := in.Body
	p, err := h.desk.DoItem(ctx, desk.Sheet{Part: b.Part, Player: b.Player}, b.Date, desk.DoneItem{Item: b.Item, Minutes: b.Minutes}, b.Done)
	return &practiceAnswer{p}, err
}

// savedAnswer is a document to save under a name.
type savedAnswer struct {
	ContentType        string `header:"Content-Type"`
	ContentDisposition string `header:"Content-Disposition"`
	Body               []byte
}

// saved is a document to be saved.
func saved(kind, name string, data []byte) *savedAnswer {
	return &savedAnswer{kind, mime.FormatMediaType("attachment", map[string]string{"filename": name}), data}
}

func (h *handlers) practiceCalendar(ctx context.Context, in *PairParams) (*savedAnswer, error) {
	var b bytes.Buffer
	name, err := h.desk.WriteCalendar(ctx, &b, in.sheet())
	if err != nil {
		return nil, err
	}
	return saved("text/calendar; charset=utf-8", name, b.Bytes()), nil
}
