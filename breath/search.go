package breath

import (
	"cmp"
	"slices"
)

// label is one way to have come as far as a note.
type label struct {
	air  float64 // liters in the lungs
	cost float64 // of what is behind the last breath, and of places passed since
	now  float64 // cost, the strain of the air there is, and how long it is held
	last float64 // the moment the last breath ended, in seconds; any older one than counts as soon
	held float64 // that moment as it is
	node int32   // of the last breath; -1 for none
	at   int32   // index of the choice just made; -1 for passing by
}

// node is one breath on the way of a label.
type node struct {
	before int32 // the breath before; -1 for none
	after  int32 // note
	choice int32
}

// search is the dynamic program over one stretch, whose first note is played on
// full lungs.
type search struct {
	*ground
	labels, next []label
	nodes        []node
}

// pick is a breath of the solution.
type pick struct{ after, choice int }

// stretch finds the cheapest breaths for the notes first to last.
func (s *search) stretch(first, last int) []pick {
	s.nodes = s.nodes[:0]
	start := float64(s.pf.Notes[first].Start)
	s.labels = append(s.labels[:0], label{air: s.opts.Lungs.FullLiters(), last: start, held: start, node: -1})
	for i := first; i <= last; i++ {
		for k := range s.labels {
			s.labels[k].air -= s.airs[i].liters
		}
		if i == last {
			break
		}
		s.next = s.next[:0]
		for _, l := range s.labels {
			s.extend(i, l)
		}
		s.prune(i)
	}
	total := func(l label) float64 { return l.cost + s.strain(l.air) + s.hold(s.soundsUntil(last)-l.held) }
	best := slices.MinFunc(s.labels, func(a, b label) int { return cmp.Compare(total(a), total(b)) })
	return s.trace(best.node)
}

// extend adds what a label can become at the place after note i.
func (s *search) extend(i int, l label) {
	p, next := &s.places[i], float64(s.pf.Notes[i+1].Start)
	if !p.forced || len(p.breaths) == 0 {
		pass := l
		pass.cost += p.pass
		pass.now, pass.at = pass.cost+s.strain(pass.air)+s.hold(next-l.held), -1
		s.next = append(s.next, pass)
	}
	for k := range p.breaths {
		c := &p.breaths[k]
		before := l.air + c.taken*s.airs[i].flow
		b := label{last: next, held: next, node: l.node, at: int32(k)}
		b.air = s.fill(before, c)
		b.cost = l.cost + c.cost + s.soon(i, c, l.last) + s.strain(before) + s.hold(next-c.room-l.held)
		b.now = b.cost
		s.next = append(s.next, b)
	}
}

// fill is the air after a breath. Who ran dry begins again from the reserve.
func (g *ground) fill(before float64, c *choice) float64 {
	l := g.opts.Lungs
	return min(l.FullLiters(), max(before, l.ReserveLiters())+c.intake)
}

// soon prices a breath after note i that follows another which ended at last.
func (g *ground) soon(i int, c *choice, last float64) float64 {
	since := float64(g.pf.Notes[i+1].Start) - c.room - last
	return g.opts.weights.soon * min(max(1-since/soonSeconds, 0), 1)
}

// hold prices how long one breath was held, in seconds.
func (g *ground) hold(seconds float64) float64 {
	return g.opts.weights.held * max(seconds-easilyHeld, 0)
}

// soundsUntil is when note i stops sounding, in seconds.
func (g *ground) soundsUntil(i int) float64 { return float64(g.pf.Notes[i].Start) + g.airs[i].sounds }

// strain prices how low the air has come since the last breath. It is convex and
// falls with the air, so that more air never becomes worse further on.
func (g *ground) strain(air float64) float64 {
	t := g.strains(air)
	return t[0] + t[1]
}

func (g *ground) strains(air float64) [2]float64 {
	l, w := g.opts.Lungs, &g.opts.weights
	comfortable, reserve := l.ComfortableLiters(), l.ReserveLiters()
	if air >= comfortable {
		return [2]float64{}
	}
	way := min((comfortable-air)/(comfortable-reserve), 1)
	return [2]float64{w.low * way * way, w.lack * max(reserve-air, 0)}
}

// prune keeps the labels that none other beats in air, cost and time since the last
// breath together. From here on equal breaths cost a label that is beaten in all
// no less than the one that beats it, so none that can win is lost. The time since
// the last breath counts both ways: the next may come soon after it, up to
// soonSeconds, and it is held; both grow ever faster, if at all.
func (s *search) prune(i int) {
	past := float64(s.pf.Notes[i+1].Start) - soonSeconds
	for k := range s.next {
		s.next[k].last = max(s.next[k].last, past)
	}
	slices.SortFunc(s.next, func(a, b label) int {
		if c := cmp.Compare(b.air, a.air); c != 0 {
			return c
		}
		if c := cmp.Compare(a.now, b.now); c != 0 {
			return c
		}
		return cmp.Or(cmp.Compare(a.last, b.last), cmp.Compare(b.held, a.held))
	})
	s.labels = s.labels[:0]
	for _, l := range s.next {
		if slices.ContainsFunc(s.labels, func(k label) bool { return k.now <= l.now && k.last <= l.last && k.held >= l.held }) {
			continue
		}
		if l.at >= 0 {
			s.nodes = append(s.nodes, node{l.node, int32(i), l.at})
			l.node = int32(len(s.nodes) - 1)
		}
		s.labels = append(s.labels, l)
	}
}

// trace lists the breaths that lead to a node, in order.
func (s *search) trace(n int32) []pick {
	var out []pick
	for ; n >= 0; n = s.nodes[n].before {
		out = append(out, pick{int(s.nodes[n].after), int(s.nodes[n].choice)})
	}
	slices.Reverse(out)
	return out
}
