// Package positions chooses a way to sound every note of a part: which
// position, which partial, valve or not.
//
// The choice is an exact shortest path (Bellman, 1957; the method that Sayegh,
// Computer Music Journal 13, 1989, applied to string fingering) through a graph
// with one layer a note and one node a way. A node costs what the way itself
// costs: an alternate where a first choice is there, a stretch, a note the slide
// cannot bring into tune. An edge costs what the move costs: the effort of the
// slide against the time there is, valve changes, a slur against the grain. No
// published solver for trombone positions is known to us; the terms follow what
// teachers write about alternates and each weight says where it comes from.
//
// Costs are in units of effort: 1 is a move at twice the comfortable speed, or
// an alternate on a long note that nothing else asks for.
package positions

import (
	"math"

	"waterkey/brass"
	"waterkey/score"
)

// Path is a choice for every note of a part.
type Path struct {
	Performance *score.Performance
	Instrument  *brass.Instrument
	Steps       []Step // one for each played note
	Cost        float64
}

// Step is the choice for one note.
type Step struct {
	Way    *brass.Way // nil when the note is out of reach
	Others []Other    // every other way, cheapest first
	Move   Move       // from the note before
	Slur   Slur       // kind of the slur from the note before
}

// Other is a way not chosen.
type Other struct {
	Way       brass.Way
	ExtraCost float64 // what the best path through it costs beyond the chosen path; at least 0
}

// Move is what the slide does between the note before and this one.
type Move struct {
	TravelCM  float64       // signed: out is positive
	Time      score.Seconds // what there is for it
	PeakSpeed float64       // cm/s, of a minimum-jerk motion
}

// node is a way with its own cost.
type node struct {
	way  brass.Way
	cost float64
}

// Solve chooses the path of least cost. A note out of reach gets no way and
// splits the path: what comes after starts afresh.
func Solve(pf *score.Performance, in *brass.Instrument) *Path {
	p := &Path{Performance: pf, Instrument: in, Steps: make([]Step, len(pf.Notes))}
	layers := make([][]node, len(pf.Notes))
	known := map[score.Pitch][]brass.Way{}
	for i := range pf.Notes {
		pitch := pf.Written(i).Pitch
		ways, ok := known[pitch]
		if !ok {
			ways = in.Ways(pitch)
			known[pitch] = ways
		}
		for k, w := range ways {
			layers[i] = append(layers[i], node{w, nodeCost(pf, i, w, k == 0)})
		}
	}
	for from := 0; from < len(layers); {
		if len(layers[from]) == 0 {
			from++
			continue
		}
		to := from
		for to < len(layers) && len(layers[to]) > 0 {
			to++
		}
		p.solveRun(layers[from:to], from)
		from = to
	}
	p.describe()
	return p
}

// solveRun solves the notes from index first on, all within reach. It keeps the
// least cost to each node from both ends, so that the best path through any node
// is known: its excess over the best of all is what that way would cost extra.
func (p *Path) solveRun(layers [][]node, first int) {
	n := len(layers)
	ahead := make([][]float64, n) // least cost from the start through the node
	after := make([][]float64, n) // least cost from the node's leaving to the end
	back := make([][]int, n)
	for i, layer := range layers {
		ahead[i], after[i], back[i] = make([]float64, len(layer)), make([]float64, len(layer)), make([]int, len(layer))
		for k, nd := range layer {
			best := 0.0
			if i > 0 {
				best = math.Inf(1)
				for j, prev := range layers[i-1] {
					if c := ahead[i-1][j] + edgeCost(p.Performance, first+i, prev.way, nd.way); c < best {
						best, back[i][k] = c, j
					}
				}
			}
			ahead[i][k] = best + nd.cost
		}
	}
	for i := n - 2; i >= 0; i-- {
		for k, nd := range layers[i] {
			best := math.Inf(1)
			for j, next := range layers[i+1] {
				best = min(best, edgeCost(p.Performance, first+i+1, nd.way, next.way)+next.cost+after[i+1][j])
			}
			after[i][k] = best
		}
	}
	k := argmin(ahead[n-1])
	total := ahead[n-1][k]
	p.Cost += total
	for i := n - 1; i >= 0; i-- {
		p.Steps[first+i] = step(layers[i], k, func(j int) float64 { return ahead[i][j] + after[i][j] - total })
		k = back[i][k]
	}
}

// step fills in the chosen way and the others with their extra cost.
func step(layer []node, chosen int, extra func(int) float64) Step {
	way := layer[chosen].way
	s := Step{Way: &way}
	for j, nd := range layer {
		if j != chosen {
			s.Others = append(s.Others, Other{nd.way, max(extra(j), 0)})
		}
	}
	sortOthers(s.Others)
	return s
}

// describe fills in moves and slurs of the chosen path.
func (p *Path) describe() {
	for i := 1; i < len(p.Steps); i++ {
		a, b := p.Steps[i-1].Way, p.Steps[i].Way
		if a == nil || b == nil {
			continue
		}
		p.Steps[i].Move = move(p.Performance, i, *a, *b)
		if p.Performance.Written(i).SlurFrom {
			p.Steps[i].Slur = slurKind(p.Performance, i, *a, *b)
		}
	}
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
