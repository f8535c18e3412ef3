package breath

import "waterkey/score"

// span is playing on one breath, notes first to last.
type span struct {
	first, last int
	start, end  float64 // liters before the first note and after the last
	shortened   float64 // seconds taken from the last
	terms       [allTerms]float64
}

// play goes through the part with given breaths and adds up what happens. It knows
// nothing of the search, so that the one checks the other.
func (g *ground) play(picks []pick) *Breathing {
	b := &Breathing{Performance: g.pf, Lungs: g.opts.Lungs, ground: g, picks: picks}
	if len(g.pf.Notes) == 0 {
		b.End = g.opts.Lungs.FullLiters()
		return b
	}
	s := span{start: g.opts.Lungs.FullLiters()}
	last := float64(g.pf.Notes[0].Start)
	for _, p := range picks {
		c := &g.places[p.after].breaths[p.choice]
		s.last, s.shortened = p.after, c.taken
		g.breatheOut(&s)
		s.terms[heldTerm] = g.hold(float64(g.pf.Notes[p.after+1].Start) - c.room - last)
		for k, t := range c.terms {
			s.terms[k] += t
		}
		if !g.places[p.after].entry {
			s.terms[soonTerm] = g.soon(p.after, c, last)
		}
		b.spans = append(b.spans, s)
		after := g.fill(s.end, c)
		b.Breaths = append(b.Breaths, g.breath(p, c, s.end, after))
		last = float64(g.pf.Notes[p.after+1].Start)
		s = span{first: p.after + 1, start: after}
	}
	s.last = len(g.pf.Notes) - 1
	g.breatheOut(&s)
	s.terms[heldTerm] = g.hold(g.soundsUntil(s.last) - last)
	b.spans = append(b.spans, s)
	b.End = s.end
	for _, s := range b.spans {
		b.Cost += sum(s.terms)
	}
	return b
}

// breatheOut plays the notes of a span.
func (g *ground) breatheOut(s *span) {
	s.end = s.start + s.shortened*g.airs[s.last].flow
	for i := s.first; i <= s.last; i++ {
		s.end -= g.airs[i].liters
		if i < s.last {
			s.terms[passedTerm] += g.places[i].pass
		}
	}
	low := g.strains(s.end)
	s.terms[lowTerm], s.terms[lackTerm] = low[0], low[1]
}

func (g *ground) breath(p pick, c *choice, before, after float64) Breath {
	pl := &g.places[p.after]
	return Breath{After: p.after, Kind: c.kind, Room: score.Seconds(c.room), Printed: pl.printed,
		Shortened: score.Seconds(c.taken), AirBefore: before, AirAfter: after, Entry: pl.entry, Pinned: pl.pinned}
}

// Terms lists what breath k costs: the breath itself and how low the air came
// before it. Terms of len(Breaths) are those of the end. The sum over all is Cost.
func (b *Breathing) Terms(k int) []Term { return named(b.spans[k].terms) }
