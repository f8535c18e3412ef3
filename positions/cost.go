package positions

import (
	"cmp"
	"math"
	"slices"

	"waterkey/brass"
	"waterkey/score"
)

// Weights of a way by itself.
const (
	// An alternate is "thinner, less centered" (D. Mathie, trombone.org, 2021),
	// which a long note shows more than a short one. Amounts: estimate, set so
	// that first choices hold in quarter notes at a walking pace and yield in
	// quick figures.
	alternateCost       = 0.45
	alternateCostPerSec = 0.5 // for each second of the note, up to alternateSeconds
	alternateSeconds    = 2.0
	// Each cent that the slide cannot correct costs a little (estimate).
	offCostPerCent = 0.01
	// Finding a raised or lowered position costs a little for each cm of lean
	// (estimate).
	leanCostPerCM = 0.03
	// The seventh partial and its neighbors lie close together and the seventh is
	// far from pitch; with the valve, partials from the fifth up crowd in the same
	// way a fourth lower and speak less freely (common practice: the attachment is
	// for the low register). Amounts: estimate.
	seventhCost      = 0.1
	highValveCost    = 0.3
	highValvePartial = 5
	// Beyond a comfortable reach, about the sixth position for an adult, each
	// cm costs (estimate).
	comfortableReachCM = 45.0
	stretchCostPerCM   = 0.03
)

// Weights of a move.
const (
	// comfortableSpeed is a peak slide speed that costs an effort of
	// speedCost, in cm/s. No measured value was found; estimate: a slurred
	// whole step, first to third, in the time of a legato tongue.
	comfortableSpeed = 300.0
	speedCost        = 0.5
	travelCostPerCM  = 0.004 // a shorter way is better all else being equal (estimate)
	// valveCost is the thumb's work, more when it must meet a fast note: it
	// doubles when the time for the change shrinks to valveSeconds (estimates).
	valveCost    = 0.3
	valveSeconds = 0.12
	// smearCost is a slur over a slide move on one partial, which must be hidden
	// with a legato tongue; againstGrainCost one that crosses partials with the
	// slide moving the same way as the pitch. Both kinds are tongued (trombone.org,
	// "Playing Legato on the Trombone: A Primer"); amounts: estimate.
	smearCost        = 0.15
	againstGrainCost = 0.05
	// brokenGlissCost is a glissando that the two ways cannot connect. It is
	// larger than any sum of other terms between two notes, so that a playable
	// glissando is always played (rule: one partial, one valve state).
	brokenGlissCost = 1000.0
)

// Time for a move.
const (
	// The slide may leave a note before its end and arrive within the next
	// attack: this share of the note's value, at most moveOverlapSeconds, is
	// lent to the move (estimate).
	moveOverlapShare   = 0.25
	moveOverlapSeconds = 0.12
	// minMoveSeconds keeps times of grace notes from vanishing (estimate).
	minMoveSeconds = 0.02
	// peakOverMean is the peak speed of a minimum-jerk motion over its mean:
	// 15/8 (Flash and Hogan, Journal of Neuroscience 5, 1985; from memory, and
	// calculated from the fifth-order polynomial).
	peakOverMean = 1.875
)

func nodeCost(pf *score.Performance, i int, w brass.Way, first bool) float64 {
	n := pf.Notes[i]
	length := float64(n.End - n.Start)
	cost := offCostPerCent*math.Abs(w.OffCents) + leanCostPerCM*math.Abs(w.LeanCM) +
		stretchCostPerCM*max(w.ExtensionCM-comfortableReachCM, 0)
	if w.Partial == 7 {
		cost += seventhCost
	}
	if w.Valve != "" && w.Partial >= highValvePartial {
		cost += highValveCost
	}
	if !first {
		cost += alternateCost + alternateCostPerSec*min(length, alternateSeconds)
	}
	return cost
}

// edgeCost is the cost of going from way a of note i-1 to way b of note i.
func edgeCost(pf *score.Performance, i int, a, b brass.Way) float64 {
	m := move(pf, i, a, b)
	effort := m.PeakSpeed / comfortableSpeed
	cost := travelCostPerCM*math.Abs(m.TravelCM) + speedCost*effort*effort
	if a.Valve != b.Valve {
		cost += valveCost * (1 + valveSeconds/float64(m.Time))
	}
	if pf.Written(i - 1).GlissTo {
		if !brass.SameReach(a, b) {
			cost += brokenGlissCost
		}
		return cost
	}
	if pf.Written(i).SlurFrom && slurKind(pf, i, a, b) == TonguedSlur {
		cost += againstGrainCost
		if a.Partial == b.Partial {
			cost += smearCost
		}
	}
	return cost
}

// move is the slide's motion into note i. In a glissando it has the whole of the
// note before.
func move(pf *score.Performance, i int, a, b brass.Way) Move {
	prev, next := pf.Notes[i-1], pf.Notes[i]
	value := prev.End - prev.Start
	written := pf.Written(i - 1)
	silent := next.Start - prev.Start - value*score.Seconds(written.SoundedShare())
	t := max(silent, 0) + min(moveOverlapShare*value, moveOverlapSeconds)
	if written.GlissTo {
		t = next.Start - prev.Start
	}
	m := Move{TravelCM: b.ExtensionCM - a.ExtensionCM, Time: max(t, minMoveSeconds)}
	m.PeakSpeed = peakOverMean * math.Abs(m.TravelCM) / float64(m.Time)
	return m
}

func argmin(xs []float64) int {
	best := 0
	for i, x := range xs {
		if x < xs[best] {
			best = i
		}
	}
	return best
}

func sortOthers(os []Other) {
	slices.SortStableFunc(os, func(a, b Other) int { return cmp.Compare(a.ExtraCost, b.ExtraCost) })
}
