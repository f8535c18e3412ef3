package positions

import (
	"cmp"
	"math"
	"slices"

	"waterkey/brass"
	"waterkey/score"
)

// paths reads the k best paths out of the table.
func (s *search) paths() []*Path {
	if len(s.layers) == 0 {
		return []*Path{s.empty()}
	}
	var out []*Path
	var extra []float64
	for rank, place := range s.ends() {
		p := s.empty()
		p.Cost = s.cost[place]
		chosen := s.trace(place)
		if rank == 0 {
			extra = s.extras(p.Cost)
			s.fill(p, chosen, extra, nil)
		} else {
			s.fill(p, chosen, extra, out[0])
		}
		p.describe(0, len(p.Steps))
		out = append(out, p)
	}
	return out
}

func (s *search) empty() *Path {
	return &Path{Performance: s.pf, Instrument: s.in, Steps: make([]Step, len(s.pf.Notes)), opts: s.opts, usual: s.usual}
}

// trace follows a path back from its last place: the node of every note.
func (s *search) trace(place int) []int {
	chosen := make([]int, len(s.layers))
	for i := len(s.layers) - 1; i >= 0; i-- {
		chosen[i] = (place/s.k - s.at[i]) / int(directions)
		place = int(s.back[place])
	}
	return chosen
}

// extras is what the best path through each node costs beyond the best of all,
// nodes of all notes in a row: one for every three states.
func (s *search) extras(least float64) []float64 {
	out := filled(s.at[len(s.layers)]/int(directions), math.Inf(1))
	for st, after := range s.after {
		node := st / int(directions)
		out[node] = min(out[node], max(s.cost[st*s.k]+after-least, 0))
	}
	return out
}

// fill writes the chosen ways and the others into p. Where the choice is that of
// best, the list of others is shared with it.
func (s *search) fill(p *Path, chosen []int, extra []float64, best *Path) {
	room := make([]Other, 0, s.othersIn(best))
	for i, layer := range s.layers {
		at := s.first + i
		p.Steps[at].Way = layer[chosen[i]].way
		if best != nil && best.Steps[at].Way == p.Steps[at].Way {
			p.Steps[at].Others = best.Steps[at].Others
			continue
		}
		from := len(room)
		room = appendOthers(room, layer, chosen[i], extra[s.at[i]/int(directions):])
		p.Steps[at].Others = room[from:len(room):len(room)]
	}
}

// othersIn is how many others the best path has in all, to reserve room once;
// later paths have few of their own.
func (s *search) othersIn(best *Path) int {
	if best != nil {
		return 0
	}
	return s.at[len(s.layers)]/int(directions) - len(s.layers)
}

// appendOthers adds the nodes not chosen, cheapest first.
func appendOthers(os []Other, layer []node, chosen int, extra []float64) []Other {
	order := make([]int, 0, len(layer))
	for k := range layer {
		if k != chosen && !math.IsInf(extra[k], 1) {
			order = append(order, k)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(extra[a], extra[b]) })
	for _, k := range order {
		os = append(os, Other{*layer[k].way, extra[k]})
	}
	return os
}

// describe fills in moves and slurs into the notes first to last, last excluded.
func (p *Path) describe(first, last int) {
	for i := max(first, 1); i < last; i++ {
		a, b := p.Steps[i-1].Way, p.Steps[i].Way
		if a != nil && b != nil {
			p.Steps[i].Move, p.Steps[i].Slur = p.move(i, a, b)
		}
	}
}

// move is the motion into note i, and the kind of slur where one is printed.
func (p *Path) move(i int, a, b *brass.Way) (Move, Slur) {
	ap := newApproach(p.Performance, i)
	na, nb := node{way: a}, node{way: b}
	m := Move{TravelCM: b.ExtensionCM - a.ExtensionCM, Time: score.Seconds(ap.time), PeakSpeed: ap.speed(&na, &nb)}
	if !ap.slurred {
		return m, NoSlur
	}
	return m, slurKind(ap.rise, *a, *b)
}
