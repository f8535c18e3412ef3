package breath

// Rule documents one term of the cost.
type Rule struct {
	Name   string
	Says   string // what it prices
	Amount string // in the unit of [Rules]
	Origin string // where kind and amount come from
}

// The terms of the cost, in the order of [Rules].
const (
	breathTerm = iota
	lineTerm
	takenTerm
	slurTerm
	tupletTerm
	leadingTerm
	upbeatTerm
	soonTerm
	heldTerm
	passedTerm
	lowTerm
	lackTerm
	allTerms
)

var rules = [allTerms]Rule{
	breathTerm: {"breath", "any breath outside a long rest", "0.15", "estimate"},
	lineTerm: {"line", "breaking the line where no phrase ends; less by what speaks for an end",
		"1, down to 0", "boundaries: Cambouropoulos, ICMC 2001; signs: common practice; amounts: estimate"},
	takenTerm: {"taken", "the share of the note before that the breath takes", "2 for the whole note, in proportion; at most half of it is taken",
		"common practice (time comes from the note before, never from the one after); amount: estimate"},
	slurTerm:    {"slur", "breaking a slur", "200: only where nothing else lasts", "common practice; amount: stands for never"},
	tupletTerm:  {"tuplet", "a breath inside a tuplet", "100: only where nothing else lasts", "common practice; amount: stands for never"},
	leadingTerm: {"leading tone", "parting a leading tone from its resolution", "100: only where nothing else lasts", "common practice; amount: stands for never"},
	upbeatTerm:  {"up-beat", "parting an up-beat from its downbeat", "100: only where nothing else lasts", "common practice; amount: stands for never"},
	soonTerm: {"soon", "breathing again soon", "1.5 at once, evenly to 0 after 3 s",
		"kind: breath on top of full lungs is stale (common practice); amount: estimate"},
	heldTerm: {"held", "holding one breath long, whatever air is left", "0.2 for each second beyond 12 s",
		"kind: horn players' shortness of breath comes from carbon dioxide (pilot study with a flow sensor in the bell); amount: estimate"},
	passedTerm: {"passed", "going past a rest with room for a full breath", "0.4", "common practice; amount: estimate"},
	lowTerm: {"low", "coming below the comfortable air before the next breath", "2 at the reserve, with the square of the way there",
		"ends of breath groups: Fuks and Sundberg, Med Probl Perform Art 14, 1999; amount: estimate"},
	lackTerm: {"lacking", "coming below the reserve", "1,000 for each milliliter: only where no breath helps", "rule: the air must last"},
}

// Rules lists what makes up the cost of the breaths. The unit is a breath in the
// middle of an unbroken line that takes nothing from either note.
func Rules() []Rule { return append([]Rule(nil), rules[:]...) }

// Term is one part of a cost.
type Term struct {
	Name string // that of a [Rule]
	Cost float64
}

// named lists the terms that are not 0.
func named(t [allTerms]float64) []Term {
	var out []Term
	for k, c := range t {
		if c != 0 {
			out = append(out, Term{rules[k].Name, c})
		}
	}
	return out
}

func sum(t [allTerms]float64) float64 {
	s := 0.0
	for _, c := range t {
		s += c
	}
	return s
}
