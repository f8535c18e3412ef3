package desk

import (
	"waterkey/reading"
	"waterkey/score"
	"waterkey/sound"
)

// asPlayed fills in what the page and the path say about the sound of a
// performance of the part. Path, breaths and phrases are those of the read-through;
// a repeat is played the same way again, and a slow run breathes where the fast one
// has to.
func (p *Prepared) asPlayed(pf *score.Performance, o sound.Options) sound.Options {
	o.Timbre = sound.TimbreOf(p.Path.Instrument.Name)
	step := p.stepOf()
	o.Ways = make([]sound.Way, len(pf.Notes))
	for i, n := range pf.Notes {
		if w := p.Path.Steps[step[n.Note]].Way; w != nil {
			o.Ways[i] = sound.Way{Partial: w.Partial, Valve: w.Valve, ExtensionCM: w.ExtensionCM}
		}
	}
	o.Breaths = p.breathsPlayed(pf, step)
	o.Shape = sound.Arcs(p.arcs(pf, step))
	return o
}

// stepOf is where each note of the part stands in the read-through.
func (p *Prepared) stepOf() []int {
	step := make([]int, len(p.Part.Notes))
	for i, n := range p.Through.Notes {
		step[n.Note] = i
	}
	return step
}

// breathsPlayed puts the planned breaths behind every turn of their notes. A breath
// takes the same share of the beat at every tempo.
func (p *Prepared) breathsPlayed(pf *score.Performance, step []int) []sound.Breath {
	slower := score.Seconds(1)
	if length := p.Played.Length(); length > 0 {
		slower = pf.Length() / length
	}
	room := map[int]score.Seconds{}
	for _, b := range p.Breathing.Breaths {
		room[b.After] = b.Room
	}
	var out []sound.Breath
	for i, n := range pf.Notes {
		if r, ok := room[step[n.Note]]; ok {
			out = append(out, sound.Breath{After: i, Room: r * slower})
		}
	}
	return out
}

// arcs are the phrases as they are played: each turn that is played whole.
func (p *Prepared) arcs(pf *score.Performance, step []int) []sound.Arc {
	phraseFrom := map[int]reading.Phrase{}
	for _, ph := range reading.Phrases(p.page()) {
		phraseFrom[ph.First] = ph
	}
	var out []sound.Arc
	notes := pf.Notes
	for i, n := range notes {
		ph, ok := phraseFrom[step[n.Note]]
		last := i + ph.Last - ph.First
		if !ok || last >= len(notes) || step[notes[last].Note] != ph.Last {
			continue
		}
		out = append(out, sound.Arc{From: n.Start, Top: notes[i+ph.Peak-ph.First].Start, To: notes[last].End})
	}
	return out
}
