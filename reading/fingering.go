package reading

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"waterkey/finding"
	"waterkey/positions"
)

const (
	// worthFingers is how many finger moves alternate fingerings must spare to be
	// worth a word (estimate).
	worthFingers = 2
	// muchFingers is a saving that decides whether a passage works (estimate).
	muchFingers = 12.0
)

// alternateFingering says where fingerings other than the usual ones pay, and what
// they spare.
func alternateFingering(p *Page) []finding.Finding {
	notes := p.where(func(i int) bool {
		w := p.Path.Steps[i].Way
		return w != nil && *w != p.firstChoice(i)
	})
	var places []place
	total := 0
	for _, r := range p.runs(notes, 0) {
		spared := p.fingersSpared(r)
		if spared < worthFingers {
			continue
		}
		total += spared
		what := p.instead(r.notes)
		places = append(places, place{r.from, r.to,
			fmt.Sprintf("Alternate fingerings pay in %s: %s; the usual ones would take %s more.", p.barText(r.from, r.to), what, plural(spared, "finger move")),
			fmt.Sprintf("%s (%s, %s)", p.barText(r.from, r.to), what, plural(spared, "finger move"))})
	}
	return p.each("alternate", float64(total)/muchFingers, places, "Alternate fingerings pay, with the finger moves they spare, in",
		"Match tone and pitch of the alternates to the usual fingerings in slow practice, then trust them at tempo.")
}

// fingersSpared is how many finger moves fewer a run takes than with first choices,
// the moves into it and out of it included.
func (p *Page) fingersSpared(r run) int {
	inRun := map[int]bool{}
	for _, i := range r.notes {
		inRun[i] = true
	}
	spared := 0
	for i := max(r.notes[0], 1); i <= min(r.notes[len(r.notes)-1]+1, p.notes()-1); i++ {
		a, b := p.Path.Steps[i-1].Way, p.Path.Steps[i].Way
		if a == nil || b == nil {
			continue
		}
		chosen, _ := valvesMoved(*a, *b)
		from, to := *a, *b
		if inRun[i-1] {
			from = p.firstChoice(i - 1)
		}
		if inRun[i] {
			to = p.firstChoice(i)
		}
		usual, _ := valvesMoved(from, to)
		spared += usual - chosen
	}
	return spared
}

// instead lists each note with its fingering and the usual one: "G4 with 13
// instead of open".
func (p *Page) instead(notes []int) string {
	var parts []string
	for _, i := range notes {
		w := *p.Path.Steps[i].Way
		if s := fmt.Sprintf("%s %s instead of %s", p.name(i), positions.How(w), bare(p.firstChoice(i))); !slices.Contains(parts, s) {
			parts = append(parts, s)
		}
	}
	if n := len(parts) - maxPlaces; n > 1 {
		parts = append(parts[:maxPlaces], fmt.Sprintf("%d more notes", n))
	}
	return joinAnd(parts)
}

const (
	// quickChange is the longest note after which a change of fingers is quick, in
	// seconds: an eighth note at 120 (estimate).
	quickChange = 0.25
	// fewChanges is how many changes of fingers are named (estimate: what one drills
	// in a session).
	fewChanges = 3
	// hardChange is a cost of one change, in units of effort, that makes it severe
	// (estimate: three fingers crossing in a sixteenth note at 120).
	hardChange = 0.8
)

// fingerChange is a quick change of fingers by name, with all its places.
type fingerChange struct {
	text  string
	cost  float64
	notes []int // that it leads to
}

// awkwardFingers names the hardest quick changes in which one finger goes down while
// another comes up, or the ring finger moves without the middle one.
func awkwardFingers(p *Page) []finding.Finding {
	all := p.changes()
	if len(all) == 0 {
		return nil
	}
	all = all[:min(len(all), fewChanges)]
	var parts []string
	var notes []int
	for _, c := range all {
		parts = append(parts, fmt.Sprintf("%s in %s", c.text, p.barList(p.runs(c.notes, 0))))
		notes = append(notes, c.notes...)
	}
	slices.Sort(notes)
	return p.merged("fingering", all[0].cost/hardChange, p.runs(notes, 0), "Quick awkward changes of fingers: "+strings.Join(parts, "; ")+".",
		"Drill each change by itself: slowly with fingers that strike together, in dotted rhythms both ways, then with the notes around it.")
}

// changes are the quick awkward changes of fingers, the hardest first.
func (p *Page) changes() []fingerChange {
	var all []fingerChange
	for i := 1; i < p.notes(); i++ {
		cost := p.awkwardness(i)
		if cost == 0 || p.seconds(i-1) > quickChange {
			continue
		}
		a, b := *p.Path.Steps[i-1].Way, *p.Path.Steps[i].Way
		text := fmt.Sprintf("%s to %s (%s to %s)", p.name(i-1), p.name(i), bare(a), bare(b))
		k := slices.IndexFunc(all, func(c fingerChange) bool { return c.text == text })
		if k < 0 {
			all = append(all, fingerChange{text: text})
			k = len(all) - 1
		}
		all[k].cost, all[k].notes = max(all[k].cost, cost), append(all[k].notes, i)
	}
	slices.SortStableFunc(all, func(a, b fingerChange) int { return cmp.Compare(b.cost, a.cost) })
	return all
}

// awkwardness is what the fingers' work into note i costs, 0 when it is not awkward.
// The thumb of a double horn gets in no finger's way.
func (p *Page) awkwardness(i int) float64 {
	a, b := p.Path.Steps[i-1].Way, p.Path.Steps[i].Way
	if p.slide() || a == nil || b == nil {
		return 0
	}
	from, to := *a, *b
	from.Valve, to.Valve = strings.ReplaceAll(from.Valve, thumbValve, ""), strings.ReplaceAll(to.Valve, thumbValve, "")
	if moved, crossed := valvesMoved(from, to); moved == 0 || moved == 1 && !crossed {
		return 0
	}
	work, awkward := 0.0, 0.0
	for _, t := range p.Path.Terms(i) {
		switch t.Name {
		case positions.FingersRule:
			work = t.Cost
		case positions.AwkwardRule:
			awkward = t.Cost
		}
	}
	if awkward == 0 {
		return 0
	}
	return work + awkward
}
