package breath

import (
	"fmt"

	"waterkey/score"
)

// Slowest is the slowest tempo at which a phrase lasts on one full breath.
type Slowest struct {
	BPM     float64 // felt beats a minute, in the first bar of the phrase
	Opening float64 // the tempo to give to [score.Part.ReadThrough] for BPM: felt beats at the part's opening
	TooSlow float64 // the next tempo tried, at which the air does not last; 0 when even the slowest does
}

// Tempos tried, those that a performance takes, and how close the answer is, in felt
// beats a minute (estimate: finer than any metronome).
const (
	slowestBPM, fastestBPM = 5.0, 600.0
	tempoStep              = 0.1
)

// SlowestTempo finds the slowest tempo at which the notes first to last (indexes
// into the part read through, both included) last from full lungs to the reserve
// without a breath. A slower tempo never takes less air, so bisection finds the
// limit. The error says that the notes are not there, the lungs are wrong, or the
// phrase lasts at no tempo.
func SlowestTempo(part *score.Part, first, last int, o Options) (Slowest, error) {
	o, err := o.complete()
	if err != nil {
		return Slowest{}, err
	}
	if first < 0 || last < first || last >= len(part.Notes) {
		return Slowest{}, fmt.Errorf("notes %d to %d do not lie in the part's %d; indexes go from 0 to %d", first, last, len(part.Notes), len(part.Notes)-1)
	}
	q := phrase{part, first, last, o}
	if ok, err := q.lasts(fastestBPM); err != nil {
		return Slowest{}, err
	} else if !ok {
		return Slowest{}, fmt.Errorf("bars %s to %s last on one breath at no tempo up to %g; divide them", part.BarName(part.Notes[first].Bar),
			part.BarName(part.Notes[last].Bar), fastestBPM)
	}
	low, high := slowestBPM, fastestBPM
	if ok, err := q.lasts(low); err != nil || ok {
		return q.answer(low, 0), err
	}
	for high-low > tempoStep {
		middle := (low + high) / 2
		ok, err := q.lasts(middle)
		switch {
		case err != nil:
			return Slowest{}, err
		case ok:
			high = middle
		default:
			low = middle
		}
	}
	return q.answer(high, low), nil
}

// phrase is what SlowestTempo is asked about.
type phrase struct {
	part        *score.Part
	first, last int
	opts        Options
}

// lasts says whether one full breath carries the phrase at an opening tempo.
func (q phrase) lasts(bpm float64) (bool, error) {
	pf, err := q.part.ReadThrough(score.Tempo{BPM: bpm})
	if err != nil {
		return false, err
	}
	need := 0.0
	for _, a := range airs(pf, q.opts)[q.first : q.last+1] {
		need += a.liters
	}
	return need <= q.opts.Lungs.Usable(), nil
}

func (q phrase) answer(opening, tooSlow float64) Slowest {
	s := Slowest{Opening: opening, TooSlow: tooSlow}
	bar := q.part.Notes[q.first].Bar
	pf, err := q.part.ReadThrough(score.Tempo{BPM: opening})
	if err != nil {
		return s
	}
	unit, _ := q.part.Felt(bar)
	at := q.part.Bars[bar].Start
	factor := 60 / float64(pf.Seconds(at.Add(unit))-pf.Seconds(at)) / opening
	s.BPM, s.TooSlow = opening*factor, tooSlow*factor
	return s
}
