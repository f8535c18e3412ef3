package desk

import (
	"math"

	"waterkey/score"
	"waterkey/sound"
)

// A ladder (estimates; common practice is to rise by a notch or two of a
// metronome).
const (
	mostRuns     = 12
	rung         = 1.12               // the next tempo over the one before, at most
	slowestShare = 0.2                // of the fastest tempo
	pause        = score.Seconds(1.5) // between two runs
)

// performances lists what q has played, slow to fast: one performance, or those of
// a ladder.
func (p *Prepared) performances(q Playing) ([]*score.Performance, error) {
	if q.SlowFrom == 0 && q.SlowShare == 0 {
		switch {
		case q.SlowTo != 0:
			return nil, unplayable("slow-to", "%g: a ladder needs a slow tempo to begin at; add slow-from", q.SlowTo)
		case q.Runs != 0:
			return nil, unplayable("runs", "%d: a ladder needs a slow tempo to begin at; add slow-from", q.Runs)
		}
		return []*score.Performance{p.Played}, nil
	}
	tempos, err := rungs(q, p.openingBPM())
	if err != nil {
		return nil, err
	}
	var out []*score.Performance
	for _, bpm := range tempos {
		pf, err := p.Part.Perform(score.Tempo{BPM: bpm})
		if err != nil {
			return nil, unplayable("slow-from", "%g: %v", q.SlowFrom, err)
		}
		out = append(out, pf)
	}
	return out, nil
}

// rungs lists the tempos of a ladder, each the same share faster than the last.
func rungs(q Playing, goal float64) ([]float64, error) {
	if q.SlowTo != 0 {
		goal = q.SlowTo
	}
	if q.SlowShare != 0 {
		q.SlowFrom = q.SlowShare * goal
	}
	if !(q.SlowFrom >= slowestShare*goal && q.SlowFrom < goal) {
		return nil, unplayable("slow-from", "%.4g: want felt beats a minute from %.0f to below the goal of %.4g, such as %.0f", q.SlowFrom, math.Ceil(slowestShare*goal), goal, math.Round(0.7*goal))
	}
	n := q.Runs
	if n == 0 {
		n = min(1+int(math.Ceil(math.Log(goal/q.SlowFrom)/math.Log(rung))), mostRuns)
	}
	if n < 2 || n > mostRuns {
		return nil, unplayable("runs", "%d: want 2 to %d, such as 4", n, mostRuns)
	}
	var out []float64
	for k := range n {
		out = append(out, q.SlowFrom*math.Pow(goal/q.SlowFrom, float64(k)/float64(n-1)))
	}
	out[n-1] = goal
	return out, nil
}

// runs gives every performance its options.
func (p *Prepared) runs(q Playing) ([]sound.Run, error) {
	o, err := p.optionsOf(q)
	if err != nil {
		return nil, err
	}
	if o.Bars, err = p.passageOf(q); err != nil {
		return nil, err
	}
	performances, err := p.performances(q)
	if err != nil {
		return nil, err
	}
	var out []sound.Run
	for k, pf := range performances {
		if k > 0 {
			o.LeadIn = 0
		}
		own := p.asPlayed(pf, o)
		if q.Plain {
			own.Timbre = nil
		}
		out = append(out, sound.Run{Performance: pf, Options: own})
	}
	return out, nil
}
