package positions

import (
	"fmt"

	"waterkey/brass"
	"waterkey/score"
)

// Comfort is the fastest tempo at which a passage stays under an effort, with
// what proves it.
type Comfort struct {
	BPM     float64 // felt beats a minute, in the first bar of the passage
	TooFast float64 // the next tempo tried, at which no choice of ways will do; 0 when the fastest tempo still does
	Opening float64 // the tempo to give to [score.Part.ReadThrough] for BPM: felt beats at the part's opening
	Path    *Path   // the passage at BPM; notes outside it have no way
	Hardest int     // the note that the hardest move of Path leads to, -1 when the slide never moves
}

const (
	// Tempos tried, in felt beats a minute at the opening: those that a
	// performance takes.
	slowestBPM, fastestBPM = 5.0, 600.0
	// tempoStep is how close the tempo is found, finer than any metronome
	// (estimate).
	tempoStep = 0.1
)

// ComfortTempo finds the fastest tempo at which the slide can play the bars from
// to to (indexes into the part's bars, both included) with no move of more than
// the given [Move.Effort]: 1 is comfortable, 2 a trap. The move to the first note
// after them counts. Ways are chosen anew at
// each tempo, the cheapest path among those that stay below; the pins of the
// options, by index in the part read through, hold ways. A faster tempo never
// leaves more time for a move, so bisection finds the limit. The error says that
// the bars are not there, the horn has no slide, a pin cannot be held, or no
// tempo is slow enough.
func ComfortTempo(part *score.Part, from, to int, in *brass.Instrument, effort float64, o Options) (Comfort, error) {
	q := question{part, from, to, in, effort, o}
	if err := q.check(); err != nil {
		return Comfort{}, err
	}
	path, err := q.at(slowestBPM)
	if err != nil {
		return Comfort{}, err
	}
	if path == nil {
		return Comfort{}, fmt.Errorf("no tempo down to %g keeps every move within an effort of %g; allow more, such as 1", slowestBPM, effort)
	}
	low, high := slowestBPM, fastestBPM
	if fast, err := q.at(high); err != nil {
		return Comfort{}, err
	} else if fast != nil {
		return q.answer(high, 0, fast), nil
	}
	for high-low > tempoStep {
		middle := (low + high) / 2
		p, err := q.at(middle)
		switch {
		case err != nil:
			return Comfort{}, err
		case p == nil:
			high = middle
		default:
			low, path = middle, p
		}
	}
	return q.answer(low, high, path), nil
}

// question is what ComfortTempo is asked.
type question struct {
	part     *score.Part
	from, to int
	in       *brass.Instrument
	effort   float64
	opts     Options
}

func (q question) check() error {
	if err := score.CheckBars(len(q.part.Bars), q.from, q.to); err != nil {
		return err
	}
	if q.effort <= 0 {
		return fmt.Errorf("effort %g leaves no room for any move; 1 is comfortable", q.effort)
	}
	if q.in.SlideMaxCM <= 0 {
		return fmt.Errorf("there is no slide to find a comfortable tempo for: the %s has valves alone", q.in.Title)
	}
	return nil
}

// at is the cheapest path within the effort at an opening tempo, nil when there
// is none.
func (q question) at(bpm float64) (*Path, error) {
	pf, err := q.part.ReadThrough(score.Tempo{BPM: bpm})
	if err != nil {
		return nil, err
	}
	first, last := pf.NotesIn(q.from, q.to)
	last = min(last+1, len(pf.Notes))
	o := q.opts
	o.limit = q.effort
	g := newGraph(pf, q.in, o, first, last)
	if err := g.pin(o.Pins); err != nil {
		return nil, err
	}
	paths := g.solve(1)
	if len(paths) == 0 {
		return nil, nil
	}
	return paths[0], nil
}

func (q question) answer(opening, tooFast float64, p *Path) Comfort {
	c := Comfort{Opening: opening, Path: p, Hardest: -1}
	factor := q.feltTempo(p.Performance) / opening
	c.BPM, c.TooFast = opening*factor, tooFast*factor
	top := 0.0
	for i, s := range p.Steps {
		if e := s.Move.Effort(); e > top {
			top, c.Hardest = e, i
		}
	}
	return c
}

// feltTempo is the pace of the passage's first felt beat.
func (q question) feltTempo(pf *score.Performance) float64 {
	unit, _ := q.part.Felt(q.from)
	at := pf.Bars[q.from].At
	return 60 / float64(pf.Seconds(at.Add(unit))-pf.Seconds(at))
}
