package server

import (
	"context"
	"encoding/json"
	"errors"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"waterkey/desk"
)

// registerTakes lists the operations on takes.
func registerTakes(api huma.API, h *handlers) {
	get(api, "takes", "/api/takes", "The takes of a sheet, newest first", h.takes)
	get(api, "take", "/api/takes/{id}", "A take, and how far its measuring is", h.take)
	get(api, "heard", "/api/takes/{id}/heard", "All that was measured in a take", h.heard)
	put(api, "note-take", "/api/takes/{id}", "Say why a take will not be sent, or note something", h.noteTake)
	put(api, "choose-take", "/api/takes/{id}/chosen", "Choose a take to be sent, or no longer", h.chooseTake)
	post(api, "measure-take", "/api/takes/{id}/measure", "Measure a take again", h.measureTake)
	drop(api, "drop-take", "/api/takes/{id}", "Remove a take with its remarks", h.dropTake)
	get(api, "take-audio", "/api/takes/{id}/audio", "The recording as it came, or as WAV for browsers that cannot play it", h.takeAudio)
	get(api, "send-take", "/api/takes/{id}/export", "The recording untouched with its check sheet, as a ZIP archive", h.sendTake)
	get(api, "trend", "/api/trend", "How the takes of a sheet went, oldest first", h.trend)
}

// takeCard is a take with what lists show of it.
type takeCard struct {
	*desk.Take
	State  takeState `json:"state" enum:"queued,measuring,measured,failed"`
	Share  float64   `json:"share" doc:"of the measuring that is done, 0 to 1"`
	Reason string    `json:"reason,omitempty" doc:"why the measuring failed"`
	// Measured is what was found, perhaps by an earlier listening; null before.
	Measured *measured `json:"measured"`
}

type measured struct {
	At      time.Time        `json:"at"`
	Summary desk.TakeSummary `json:"summary"`
	RuleOut []string         `json:"rule_out" doc:"why it should not be sent, whatever was played"`
	Sheet   desk.CheckSheet  `json:"check_sheet"`
}

// takeCard puts a take and its measure together, and has the take measured where
// that is out of date. m may be nil; it is looked up then.
func (h *handlers) takeCard(ctx context.Context, t *desk.Take, m *desk.Measure) (*takeCard, error) {
	c := &takeCard{Take: t}
	job, busy := h.jobs.look(t.ID) // before the measure: it is kept before the job ends
	if m == nil || busy {
		var err error
		if m, err = h.desk.Measure(ctx, t.ID); err != nil && !errors.Is(err, desk.ErrNotFound) {
			return nil, err
		}
	}
	current, err := c.fill(ctx, h.desk, m)
	switch {
	case err != nil:
		return nil, err
	case busy:
		c.State, c.Share, c.Reason = job.state, job.share, job.reason
	case current:
		c.State, c.Share = stateMeasured, 1
		if why := c.Measured.Summary.Failed; why != "" {
			c.State, c.Reason = stateFailed, why
		}
	default:
		h.jobs.want(t.ID)
		c.State = stateQueued
	}
	return c, nil
}

// fill adds a measure, if there is one, and says whether it is up to date.
func (c *takeCard) fill(ctx context.Context, d *desk.Desk, m *desk.Measure) (current bool, err error) {
	if m == nil {
		return false, nil
	}
	c.Measured = &measured{At: m.Measured, RuleOut: m.RuleOut}
	if err := json.Unmarshal(m.Summary, &c.Measured.Summary); err != nil {
		return false, err
	}
	if err := json.Unmarshal(m.CheckSheet, &c.Measured.Sheet); err != nil {
		return false, err
	}
	version, err := d.MeasureVersion(ctx, c.Take)
	return m.Version == version, err
}

type takeAnswer struct{ Body *takeCard }

type takesRequest struct {
	Part   string    `query:"part"`
	Player string    `query:"player"`
	Since  time.Time `query:"since"`
	Limit  int       `query:"limit" minimum:"0" doc:"0 for all"`
	Offset int       `query:"offset" minimum:"0"`
}

type takesAnswer struct {
	Body struct {
		Takes []*takeCard `json:"takes"`
	}
}

func (h *handlers) takes(ctx context.Context, in *takesRequest) (*takesAnswer, error) {
	q := desk.TakeQuery{Sheet: desk.Sheet{Part: desk.ID(in.Part), Player: desk.ID(in.Player)}, Since: in.Since, Limit: in.Limit, Offset: in.Offset}
	takes, err := h.desk.Takes(ctx, q)
	if err != nil {
		return nil, err
	}
	measures, err := h.desk.MeasuresByTake(ctx, q)
	if err != nil {
		return nil, err
	}
	out := &takesAnswer{}
	out.Body.Takes = []*takeCard{}
	for _, t := range takes {
		c, err := h.takeCard(ctx, t, measures[t.ID])
		if err != nil {
			return nil, err
		}
		out.Body.Takes = append(out.Body.Takes, c)
	}
	return out, nil
}

// TakeParams names a take.
type TakeParams struct {
	ID string `path:"id"`
}

func (h *handlers) take(ctx context.Context, in *TakeParams) (*takeAnswer, error) {
	t, err := h.desk.Take(ctx, desk.ID(in.ID))
	if err != nil {
		return nil, err
	}
	c, err := h.takeCard(ctx, t, nil)
	return &takeAnswer{c}, err
}

func (h *handlers) heard(ctx context.Context, in *TakeParams) (*bytesAnswer, error) {
	data, err := h.desk.Heard(ctx, desk.ID(in.ID))
	return &bytesAnswer{"application/json", data}, err
}

type noteRequest struct {
	TakeParams
	Body struct {
		Revision desk.Revision `json:"revision"`
		RuleOut  []string      `json:"rule_out,omitempty" doc:"why the coach will not send it, one sentence each"`
		Note     string        `json:"note,omitempty"`
	}
}

func (h *handlers) noteTake(ctx context.Context, in *noteRequest) (*takeAnswer, error) {
	t, err := h.desk.NoteTake(ctx, desk.ID(in.ID), in.Body.Revision, in.Body.RuleOut, in.Body.Note)
	if err != nil {
		return nil, err
	}
	c, err := h.takeCard(ctx, t, nil)
	return &takeAnswer{c}, err
}

type chooseRequest struct {
	TakeParams
	Body struct {
		Revision  desk.Revision `json:"revision" doc:"of the take, as it was seen"`
		Chosen    bool          `json:"chosen"`
		InsteadOf desk.ID       `json:"instead_of,omitempty" doc:"the take that was seen to be chosen; empty for none"`
	}
}

func (h *handlers) chooseTake(ctx context.Context, in *chooseRequest) (*takeAnswer, error) {
	b, id := in.Body, desk.ID(in.ID)
	var t *desk.Take
	var err error
	if b.Chosen {
		t, err = h.desk.ChooseTake(ctx, id, b.Revision, b.InsteadOf)
	} else {
		t, err = h.desk.UnchooseTake(ctx, id, b.Revision)
	}
	if err != nil {
		return nil, err
	}
	c, err := h.takeCard(ctx, t, nil)
	return &takeAnswer{c}, err
}

func (h *handlers) measureTake(ctx context.Context, in *TakeParams) (*takeAnswer, error) {
	t, err := h.desk.Take(ctx, desk.ID(in.ID))
	if err != nil {
		return nil, err
	}
	return h.listenSoon(ctx, t)
}

func (h *handlers) dropTake(ctx context.Context, in *RecordParams) (*none, error) {
	return &none{}, h.desk.DropTake(ctx, desk.ID(in.ID), desk.Revision(in.Revision))
}

type trendRequest struct {
	Part   string `query:"part" required:"true"`
	Player string `query:"player" required:"true"`
}

type trendAnswer struct {
	Body struct {
		Points []desk.TrendPoint `json:"points"`
	}
}

func (h *handlers) trend(ctx context.Context, in *trendRequest) (*trendAnswer, error) {
	out := &trendAnswer{}
	var err error
	out.Body.Points, err = h.desk.Trend(ctx, desk.Sheet{Part: desk.ID(in.Part), Player: desk.ID(in.Player)})
	return out, err
}
