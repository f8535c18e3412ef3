package positions

import (
	"math"
	"strings"

	"waterkey/brass"
	"waterkey/score"
)

// node is a way as the graph sees it.
type node struct {
	way    *brass.Way // nil for a note out of reach
	usual  bool       // the first choice
	detour bool       // with the valve, and further out than the first choice
	keys   fingers    // on valve brass
	valved bool       // valve brass: no slide to move
	cost   float64    // of the way by itself
}

// newNode is a way of a note whose first choice is usual.
func newNode(w, usual *brass.Way) node {
	n := node{way: w, usual: *w == *usual, valved: w.Position == 0}
	n.detour = !n.valved && w.Valve != "" && w.ExtensionCM > usual.ExtensionCM+stillCM
	if n.valved {
		n.keys = fingersOf(w.Valve)
	}
	return n
}

// wayCosts prices a way of note i by itself. reach is the arm's, in cm.
func wayCosts(pf *score.Performance, i int, n *node, reach float64) (t [wayTerms]float64) {
	w := n.way
	t[intonationTerm] = offCostPerCent * math.Abs(w.OffCents)
	t[leanTerm] = leanCostPerCM * math.Abs(w.LeanCM)
	t[stretchTerm] = stretchCostPerCM * max(w.ExtensionCM-reach, 0)
	t[partialTerm] = partialCost(n)
	if !n.usual {
		length := float64(pf.Notes[i].End - pf.Notes[i].Start)
		t[alternateTerm] = alternateCost + alternateCostPerSec*min(length, alternateSeconds)
	}
	return t
}

// partialCost prices a weak or narrow partial.
func partialCost(n *node) float64 {
	cost := narrowCost * float64(max(n.way.Partial-widestNarrow, 0))
	if n.way.Partial == 7 {
		cost += seventhCost
	}
	if n.valved {
		return cost
	}
	if !n.usual && n.way.Partial >= highAlternatePartial {
		cost += highAlternateCost
	}
	if n.detour {
		cost += detourCost
	}
	if n.way.Valve != "" && n.way.Partial >= highValvePartial {
		cost += highValveCost
	}
	if !n.usual && strings.Contains(n.way.Valve, "+") {
		cost += bothValvesCost
	}
	return cost
}

// approach is what the page says about the move into a note, whatever the ways.
type approach struct {
	time    float64 // for the move, in seconds
	rise    int     // semitones
	slurred bool
	gliss   bool
	long    bool // both notes are long and close, so that a change of color shows
}

func newApproach(pf *score.Performance, i int) approach {
	prev, next := pf.Notes[i-1], pf.Notes[i]
	from, to := pf.Written(i-1), pf.Written(i)
	return approach{
		time:    moveTime(pf, i),
		rise:    to.Pitch.MIDI() - from.Pitch.MIDI(),
		slurred: to.SlurFrom,
		gliss:   from.GlissTo,
		long: min(prev.End-prev.Start, next.End-next.Start) >= toneSeconds &&
			next.Start-prev.End < toneGapSeconds,
	}
}

// moveTime is what there is for the move into note i, in seconds. A glissando
// has the whole of the note before.
func moveTime(pf *score.Performance, i int) float64 {
	prev, next := pf.Notes[i-1], pf.Notes[i]
	written := pf.Written(i - 1)
	if written.GlissTo {
		return max(float64(next.Start-prev.Start), minMoveSeconds)
	}
	value := prev.End - prev.Start
	silent := next.Start - prev.Start - value*score.Seconds(written.SoundedShare())
	t := max(silent, 0) + min(moveOverlapShare*value, moveOverlapSeconds)
	return max(float64(t), minMoveSeconds)
}

// speed is the peak slide speed of a move, in cm/s.
func (ap *approach) speed(a, b *node) float64 {
	return peakOverMean * math.Abs(b.way.ExtensionCM-a.way.ExtensionCM) / ap.time
}

// costs prices the move from way a to way b, all but the turn, which depends on
// the move before. Terms count from wayTerms.
func (ap *approach) costs(a, b *node) (t [moveTerms]float64) {
	if b.valved {
		t[fingersTerm-wayTerms], t[awkwardTerm-wayTerms] = a.keys.to(b.keys, ap.time)
	} else {
		ap.slideCosts(a, b, &t)
	}
	if ap.long {
		t[toneTerm-wayTerms] = ap.toneCost(a, b)
	}
	return t
}

// slideCosts prices what slide and thumb do.
func (ap *approach) slideCosts(a, b *node, t *[moveTerms]float64) {
	t[speedTerm-wayTerms] = speedCost * squared(ap.speed(a, b)/comfortableSpeed)
	t[distanceTerm-wayTerms] = travelCostPerCM * math.Abs(b.way.ExtensionCM-a.way.ExtensionCM)
	if a.way.Valve != b.way.Valve {
		hurry := 1 + valveSeconds/ap.time
		t[valveTerm-wayTerms] = valveCost * hurry
		if heading(a, b) != still {
			t[thumbTerm-wayTerms] = thumbSlideCost * hurry
		}
	}
	switch {
	case ap.gliss && !brass.SameReach(*a.way, *b.way):
		t[glissandoTerm-wayTerms] = brokenGlissCost
	case !ap.gliss && ap.slurred:
		t[speedTerm-wayTerms] *= legatoFactor
		t[slurTerm-wayTerms] = ap.slurCost(a, b)
	}
}

// squared is the square of an effort up to lateEffort, then a straight line that
// goes on from it.
func squared(effort float64) float64 {
	if effort <= lateEffort {
		return effort * effort
	}
	return lateEffort * (2*effort - lateEffort)
}

// slurCost prices a slur that the tongue must help.
func (ap *approach) slurCost(a, b *node) float64 {
	switch {
	case slurKind(ap.rise, *a.way, *b.way) != TonguedSlur:
		return 0
	case a.way.Partial == b.way.Partial:
		return againstGrainCost + smearCost
	}
	return againstGrainCost
}

// toneCost prices a change of color between long notes.
func (ap *approach) toneCost(a, b *node) float64 {
	switch {
	case ap.rise == 0 && *a.way != *b.way:
		return samePitchTone
	case a.usual == b.usual && (a.valved || a.way.Valve == b.way.Valve):
		return 0
	case ap.slurred:
		return phraseTone
	}
	return 0
}

// turning prices a change of direction.
func (ap *approach) turning(before, now direction) float64 {
	if before == still || now == still || before == now {
		return 0
	}
	return turnCost * turnSeconds / (turnSeconds + ap.time)
}

// direction is where the slide went on its last move.
type direction int

// A slide that stayed where it was may go either way next.
const (
	inward direction = iota
	still
	outward
	directions
)

// heading is the direction of the move from a to b.
func heading(a, b *node) direction {
	switch d := b.way.ExtensionCM - a.way.ExtensionCM; {
	case d >= stillCM:
		return outward
	case d <= -stillCM:
		return inward
	}
	return still
}
