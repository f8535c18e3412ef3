package positions

// Rule documents one term of the cost.
type Rule struct {
	Name   string
	Says   string // what it prices
	Amount string // in units of effort, with the units it counts
	Origin string // where kind and amount come from
}

// The terms of the cost, in the order of [Rules]: first those of a way by
// itself, then those of the move into it.
const (
	alternateTerm = iota
	intonationTerm
	leanTerm
	stretchTerm
	partialTerm
	wayTerms // how many a way has

	speedTerm = iota - 1
	distanceTerm
	turnTerm
	valveTerm
	thumbTerm
	toneTerm
	slurTerm
	glissandoTerm
	fingersTerm
	awkwardTerm
	allTerms
)

const moveTerms = allTerms - wayTerms

// The names of the rules on what fingers do.
const (
	FingersRule = "fingers"
	AwkwardRule = "awkward fingering"
)

// rules are indexed by term.
var rules = [allTerms]Rule{
	alternateTerm: {"alternate", "a way other than the usual one, more on a long note",
		"0.2, and 1.7 for each second up to 2 s", "kind: D. Mathie, trombone.org, 2021; amount: estimate"},
	intonationTerm: {"intonation", "what is left out of tune after leaning",
		"0.01 for each cent", "estimate"},
	leanTerm: {"lean", "a raised or lowered position to find",
		"0.03 for each cm", "estimate"},
	stretchTerm: {"stretch", "the slide beyond a comfortable reach of 45 cm",
		"0.03 for each cm beyond", "estimate"},
	partialTerm: {"partial", "the seventh partial; those above the eighth; alternates from the seventh up; the fifth and up with the valve; alternates with two valves; alternates with the valve further out than the usual way",
		"0.1; 0.05 for each above the eighth; 0.3; 0.3; 0.3; 0.6", "common practice; amount: estimate"},
	speedTerm: {"speed", "the peak speed of the slide in the time there is, as a minimum-jerk motion",
		"0.5 at 300 cm/s, growing with the square up to 450 cm/s and steadily from there; 1.25 times that under a slur",
		"motion: Flash and Hogan, Journal of Neuroscience 5, 1985; amount: estimate"},
	distanceTerm: {"distance", "the way of the slide",
		"0.004 for each cm", "estimate"},
	turnTerm: {"turn", "turning the slide around without a stop between",
		"0.1 without time, half that with 0.15 s for the move", "kind: D. Clason, Trombone-L, 2009; amount: estimate"},
	valveTerm: {"valve", "the thumb pressing or letting go",
		"0.35 with time to spare, twice that with 0.12 s", "estimate"},
	thumbTerm: {"thumb and slide", "valve and slide moving at once",
		"0.1 with time to spare, twice that with 0.12 s", "estimate"},
	toneTerm: {"tone", "a change of color between neighboring long notes, to or from an alternate or the valve",
		"0.5 on one pitch, 0.1 under a slur; notes of at least 0.5 s", "kind: D. Mathie, trombone.org, 2021; amount: estimate"},
	slurTerm: {"slur", "a slur that needs the tongue because slide and pitch go the same way, or the partial stays",
		"0.05; 0.2 on one partial", "kind: trombone.org, Playing Legato on the Trombone; amount: estimate"},
	glissandoTerm: {"glissando", "a glissando that the two ways cannot connect",
		"1000", "rule: one partial, one valve state"},
	fingersTerm: {FingersRule, "fingers that move",
		"0.05 each with time to spare, twice that with 0.08 s", "from memory; amount: estimate"},
	awkwardTerm: {AwkwardRule, "one finger down while another comes up; the ring finger without the middle one",
		"0.1 and 0.05 with time to spare, twice that with 0.08 s", "from memory; amount: estimate"},
}

// Rules lists what makes up the cost of a path.
func Rules() []Rule { return append([]Rule(nil), rules[:]...) }

// Term is one part of what a note costs.
type Term struct {
	Name string // that of a [Rule]
	Cost float64
}

// Terms lists what note i costs: its way and the move into it, terms of 0 left
// out. The sum over all notes is the path's cost.
func (p *Path) Terms(i int) []Term {
	var out []Term
	for t, c := range p.termsAt(i) {
		if c != 0 {
			out = append(out, Term{rules[t].Name, c})
		}
	}
	return out
}

// termsAt is every term of note i.
func (p *Path) termsAt(i int) (t [allTerms]float64) {
	if i < 0 || i >= len(p.Steps) || p.Steps[i].Way == nil {
		return t
	}
	b := p.node(i)
	way := wayCosts(p.Performance, i, &b, p.opts.reach())
	copy(t[:], way[:])
	if i == 0 || p.Steps[i-1].Way == nil {
		return t
	}
	a, ap := p.node(i-1), newApproach(p.Performance, i)
	move := ap.costs(&a, &b)
	if i > 1 && p.Steps[i-2].Way != nil {
		before := p.node(i - 2)
		move[turnTerm-wayTerms] = ap.turning(heading(&before, &a), heading(&a, &b))
	}
	copy(t[wayTerms:], move[:])
	return t
}

// node is the chosen way of note i.
func (p *Path) node(i int) node {
	w := p.Steps[i].Way
	return newNode(w, p.usual[p.Performance.Written(i).Pitch])
}
