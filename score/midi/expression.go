package midi

import (
	"math"

	"waterkey/score"

	gomidi "gitlab.com/gomidi/midi/v2"
)

// A hairpin inside a note moves the expression controller. The resting value
// leaves room for a crescendo of one and a half markings within a note and falls
// for a diminuendo; a synthesizer turns values into a level by 40 log10 (General
// MIDI Level 2, 1999, from memory).
const (
	expressionControl = 11
	restingExpression = 90
	markDB            = 4.0  // one marking, as package sound plays it
	expressionStep    = 0.05 // seconds
	controlLimit      = 127
)

// expression lists the controller values of a note whose level changes, and the
// way back; nil for a note at one level.
func (g grid) expression(i int, from, to int64) []event {
	n, played := g.pf.Written(i), g.pf.Notes[i]
	p := g.pf.Part
	if len(p.Wedges) == 0 || played.Duration.Sign() <= 0 {
		return nil
	}
	const parts = 1024 // of the note, that moments are rounded to
	start, last := p.Level(n.Onset), uint8(restingExpression)
	var out []event
	a, b := g.seconds(from), g.seconds(to)
	for s := a + expressionStep; s < b; s += expressionStep {
		share := (s - float64(played.Start)) / float64(played.End-played.Start)
		at := n.Onset.Add(played.Duration.Scale(int64(min(max(share, 0), 1)*(parts-1)), parts))
		if v := expressionAt(p.Level(at) - start); v != last {
			out = append(out, event{g.tick(score.Seconds(s)), bends, gomidi.ControlChange(channel, expressionControl, v)})
			last = v
		}
	}
	if last != restingExpression {
		out = append(out, event{to, ends, gomidi.ControlChange(channel, expressionControl, restingExpression)})
	}
	return out
}

// expressionAt is the value for a level so many markings above the note's start.
func expressionAt(markings float64) uint8 {
	v := math.Round(restingExpression * math.Pow(10, markDB*markings/40))
	return uint8(min(max(v, 1), controlLimit))
}
