package main

import (
	"context"
	"time"

	"waterkey/demo"
	"waterkey/desk"
	"waterkey/player"
)

// demoPlayers are the invented candidates of the demo season.
var demoPlayers = []desk.Player{
	{Name: "Ines Okafor", Instrument: "tenor-f", Level: player.Advanced},
	{Name: "Tomasz Vey", Instrument: "tenor", Level: player.Third, ReachCM: 40},
	{Name: "Mara Lindqvist", Instrument: "bass", Level: player.Professional},
	{Name: "Bela Anders", Instrument: "euphonium", Level: player.Advanced},
}

// dueIn is how many days from now the demo parts are due, by file.
var dueIn = map[string]int{"harbor-parade.musicxml": 12, "lantern-song.musicxml": 19, "iron-quay.musicxml": 19}

// demoTerms is how the candidates practice, by name.
var demoTerms = map[string]desk.PracticeTerms{
	"Ines Okafor":    {DaysPerWeek: 6, Minutes: 50, NowMinutes: 40, At: "18:30"},
	"Tomasz Vey":     {DaysPerWeek: 5, Minutes: 40, NowMinutes: 30, At: "19:30"},
	"Mara Lindqvist": {DaysPerWeek: 6, Minutes: 60, NowMinutes: 60, At: "18:00"},
	"Bela Anders":    {DaysPerWeek: 6, Minutes: 45, NowMinutes: 40, At: "19:00"},
}

// fillDemo puts the demo season on an empty desk.
func fillDemo(ctx context.Context, d *desk.Desk) error {
	if at, err := d.Revision(ctx); err != nil || at > 0 {
		return err
	}
	var edits []desk.Edit
	for i := range demoPlayers {
		p := demoPlayers[i]
		edits = append(edits, desk.Put(&p))
	}
	if _, err := d.Commit(ctx, desk.Change{Says: "the candidates", Lasting: true, Edits: edits}); err != nil {
		return err
	}
	for _, name := range demo.Files() {
		data, err := demo.Open(name)
		if err != nil {
			return err
		}
		due := time.Now().AddDate(0, 0, dueIn[name]).Format(time.DateOnly)
		if _, err := d.AddPart(ctx, desk.Dropped{FileName: name, Data: data, Due: due}); err != nil {
			return err
		}
	}
	return setDemoTerms(ctx, d, time.Now())
}

// setDemoTerms has every candidate practice what their takes are of, since the first
// of the takes.
func setDemoTerms(ctx context.Context, d *desk.Desk, today time.Time) error {
	sheets, err := demoSheets(ctx, d)
	if err != nil {
		return err
	}
	given := map[desk.Sheet]bool{}
	for _, r := range demo.Recordings() {
		sheet := sheets[r.ID]
		if given[sheet] {
			continue
		}
		given[sheet] = true
		terms := demoTerms[r.Player]
		terms.Since = r.Moment(today).Format(time.DateOnly)
		c := desk.Change{Sheet: sheet, Says: "the terms of practice", Lasting: true,
			Edits: []desk.Edit{desk.Put(&desk.Assignment{Sheet: sheet, Practice: &terms})}}
		if _, err := d.Commit(ctx, c); err != nil {
			return err
		}
	}
	return nil
}

// demoSheets are the sheets of the recordings whose player and part are on the desk,
// by recording.
func demoSheets(ctx context.Context, d *desk.Desk) (map[string]desk.Sheet, error) {
	players, err := d.Players(ctx)
	if err != nil {
		return nil, err
	}
	parts, err := d.Parts(ctx)
	if err != nil {
		return nil, err
	}
	byName, byFile := map[string]desk.ID{}, map[string]desk.ID{}
	for _, p := range players {
		byName[p.Name] = p.ID
	}
	for _, p := range parts {
		byFile[p.FileName] = p.ID
	}
	out := map[string]desk.Sheet{}
	for _, r := range demo.Recordings() {
		if s := (desk.Sheet{Part: byFile[r.Part], Player: byName[r.Player]}); s.Part != "" && s.Player != "" {
			out[r.ID] = s
		}
	}
	return out, nil
}
