package server

import (
	"context"

	"github.com/danielgtaylor/huma/v2"

	"waterkey/desk"
	"waterkey/paper"
)

// registerPaper lists what is handed out.
func registerPaper(api huma.API, h *handlers) {
	get(api, "paper", "/api/paper", "A sheet on paper, or its guide", h.paper)
}

type paperRequest struct {
	SheetParams
	Form     string `query:"form" enum:"pdf,guide" default:"pdf"`
	Paper    string `query:"paper" enum:"a4,letter" default:"a4" doc:"of no account for a guide"`
	Contents string `query:"contents" enum:"all,part,walk,lesson" default:"all" doc:"of no account for a guide"`
	Lanes    bool   `query:"lanes" doc:"the slide over time under each system"`
}

func (h *handlers) paper(ctx context.Context, in *paperRequest) (*savedAnswer, error) {
	o, err := h.desk.Open(ctx, in.query())
	if err != nil {
		return nil, err
	}
	order := paper.Order{Prepared: o.Prepared.Prepared, Title: o.Part.Title, Marks: o.Marks, Size: paper.Size(in.Paper),
		Contents: paper.Contents(in.Contents), Lanes: in.Lanes}
	if o.Player != nil {
		order.Player = o.Player.Name
	}
	if order.Lesson, err = h.lesson(ctx, o, in.Contents); err != nil {
		return nil, err
	}
	what := map[string]string{"all": "part and walk", "part": "part", "walk": "walk", "lesson": "lesson"}[in.Contents]
	if in.Form == "guide" {
		printed, err := h.press.guide(ctx, order)
		if err != nil {
			return nil, err
		}
		return saved("text/html; charset=utf-8", desk.PaperName(o, "guide", "html"), printed.Data), nil
	}
	printed, err := h.press.pdf(ctx, order)
	if err != nil {
		return nil, err
	}
	return saved("application/pdf", desk.PaperName(o, what, "pdf"), printed.Data), nil
}

// lesson is what the sheet of a lesson says. Of a part before nobody in particular it
// knows the day alone, and other papers want the moments of remarks alone.
func (h *handlers) lesson(ctx context.Context, o *desk.Opened, contents string) (*desk.Lesson, error) {
	l := desk.NewLesson(h.desk.Clock())
	if o.Player == nil {
		return l, nil
	}
	sheet := desk.Sheet{Part: o.Part.ID, Player: o.Player.ID}
	if contents == string(paper.Lesson) {
		return h.desk.Lesson(ctx, sheet)
	}
	var err error
	l.Takes, err = h.desk.TakeDays(ctx, sheet)
	return l, err
}
