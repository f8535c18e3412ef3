// Package positions chooses a way to sound every note of a part: which
// position, which partial, valve or not; on valve brass, which fingering.
//
// The choice is an exact shortest path (Bellman, 1957; the method that Sayegh,
// Computer Music Journal 13, 1989, applied to string fingering) through a graph
// with one layer a note. Its states are a way and the direction in which the
// slide last went, so that turning the slide around can cost something: teachers
// keep it going one way where they can (D. Clason, Trombone-L, 2009). A way costs
// what it is by itself: an alternate where a first choice is there, a stretch, a
// note the slide cannot bring into tune. A move costs the effort of the slide
// against the time there is, valve changes, a slur against the grain. No
// published solver for trombone positions is known to us; the terms follow what
// teachers write, and [Rules] says of each what it is and where it comes from.
//
// Costs are in units of effort: a move at comfortable speed costs a half, one at
// twice that speed 2; an alternate on a note of half a second that nothing else
// asks for costs about 1.
package positions

import (
	"math"

	"waterkey/brass"
	"waterkey/score"
)

// Path is a choice for every note of a part, made by [Solve] and its like.
type Path struct {
	Performance *score.Performance
	Instrument  *brass.Instrument
	Steps       []Step // one for each played note
	Cost        float64

	opts  Options
	usual map[score.Pitch]*brass.Way // first choices by pitch
}

// Step is the choice for one note.
type Step struct {
	Way    *brass.Way // nil when the note is out of reach
	Others []Other    // every other way that the pins leave, cheapest first
	Move   Move       // from the note before
	Slur   Slur       // kind of the slur from the note before
}

// Other is a way not chosen.
type Other struct {
	Way       brass.Way
	ExtraCost float64 // what the best path through it costs beyond the best of all; at least 0
}

// Move is what the slide does between the note before and this one.
type Move struct {
	TravelCM  float64       // signed: out is positive
	Time      score.Seconds // what there is for it
	PeakSpeed float64       // cm/s, of a minimum-jerk motion
}

// Effort is the peak speed of the move against a comfortable one: 1 is
// comfortable, 2 is twice as fast.
func (m Move) Effort() float64 { return m.PeakSpeed / comfortableSpeed }

// Options bend the choice. The zero Options leave it free.
type Options struct {
	Pins []Pin
	// ReachCM is how far out the arm goes without stretching, in cm from the
	// closed slide; 0 is that of an adult.
	ReachCM float64

	limit float64 // the highest Effort of a move; 0 is no limit
}

func (o Options) reach() float64 {
	if o.ReachCM > 0 {
		return o.ReachCM
	}
	return AdultReachCM
}

func (o Options) speedLimit() float64 {
	if o.limit > 0 {
		return o.limit * comfortableSpeed
	}
	return math.Inf(1)
}

// Solve chooses the path of least cost. A note out of reach gets no way and
// splits the path: what comes after starts afresh.
func Solve(pf *score.Performance, in *brass.Instrument) *Path {
	return newGraph(pf, in, Options{}, 0, len(pf.Notes)).solve(1)[0]
}

// SolveWith is Solve under options. The error names a pin that cannot be held
// and what would work.
func SolveWith(pf *score.Performance, in *brass.Instrument, o Options) (*Path, error) {
	ps, err := SolveK(pf, in, o, 1)
	if err != nil {
		return nil, err
	}
	return ps[0], nil
}

// SolveK returns the k best paths, costs never decreasing, each differing from
// every other in at least one way; fewer when there are no more. The first is
// that of [SolveWith]. The others of a step always count from the best path of
// all. The error names a pin that cannot be held, or a k below 1.
func SolveK(pf *score.Performance, in *brass.Instrument, o Options, k int) ([]*Path, error) {
	if err := checkCount(k); err != nil {
		return nil, err
	}
	g := newGraph(pf, in, o, 0, len(pf.Notes))
	if err := g.pin(o.Pins); err != nil {
		return nil, err
	}
	return g.solve(k), nil
}

// TravelCM is the whole way of the slide.
func (p *Path) TravelCM() float64 {
	sum := 0.0
	for _, s := range p.Steps {
		sum += math.Abs(s.Move.TravelCM)
	}
	return sum
}

// PeakSpeed is the fastest the slide has to go, in cm/s.
func (p *Path) PeakSpeed() float64 {
	top := 0.0
	for _, s := range p.Steps {
		top = max(top, s.Move.PeakSpeed)
	}
	return top
}
