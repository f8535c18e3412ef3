package pitch

import "math"

const (
	unvoicedShare = 0.01  // weight of an unvoiced frame against pYIN's (measured: raises recall on synthesised takes)
	switchProb    = 0.01  // from voiced to unvoiced and back, a frame (Mauch and Dixon 2014)
	leastProb     = 1e-6  // floor of every observation, so that no frame forbids a path
	centCost      = 0.015 // natural-log units a cent of movement (estimate)
	leapCost      = 5.0   // bound of that cost: a new note (estimate)
)

// step is one frame of the path: what each state costs and where it came from.
// State 0 is unvoiced, state k the k-th candidate.
type step struct {
	cents []float64 // of the candidates
	hz    []float64
	from  []int32
}

// path is Viterbi's search for the likeliest sequence of candidates.
type path struct {
	steps []step
	cost  []float64 // of the states of the last step
	next  []float64
}

func newPath(frames int) *path { return &path{steps: make([]step, 0, frames)} }

func (p *path) add(cands []candidate) {
	s := step{from: make([]int32, len(cands)+1)}
	if len(cands) > 0 {
		s.cents, s.hz = make([]float64, len(cands)), make([]float64, len(cands))
	}
	left := 1.0
	for k, c := range cands {
		s.cents[k], s.hz[k] = Cents(c.hz), c.hz
		left -= c.weight
	}
	p.next = append(p.next[:0], make([]float64, len(cands)+1)...)
	for k := range p.next {
		observed := left * unvoicedShare
		if k > 0 {
			observed = cands[k-1].weight
		}
		move, from := p.cheapest(&s, k)
		p.next[k], s.from[k] = move-math.Log(max(observed, leastProb)), int32(from)
	}
	p.cost, p.next = p.next, p.cost
	p.steps = append(p.steps, s)
}

// cheapest finds the best way into state k of s.
func (p *path) cheapest(s *step, k int) (cost float64, from int) {
	if len(p.steps) == 0 {
		return 0, 0
	}
	last := &p.steps[len(p.steps)-1]
	stay, change := -math.Log(1-switchProb), -math.Log(switchProb)
	cost = math.Inf(1)
	for j, c := range p.cost {
		switch {
		case (j == 0) != (k == 0):
			c += change
		case k == 0:
			c += stay
		default:
			c += stay + min(centCost*math.Abs(s.cents[k-1]-last.cents[j-1]), leapCost)
		}
		if c < cost {
			cost, from = c, j
		}
	}
	return cost, from
}

// best traces the cheapest path back: the pitch of each frame in Hz, 0 for
// unvoiced.
func (p *path) best() []float64 {
	out := make([]float64, len(p.steps))
	k := 0
	for j, c := range p.cost {
		if c < p.cost[k] {
			k = j
		}
	}
	for i := len(p.steps) - 1; i >= 0; i-- {
		if k > 0 {
			out[i] = p.steps[i].hz[k-1]
		}
		k = int(p.steps[i].from[k])
	}
	return out
}
