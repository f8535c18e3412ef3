package breath

import (
	"waterkey/brass"
	"waterkey/player"
	"waterkey/score"
)

// Options say who plays and what is decided already. The zero value is an
// advanced student whose lungs are estimated, breath marks honored.
type Options struct {
	Lungs         player.Lungs      // zero for those of [player.DefaultLevel]
	Instrument    *brass.Instrument // nil for the family's flow curve
	Pins          []Pin
	IgnorePrinted bool // printed breath marks are hints and no more

	weights weights // zero for the usual ones
}

// complete fills in what was left open and checks the rest.
func (o Options) complete() (Options, error) {
	if o.weights == (weights{}) {
		o.weights = usualWeights
	}
	if o.Lungs.Vital == 0 {
		o.Lungs = player.UsualLungs(player.DefaultLevel)
	}
	return o, o.Lungs.Check()
}

// Breathing is a choice of breaths for a part, and what the air does with them,
// made by [Solve].
type Breathing struct {
	Performance *score.Performance
	Lungs       player.Lungs
	Breaths     []Breath // in order
	Cost        float64  // of all breaths, places passed and low air
	End         float64  // liters left after the last note

	ground *ground
	picks  []pick
	spans  []span
}

// Solve finds the cheapest breaths with which the air lasts. Where no breath can
// make it last, the plan lacks as little as can be, and [Breathing.Lacking] names
// the place. The error says what is wrong with the lungs or a pin.
func Solve(pf *score.Performance, o Options) (*Breathing, error) {
	o, err := o.complete()
	if err != nil {
		return nil, err
	}
	g, err := newGround(pf, o)
	if err != nil {
		return nil, err
	}
	return g.solve(), nil
}

func (g *ground) solve() *Breathing {
	s := search{ground: g}
	var picks []pick
	first := 0
	for i := range g.pf.Notes {
		if i+1 < len(g.pf.Notes) && !g.places[i].entry {
			continue
		}
		picks = append(picks, s.stretch(first, i)...)
		if i+1 < len(g.pf.Notes) {
			picks = append(picks, pick{i, 0})
		}
		first = i + 1
	}
	return g.play(picks)
}
