package pitch

import "math"

const (
	unvoicedShare = 0.01  // weight of the unvoiced state (estimate: the paper's grid of 480 pitches gives each of its unvoiced states 0.002)
	switchProb    = 0.01  // from voiced to unvoiced and back, a frame (Mauch and Dixon 2014)
	leastProb     = 1e-6  // floor of every observation, so that no frame forbids a path
	centCost      = 0.015 // natural-log units a cent of movement (estimate)
	leapCost      = 5.0   // bound of that cost: a new note (estimate)
)

var stayCost, changeCost = -math.Log(1 - switchProb), -math.Log(switchProb)

// spot is a candidate on the path, with where its best way comes from: state 0
// of the frame before is unvoiced, state k its k-th candidate.
type spot struct {
	candidate
	cents float64
	from  int
}

// path is Viterbi's search for the likeliest sequence of candidates.
type path struct {
	spots  []spot    // of all frames
	begins []int     // of each frame's spots
	silent []int     // where each frame's unvoiced state comes from
	cost   []float64 // of the states of the last frame
	next   []float64
}

// add goes one frame on.
func (p *path) add(cands []candidate) {
	last := p.last()
	p.begins = append(p.begins, len(p.spots))
	p.next = p.next[:0]
	cost, from := p.cheapest(0, nil, last)
	p.silent = append(p.silent, from)
	p.next = append(p.next, cost-math.Log(max((1-total(cands))*unvoicedShare, leastProb)))
	for _, c := range cands {
		s := spot{candidate: c, cents: Cents(c.hz)}
		cost, s.from = p.cheapest(s.cents, &s, last)
		p.spots = append(p.spots, s)
		p.next = append(p.next, cost-math.Log(max(c.weight, leastProb)))
	}
	p.cost, p.next = p.next, p.cost
}

// last are the spots of the last frame.
func (p *path) last() []spot {
	if len(p.begins) == 0 {
		return nil
	}
	return p.spots[p.begins[len(p.begins)-1]:]
}

// cheapest finds the best way to a pitch, or with no spot to unvoiced.
func (p *path) cheapest(cents float64, to *spot, last []spot) (cost float64, from int) {
	if len(p.cost) == 0 {
		return 0, 0
	}
	toSilence, toSound := stayCost, changeCost
	if to != nil {
		toSilence, toSound = changeCost, stayCost
	}
	cost = p.cost[0] + toSilence
	for j := range last {
		c := p.cost[j+1] + toSound
		if to != nil {
			c += min(centCost*math.Abs(cents-last[j].cents), leapCost)
		}
		if c < cost {
			cost, from = c, j+1
		}
	}
	return cost, from
}

// best traces the cheapest path back: the spot of each frame, nil for unvoiced.
func (p *path) best() []*spot {
	out := make([]*spot, len(p.begins))
	k := 0
	for j, c := range p.cost {
		if c < p.cost[k] {
			k = j
		}
	}
	for i := len(out) - 1; i >= 0; i-- {
		if k == 0 {
			k = p.silent[i]
			continue
		}
		out[i] = &p.spots[p.begins[i]+k-1]
		k = out[i].from
	}
	return out
}

// write sets the pitches of the frames on the best path, each carried from the
// middle of its sound to the frame's time along the local slope.
func (p *path) write(frames []Frame) {
	best := p.best()
	for i, s := range best {
		if s != nil {
			slope := slopeAt(best, i) // cents a second
			frames[i].Hz = s.hz * math.Exp2(-slope*s.late/1200)
			frames[i].Uncertainty = s.sd
		}
	}
}

// slopeAt is the slope of the path at frame i in cents a second, 0 next to a
// leap or silence.
func slopeAt(best []*spot, i int) float64 {
	const leap = 60.0 // cents in a frame: faster than any slide
	if i == 0 || i == len(best)-1 || best[i-1] == nil || best[i+1] == nil {
		return 0
	}
	rise, fall := best[i+1].cents-best[i].cents, best[i].cents-best[i-1].cents
	if math.Abs(rise) > leap || math.Abs(fall) > leap {
		return 0
	}
	return (rise + fall) / (2 * Hop)
}
