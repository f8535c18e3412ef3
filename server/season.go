package server

import (
	"bytes"
	"context"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"waterkey/brass"
	"waterkey/desk"
)

// none is an operation without parameters, or without an answer.
type none struct{}

type seasonAnswer struct {
	Body struct {
		Revision    desk.Revision      `json:"revision"`
		Players     []*desk.Player     `json:"players"`
		Parts       []partCard         `json:"parts"`
		Assignments []*desk.Assignment `json:"assignments"`
		Instruments []instrument       `json:"instruments"`
	}
}

// instrument is one that can be chosen.
type instrument struct {
	Name  string `json:"name"`
	Title string `json:"title"`
	Slide bool   `json:"slide"`
}

// partCard is a part with what its card shows.
type partCard struct {
	*desk.Part
	Key     string  `json:"key"`
	Meter   string  `json:"meter"`
	Bars    int     `json:"bars"`
	Notes   int     `json:"notes"`
	Seconds float64 `json:"seconds"`
	Lowest  string  `json:"lowest"`
	Highest string  `json:"highest"`
	Problem string  `json:"problem,omitempty"` // why the page does not read any more
}

func (h *handlers) season(ctx context.Context, _ *none) (*seasonAnswer, error) {
	out := &seasonAnswer{}
	b := &out.Body
	var err error
	if b.Revision, err = h.desk.Revision(ctx); err != nil {
		return nil, err
	}
	if b.Players, err = h.desk.Players(ctx); err != nil {
		return nil, err
	}
	if b.Assignments, err = h.desk.Assignments(ctx, desk.Sheet{}); err != nil {
		return nil, err
	}
	parts, err := h.desk.Parts(ctx)
	if err != nil {
		return nil, err
	}
	b.Parts = []partCard{}
	for _, p := range parts {
		b.Parts = append(b.Parts, h.card(ctx, p))
	}
	b.Instruments, err = instruments()
	return out, err
}

func instruments() ([]instrument, error) {
	var out []instrument
	for _, name := range brass.Names() {
		in, err := brass.Named(name)
		if err != nil {
			return nil, err
		}
		out = append(out, instrument{in.Name, in.Title, in.SlideMaxCM > 0})
	}
	return out, nil
}

// card reads a part for its card. A page that does not read still has one.
func (h *handlers) card(ctx context.Context, p *desk.Part) partCard {
	c := partCard{Part: p}
	o, err := h.desk.Open(ctx, desk.SheetQuery{Sheet: desk.Sheet{Part: p.ID}})
	if err != nil {
		c.Problem = err.Error()
		return c
	}
	read := o.Prepared.Read()
	c.Bars, c.Notes, c.Seconds, c.Lowest, c.Highest = read.Bars, read.Notes, read.DurationS, read.Lowest, read.Highest
	if len(read.Keys) > 0 {
		c.Key = read.Keys[0].Name
	}
	if len(read.Meters) > 0 {
		c.Meter = meterText(read.Meters[0])
	}
	return c
}

type newPlayerRequest struct{ Body desk.Player }

type playerRequest struct {
	ID   string `path:"id"`
	Body desk.Player
}

type playerAnswer struct{ Body *desk.Player }

func (h *handlers) addPlayer(ctx context.Context, in *newPlayerRequest) (*playerAnswer, error) {
	p := in.Body
	p.Head = desk.Head{}
	return h.keepPlayer(ctx, &p, "added ")
}

func (h *handlers) putPlayer(ctx context.Context, in *playerRequest) (*playerAnswer, error) {
	p := in.Body
	p.ID = desk.ID(in.ID)
	return h.keepPlayer(ctx, &p, "changed ")
}

func (h *handlers) keepPlayer(ctx context.Context, p *desk.Player, verb string) (*playerAnswer, error) {
	_, err := h.desk.Commit(ctx, desk.Change{Says: verb + p.Name, Lasting: true, Edits: []desk.Edit{desk.Put(p)}})
	return &playerAnswer{p}, err
}

// RecordParams names a record in the state that the caller saw.
type RecordParams struct {
	ID       string `path:"id"`
	Revision int64  `query:"revision" doc:"the revision that was seen"`
}

func (h *handlers) deletePlayer(ctx context.Context, in *RecordParams) (*none, error) {
	p := &desk.Player{}
	return h.delete(ctx, p, p.Header(), in)
}

func (h *handlers) deletePart(ctx context.Context, in *RecordParams) (*none, error) {
	p := &desk.Part{}
	return h.delete(ctx, p, p.Header(), in)
}

func (h *handlers) delete(ctx context.Context, r desk.Record, head *desk.Head, in *RecordParams) (*none, error) {
	head.ID, head.Revision = desk.ID(in.ID), desk.Revision(in.Revision)
	_, err := h.desk.Commit(ctx, desk.Change{Says: "removed " + desk.RefOf(r).String(), Lasting: true, Edits: []desk.Edit{desk.Delete(r)}})
	return &none{}, err
}

type addPartRequest struct {
	File    string `query:"file" required:"true" doc:"the dropped file's name"`
	Line    string `query:"line" doc:"which of several parts in the file"`
	Due     string `query:"due" doc:"day, as 2026-12-01"`
	RawBody []byte `contentType:"application/octet-stream"`
}

type partAnswer struct{ Body partCard }

func (h *handlers) addPart(ctx context.Context, in *addPartRequest) (*partAnswer, error) {
	p, err := h.desk.AddPart(ctx, desk.Dropped{FileName: in.File, Data: in.RawBody, Line: in.Line, Due: in.Due})
	if err != nil {
		return nil, err
	}
	return &partAnswer{h.card(ctx, p)}, nil
}

type partRequest struct {
	ID   string `path:"id"`
	Body desk.Part
}

func (h *handlers) putPart(ctx context.Context, in *partRequest) (*partAnswer, error) {
	p := in.Body
	p.ID = desk.ID(in.ID)
	_, err := h.desk.Commit(ctx, desk.Change{Says: "changed " + p.Title, Lasting: true, Edits: []desk.Edit{desk.Put(&p)}})
	if err != nil {
		return nil, err
	}
	return &partAnswer{h.card(ctx, &p)}, nil
}

// fileAnswer is a file to save.
type fileAnswer struct {
	ContentType        string `header:"Content-Type"`
	ContentDisposition string `header:"Content-Disposition"`
	Body               func(huma.Context)
}

func (h *handlers) export(ctx context.Context, _ *none) (*fileAnswer, error) {
	return &fileAnswer{"application/zip", `attachment; filename="waterkey-season.zip"`, func(w huma.Context) {
		// Once bytes are under way an error can only cut the file short; an
		// archive says itself when it is not whole.
		if _, err := h.desk.Export(ctx, w.BodyWriter()); err != nil {
			panic(http.ErrAbortHandler)
		}
	}}, nil
}

type importRequest struct {
	RawBody []byte `contentType:"application/octet-stream"`
}

func (h *handlers) importSeason(ctx context.Context, in *importRequest) (*none, error) {
	return &none{}, h.desk.Import(ctx, bytes.NewReader(in.RawBody), int64(len(in.RawBody)))
}
