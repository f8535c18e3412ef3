package server

import (
	"context"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humago"

	"waterkey/desk"
	"waterkey/sound"
)

// registerSound lists the operations on the reference performance.
func registerSound(api huma.API, h *handlers) {
	get(api, "sound", "/api/sheet/sound", "The reference performance, as WAV", h.sound)
	get(api, "timeline", "/api/sheet/timeline", "When everything sounds in the reference performance of the same query", h.timeline)
}

// soundRequest asks for a reference performance.
type soundRequest struct {
	SheetParams
	Style     string  `query:"style" enum:"light,broad,detached,singing" doc:"lengths of notes; left out for the handbook's"`
	Plain     bool    `query:"plain" doc:"a plain tone instead of the instrument's"`
	Tuning    float64 `query:"tuning" minimum:"380" maximum:"480" doc:"the reference A4 in Hz; left out for the player's"`
	From      string  `query:"from" doc:"printed number of the first bar; left out for the part's"`
	To        string  `query:"to" doc:"printed number of the last bar"`
	Click     bool    `query:"click"`
	CountIn   int     `query:"count_in" minimum:"0" maximum:"4" doc:"bars"`
	Conducted bool    `query:"conducted" doc:"a count-in as a conductor gives it, in place of count_in"`
	Divide    int     `query:"divide" minimum:"0" maximum:"8" doc:"ticks to a felt beat"`
	Accents   []int   `query:"accents" doc:"strong beats of the bar, from 1; left out for the meter's"`
	PlayAlong bool    `query:"playalong" doc:"cues in place of the part"`
	Inner     []int   `query:"inner" doc:"bars heard, bars silent: 1,1"`
	SlowFrom  float64 `query:"slow_from" minimum:"0" maximum:"0.99" doc:"a ladder from this share of the tempo up to it; 0 for one run"`
	Runs      int     `query:"runs" minimum:"0" maximum:"12" doc:"of a ladder; 0 for small steps"`
	Drone     string  `query:"drone" doc:"pitches, the root first: Bb2 F3"`
	Just      bool    `query:"just" doc:"tunes the drone in whole-number ratios"`
}

// playing is what is asked for, in the desk's words.
func (r *soundRequest) playing() desk.Playing {
	q := desk.Playing{Style: r.Style, Plain: r.Plain, A4: r.Tuning, From: r.From, To: r.To, Click: r.Click, CountIn: r.CountIn,
		Divide: r.Divide, Accents: r.Accents, PlayAlong: r.PlayAlong, Inner: r.Inner, SlowShare: r.SlowFrom, Runs: r.Runs, Drone: r.Drone, Just: r.Just}
	if r.Conducted {
		q.CountIn = sound.Conducted
	}
	return q
}

// sounding lays out what is asked for.
func (h *handlers) sounding(ctx context.Context, in *soundRequest) (*desk.Sounding, error) {
	o, err := h.desk.Open(ctx, in.query())
	if err != nil {
		return nil, err
	}
	return o.Prepared.Sound(in.playing())
}

// sound sends the performance while it is made, with Range requests (RFC 9110,
// section 14): its length is known ahead. It is made anew for every request and not
// to be kept: the page that it is made from may change.
func (h *handlers) sound(ctx context.Context, in *soundRequest) (*audioAnswer, error) {
	s, err := h.sounding(ctx, in)
	if err != nil {
		return nil, err
	}
	if len(s.Tones) == 0 {
		return nil, &desk.SeasonError{Text: "nothing sounds in what was asked for; try the whole part", Is: desk.ErrInvalid}
	}
	return &audioAnswer{func(c huma.Context) {
		r, w := humago.Unwrap(c)
		w.Header().Set("Content-Type", "audio/wav")
		w.Header().Set("Cache-Control", "no-store")
		http.ServeContent(w, r, "", time.Time{}, sound.NewFile(s.Tones, s.Options))
	}}, nil
}

type timelineAnswer struct{ Body desk.TimelineDocument }

func (h *handlers) timeline(ctx context.Context, in *soundRequest) (*timelineAnswer, error) {
	s, err := h.sounding(ctx, in)
	if err != nil {
		return nil, err
	}
	return &timelineAnswer{s.Timeline()}, nil
}
