package breath

import (
	"waterkey/score"
)

// place is what there is between note i and the next.
type place struct {
	gap      float64 // silence that costs nothing, in seconds
	rest     bool    // a rest stands here
	entry    bool    // a long one
	evidence float64 // that a phrase ends here, 0 to 1
	ban      [allTerms]float64
	breaths  []choice // ways to breathe here, none where it is impossible
	forced   bool     // printed, or asked for
	printed  bool
	pinned   bool
	pass     float64 // what going on without a breath costs
}

// choice is one way to breathe at a place.
type choice struct {
	kind   Kind
	room   float64 // seconds
	taken  float64 // of them from the note before
	intake float64 // liters at most
	terms  [allTerms]float64
	cost   float64
}

// ground is the part as the search sees it.
type ground struct {
	pf     *score.Performance
	opts   Options
	airs   []noteAir
	places []place // one less than notes
}

func newGround(pf *score.Performance, o Options) (*ground, error) {
	g := &ground{pf: pf, opts: o, airs: airs(pf, o)}
	if len(pf.Notes) == 0 {
		return g, nil
	}
	g.places = make([]place, len(pf.Notes)-1)
	for i := range g.places {
		g.survey(i)
	}
	g.judge()
	if err := g.pin(o.Pins); err != nil {
		return nil, err
	}
	for i := range g.places {
		g.offer(i)
	}
	return g, nil
}

// survey measures the silence after note i.
func (g *ground) survey(i int) {
	p, n, next, w := &g.places[i], g.pf.Notes[i], g.pf.Notes[i+1], g.pf.Written(i)
	p.gap = max(float64(next.Start-n.Start)-g.airs[i].sounds, 0)
	p.rest = next.At.Sub(n.At.Add(n.Duration)).Sign() > 0
	p.entry = p.rest && p.gap >= freeSeconds
	p.printed = w.Marks.Has(score.BreathAfter)
	p.forced = p.printed && !g.opts.IgnorePrinted && !g.closed(i)
}

// closed says whether no breath is possible after note i: in a glissando, or
// between a grace note and its note, where no rest parts them.
func (g *ground) closed(i int) bool {
	return !g.places[i].rest && (g.pf.Written(i).GlissTo || g.pf.Written(i).Grace)
}

// offer lists the ways to breathe after note i: catch and full, as far as the room
// goes without taking too much of the note; where it goes for neither, what there is.
func (g *ground) offer(i int) {
	p, l, w := &g.places[i], g.opts.Lungs, &g.opts.weights
	if p.rest && p.gap >= l.FullSeconds {
		p.pass = w.passed
	}
	switch {
	case p.pinned && !p.forced, g.closed(i): // kept free of a breath
	case p.entry:
		p.breaths = []choice{{kind: Full, room: p.gap, intake: l.Vital}}
	case p.gap >= l.FullSeconds:
		p.breaths = []choice{g.choice(i, p.gap)}
	default:
		sounds := g.airs[i].sounds
		most := min(mostTaken*sounds, sounds-leastLeft)
		if room := max(p.gap, l.CatchSeconds); room-p.gap <= most || room == p.gap {
			p.breaths = append(p.breaths, g.choice(i, room))
		}
		if l.FullSeconds-p.gap <= min(most, mostTakenFull*sounds) {
			p.breaths = append(p.breaths, g.choice(i, l.FullSeconds))
		}
		if sip := p.gap + max(most, 0); len(p.breaths) == 0 && sip >= leastRoom {
			p.breaths = []choice{g.choice(i, sip)}
		}
		if p.forced && len(p.breaths) == 0 {
			p.breaths = []choice{g.choice(i, p.gap+pinTaken*sounds)}
		}
	}
}

// choice prices a breath with so much room after note i, all but what depends on
// the other breaths.
func (g *ground) choice(i int, room float64) choice {
	p, l, w := &g.places[i], g.opts.Lungs, &g.opts.weights
	c := choice{kind: Catch, room: room, taken: room - p.gap, intake: l.Intake(room), terms: p.ban}
	if room >= l.FullSeconds {
		c.kind = Full
	}
	c.terms[breathTerm] = w.breath
	c.terms[lineTerm] = w.line * (1 - p.evidence)
	if c.taken > 0 {
		c.terms[takenTerm] = w.taken * c.taken / g.airs[i].sounds
	}
	c.cost = sum(c.terms)
	return c
}
