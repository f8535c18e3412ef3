// Package reading walks through a page as a coach does on first sight: notes
// and rhythms, then articulations and dynamics, then breathing and phrasing. It
// returns what to watch for as findings in that order.
//
// Every kind of finding is one function of this package, listed by stage in
// kinds. A function looks at the whole page and says each thing once, with the
// bars it concerns. Thresholds say where they come from; those without a source
// are estimates.
package reading

import (
	"waterkey/brass"
	"waterkey/breath"
	"waterkey/finding"
	"waterkey/player"
	"waterkey/positions"
	"waterkey/score"
)

// Page is what a walk looks at: the part, read through once in written order,
// with a position for every note and the plan of breaths.
type Page struct {
	Part      *score.Part
	Through   *score.Performance
	Path      *positions.Path
	Breathing *breath.Breathing // over Through; nil leaves breaths unmentioned
	Level     player.Level      // 0 is player.DefaultLevel
	Terms     score.Terms       // names of note values in the text

	feltBeats []score.Beat                // by bar, see felt
	usual     *player.Compass             // see compass
	usualWays map[score.Pitch][]brass.Way // see ways
}

// kinds lists what is looked for, in the order of the stages.
var kinds = []func(*Page) []finding.Finding{
	// notes
	clef, key, keyChange, accidentals, clefChange, outOfReach, low, high, leap, slideTrap, alternate, attachment, tuning, awkwardFingers,
	// rhythm
	meter, subdivision, meterChange, barSum, shortRest, dotted, syncopation, tuplet, tieOverBar, tempoChange,
	// articulation
	prevailing, slurs, articulationChange, mannerWords, standsOut, glissando, ornament,
	// dynamics
	levels, silence, longSoft, hairpin, sudden, forced, softAndLow, loudAndHigh,
	// choices
	choices,
}

// Walk returns the findings of a page, sorted by stage and weight.
func Walk(p *Page) []finding.Finding {
	var out []finding.Finding
	if len(p.Part.Bars) == 0 {
		return out
	}
	for _, kind := range kinds {
		out = append(out, kind(p)...)
	}
	finding.Sort(out)
	return out
}

// notes is how many notes the page has.
func (p *Page) notes() int { return len(p.Through.Notes) }

// note is the i-th note as written.
func (p *Page) note(i int) *score.Note { return p.Through.Written(i) }

// ways are the ways of the instrument to sound a pitch, the usual one first.
func (p *Page) ways(pitch score.Pitch) []brass.Way {
	ways, ok := p.usualWays[pitch]
	if !ok {
		if p.usualWays == nil {
			p.usualWays = map[score.Pitch][]brass.Way{}
		}
		ways = p.Path.Instrument.Ways(pitch)
		p.usualWays[pitch] = ways
	}
	return ways
}

// seconds is the full value of note i.
func (p *Page) seconds(i int) float64 {
	n := p.Through.Notes[i]
	return float64(n.End - n.Start)
}
