package trial

import (
	"math"

	"waterkey/audio"
	"waterkey/demo/trombone"
	"waterkey/hear"
	"waterkey/score"
)

// Render makes the take of a case. scores is the folder of the shared scores.
// The error says that its music is not there, or wraps [ErrNoFFmpeg].
func (b *Bank) Render(c Case, scores string) (*Take, error) {
	part, err := c.of.part(scores)
	if err != nil {
		return nil, err
	}
	pf, err := part.Perform(score.Tempo{})
	if err != nil {
		return nil, err
	}
	p := newPlanner(c, pf)
	p.plan()
	tones := make([]trombone.Tone, len(p.events))
	for i, e := range p.events {
		tones[i] = e.Tone
	}
	x := b.Sing(tones, c.player, p.ends+after)
	clip, err := p.spoil(x)
	if err != nil {
		return nil, err
	}
	return p.take(clip), nil
}

// take is the clip with the truth of the plan.
func (p *planner) take(clip *audio.Clip) *Take {
	if clip == nil {
		clip = &audio.Clip{Rate: rate}
	}
	return &Take{
		Case: p.c, Page: p.pf, Clip: clip, Notes: p.notes, Extra: p.extra, Free: p.free,
		A4: p.c.a4, BPM: p.bpm(),
	}
}

// bpm is the tempo of the opening in felt beats a minute, by the median of the
// speed over the notes that sound.
func (p *planner) bpm() float64 {
	bpm, _, _ := p.pf.Part.OpeningTempo()
	const little = 0.01 // s
	var v []float64
	for i, n := range p.pf.Notes {
		if p.notes[i].State != hear.Missed {
			at := float64(n.Start)
			v = append(v, 2*little/(p.warp(at+little)-p.warp(at-little)))
		}
	}
	if len(v) == 0 {
		return math.NaN()
	}
	return bpm * median(v)
}
