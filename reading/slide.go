package reading

import (
	"fmt"
	"math"
	"slices"

	"waterkey/brass"
	"waterkey/finding"
	"waterkey/positions"
)

// trapSpeed is the peak slide speed, in cm/s, from which a move is called a
// trap: twice what is comfortable (estimate, as no measured value was found).
const trapSpeed = 600.0

// worthCM is a saving worth speaking of; a smaller one is a matter of taste
// (estimate: the distance from first to third).
const worthCM = 17.0

// slideTrap names moves the slide has hardly time for, and says where an F
// attachment would spare them.
func slideTrap(p *Page) []finding.Finding {
	notes := p.where(func(i int) bool { return p.Path.Steps[i].Move.PeakSpeed >= trapSpeed })
	if len(notes) == 0 {
		return nil
	}
	worst := notes[0]
	for _, i := range notes {
		if p.Path.Steps[i].Move.PeakSpeed > p.Path.Steps[worst].Move.PeakSpeed {
			worst = i
		}
	}
	m, rs := p.Path.Steps[worst].Move, p.runs(notes, 0)
	move := fmt.Sprintf("%s to %s in bar %s, %.0f cm in %.2f s", p.name(worst-1), p.name(worst),
		p.number(p.note(worst).Bar), math.Abs(m.TravelCM), float64(m.Time))
	says := fmt.Sprintf("Long quick slide moves in %s; the worst is %s.", p.barList(rs), move)
	if len(notes) == 1 {
		says = fmt.Sprintf("A long quick slide move, %s.", move)
	}
	do := "Let the slide arrive before the tongue: practice the move silently, then with air, then with the tongue."
	if p.note(worst).SlurTo {
		do = "Under the slur slide and tongue go together: practice the move silently, then on moving air, then with a soft d as it arrives."
	}
	if s := p.attachmentSaves(rs); s != "" {
		do += " " + s
	}
	return p.merged("slide-trap", m.PeakSpeed/trapSpeed-1, rs, says, do)
}

// attachmentSaves says what an F attachment would spare in some runs, "" for
// nothing.
func (p *Page) attachmentSaves(rs []run) string {
	in := withAttachment(p.Path.Instrument)
	if in == nil {
		return ""
	}
	with := *p
	with.Path = positions.Solve(p.Through, in)
	saved := 0.0
	for _, r := range rs {
		saved += p.travel(r) - with.travel(r)
	}
	if saved < worthCM {
		return ""
	}
	return fmt.Sprintf("An F attachment would spare %.0f cm of slide there.", saved)
}

// alternate says where alternate positions pay, and how much slide they save.
func alternate(p *Page) []finding.Finding {
	if !p.slide() {
		return alternateFingering(p)
	}
	notes := p.where(func(i int) bool {
		w := p.Path.Steps[i].Way
		return w != nil && *w != p.firstChoice(i)
	})
	var places []place
	total := 0.0
	for _, r := range p.runs(notes, 0) {
		saved := p.firstTravel(r) - p.travel(r)
		if saved < worthCM {
			continue
		}
		total += saved
		what := p.alternates(r.notes)
		places = append(places, place{r.from, r.to,
			fmt.Sprintf("Alternate positions pay in %s: %s; the usual ones would move the slide %.0f cm further.", p.barText(r.from, r.to), what, saved),
			fmt.Sprintf("%s (%s, %.0f cm)", p.barText(r.from, r.to), what, saved)})
	}
	const muchCM = 200.0 // a saving that decides whether the passage works (estimate)
	return p.each("alternate", total/muchCM, places, "Alternate positions pay, with the slide they save, in",
		"Match the tone of the alternates to the usual positions in slow practice, then trust them at tempo.")
}

func (p *Page) firstChoice(i int) brass.Way {
	return p.ways(p.note(i).Pitch)[0]
}

// alternates lists each note with its position once, low to high: "F3 in 6 and D4
// in 4".
func (p *Page) alternates(notes []int) string {
	seen := map[string]bool{}
	var parts []string
	byPitch := slices.SortedStableFunc(slices.Values(notes), func(a, b int) int {
		return p.note(a).Pitch.MIDI() - p.note(b).Pitch.MIDI()
	})
	for _, i := range byPitch {
		s := p.name(i) + " " + positions.How(*p.Path.Steps[i].Way)
		if !seen[s] {
			seen[s] = true
			parts = append(parts, s)
		}
	}
	if n := len(parts) - maxPlaces; n > 1 {
		parts = append(parts[:maxPlaces], fmt.Sprintf("%d more notes", n))
	}
	return joinAnd(parts)
}

// travel is the slide's way through a run, from the note before it to the note
// after.
func (p *Page) travel(r run) float64 {
	sum := 0.0
	for i := r.notes[0]; i <= min(r.notes[len(r.notes)-1]+1, p.notes()-1); i++ {
		sum += math.Abs(p.Path.Steps[i].Move.TravelCM)
	}
	return sum
}

// firstTravel is the same with first choices for the run's notes.
func (p *Page) firstTravel(r run) float64 {
	first := map[int]bool{}
	for _, i := range r.notes {
		first[i] = true
	}
	at := func(i int) (float64, bool) {
		if first[i] {
			return p.firstChoice(i).ExtensionCM, true
		}
		if w := p.Path.Steps[i].Way; w != nil {
			return w.ExtensionCM, true
		}
		return 0, false
	}
	sum := 0.0
	for i := max(r.notes[0], 1); i <= min(r.notes[len(r.notes)-1]+1, p.notes()-1); i++ {
		a, okA := at(i - 1)
		b, okB := at(i)
		if okA && okB {
			sum += math.Abs(b - a)
		}
	}
	return sum
}

// attachment says where the valve of a slide horn is down.
func attachment(p *Page) []finding.Finding {
	if !p.slide() {
		return nil
	}
	notes := p.where(func(i int) bool { w := p.Path.Steps[i].Way; return w != nil && w.Valve != "" })
	if len(notes) == 0 {
		return nil
	}
	rs := p.runs(notes, 1)
	says := fmt.Sprintf("The attachment serves in %s: %s.", p.barList(rs), p.alternates(notes))
	return p.merged("attachment", 0, rs, says,
		"Thumb and tongue together; tune the valve notes by ear, since they sit lower on the slide than the open ones.")
}
