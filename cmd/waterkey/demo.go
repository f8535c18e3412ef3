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
var dueIn = map[string]int{"harbor-parade.musicxml": 11, "lantern-song.musicxml": 18, "iron-quay.musicxml": 18}

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
	return nil
}
