package server

import (
	"bytes"
	"context"
	"errors"
	"fmt"

	"waterkey/desk"
	"waterkey/score"
	"waterkey/sound"
)

// SheetParams names a sheet, and what is to be tried other than what is kept.
type SheetParams struct {
	Part       string  `query:"part" required:"true"`
	Player     string  `query:"player"`
	Instrument string  `query:"instrument" doc:"another than the player's"`
	BPM        float64 `query:"bpm" minimum:"0" maximum:"1000" doc:"opening tempo in felt beats a minute; 0 the part's own"`
	Level      int     `query:"level" minimum:"0" maximum:"5" doc:"0 the player's"`
	ReachCM    float64 `query:"reach" minimum:"0" maximum:"100" doc:"0 the player's"`
	Terms      string  `query:"terms" enum:"us,uk" default:"us"`
}

func (r *SheetParams) query() desk.SheetQuery {
	q := desk.SheetQuery{Sheet: desk.Sheet{Part: desk.ID(r.Part), Player: desk.ID(r.Player)},
		Instrument: r.Instrument, BPM: r.BPM, Level: r.Level, ReachCM: r.ReachCM}
	if r.Terms == "uk" {
		q.Terms = score.British
	}
	return q
}

type sheetAnswer struct {
	Body struct {
		Part     *desk.Part            `json:"part"`
		Player   *desk.Player          `json:"player"` // null for nobody in particular
		Horn     instrument            `json:"horn"`
		A4       float64               `json:"a4" doc:"Hz, to which the player tunes"`
		Marks    []*desk.Mark          `json:"marks"`
		Read     desk.ReadDocument     `json:"read"`
		Mark     desk.MarkDocument     `json:"mark"`
		Air      desk.AirDocument      `json:"air"`
		Timeline desk.TimelineDocument `json:"timeline"`
		Undo     string                `json:"undo"` // what undo would take back; "" for nothing
		Redo     string                `json:"redo"`
	}
}

func (h *handlers) sheet(ctx context.Context, in *SheetParams) (*sheetAnswer, error) {
	o, err := h.desk.Open(ctx, in.query())
	if err != nil {
		return nil, err
	}
	p := o.Prepared
	out := &sheetAnswer{}
	b := &out.Body
	b.Part, b.Player, b.Marks = o.Part, o.Player, o.Marks
	horn := p.Path.Instrument
	b.A4 = p.ReferenceA()
	b.Horn = instrument{horn.Name, horn.Title, horn.SlideMaxCM > 0}
	b.Read, b.Mark, b.Air, b.Timeline = p.Read(), p.Mark(), p.Air(), p.Timeline(sound.Options{})
	undo, redo, err := h.desk.Next(ctx, in.query().Sheet)
	if err != nil {
		return nil, err
	}
	if undo != nil {
		b.Undo = undo.Says
	}
	if redo != nil {
		b.Redo = redo.Says
	}
	return out, nil
}

// meterText is "4/4", or "cut time" with the beats it is felt in.
func meterText(m desk.MeterEntry) string {
	if m.Cut {
		return "cut time"
	}
	return fmt.Sprintf("%d/%d", m.Beats, m.Unit)
}

// bytesAnswer is a document of another kind than JSON.
type bytesAnswer struct {
	ContentType string `header:"Content-Type"`
	Body        []byte
}

func (h *handlers) score(ctx context.Context, in *SheetParams) (*bytesAnswer, error) {
	o, err := h.desk.Open(ctx, in.query())
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	if err := o.Prepared.WriteScore(&b); err != nil {
		return nil, err
	}
	return &bytesAnswer{"application/vnd.recordare.musicxml+xml", b.Bytes()}, nil
}

type markRequest struct {
	Instrument string `query:"instrument" doc:"on which the mark is tried; the player's by default"`
	Body       desk.Mark
}

type markAnswer struct{ Body *desk.Mark }

func (h *handlers) setMark(ctx context.Context, in *markRequest) (*markAnswer, error) {
	m := in.Body
	_, err := h.desk.SetMark(ctx, &m, desk.SheetQuery{Instrument: in.Instrument})
	return &markAnswer{&m}, err
}

type deleteMarkRequest struct {
	RecordParams
	Part   string `query:"part" required:"true"`
	Player string `query:"player"`
}

func (h *handlers) deleteMark(ctx context.Context, in *deleteMarkRequest) (*none, error) {
	sheet := desk.Sheet{Part: desk.ID(in.Part), Player: desk.ID(in.Player)}
	marks, err := h.desk.Marks(ctx, sheet)
	if err != nil {
		return nil, err
	}
	for _, m := range marks {
		if m.ID == desk.ID(in.ID) {
			m.Revision = desk.Revision(in.Revision)
			_, err := h.desk.Commit(ctx, desk.Change{Sheet: m.Sheet, Says: "took away " + m.String(), Edits: []desk.Edit{desk.Delete(m)}})
			return &none{}, err
		}
	}
	return nil, &desk.NotFoundError{Ref: desk.Ref{Kind: desk.KindMark, ID: desk.ID(in.ID)}}
}

type sheetBody struct{ Body desk.Sheet }

type entryAnswer struct{ Body *desk.Entry }

func (h *handlers) undo(ctx context.Context, in *sheetBody) (*entryAnswer, error) {
	e, err := h.desk.Undo(ctx, in.Body, "")
	return &entryAnswer{e}, nothingTo("take back", err)
}

func (h *handlers) redo(ctx context.Context, in *sheetBody) (*entryAnswer, error) {
	e, err := h.desk.Redo(ctx, in.Body, "")
	return &entryAnswer{e}, nothingTo("make again", err)
}

// nothingTo words an undo without anything to undo.
func nothingTo(what string, err error) error {
	if errors.Is(err, desk.ErrNoChange) {
		return &desk.SeasonError{Text: "there is nothing to " + what, Is: desk.ErrNoChange}
	}
	return err
}
