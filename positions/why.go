package positions

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// Why says in plain sentences what the usual positions would ask for in a bar
// (index into Performance.Bars), what is chosen instead, and what that saves.
// It is empty for a bar without notes within reach.
func (p *Path) Why(bar int) []string {
	if bar < 0 || bar >= len(p.Performance.Bars) {
		return nil
	}
	first, last := p.Performance.NotesIn(bar, bar)
	w := why{chosen: p, usual: p.withUsual(first, last), first: first, last: last,
		bar: "Bar " + p.Performance.Part.BarName(p.Performance.Bars[bar].Bar)}
	return w.sentences()
}

// why compares two paths over the notes first to last, last excluded.
type why struct {
	chosen, usual *Path
	first, last   int
	bar           string
}

// withUsual is the path with first choices for some notes.
func (p *Path) withUsual(first, last int) *Path {
	q := &Path{Performance: p.Performance, Instrument: p.Instrument, Steps: slices.Clone(p.Steps), opts: p.opts, usual: p.usual}
	for i := first; i < last; i++ {
		if q.Steps[i].Way != nil {
			q.Steps[i].Way = p.usual[p.Performance.Written(i).Pitch]
		}
	}
	q.describe(first, min(last+1, len(q.Steps)))
	return q
}

func (w why) sentences() []string {
	changed := w.changed()
	switch {
	case w.list(w.chosen, w.played()) == "":
		return nil
	case len(changed) == 0 && w.valves():
		out := []string{fmt.Sprintf("%s goes in the usual fingering: %s.", w.bar, w.list(w.chosen, w.played()))}
		return append(append(out, w.tuned()...), w.nearly()...)
	case len(changed) == 0:
		return append([]string{fmt.Sprintf("%s goes in the usual positions: %s.", w.bar, w.list(w.chosen, w.played())),
			w.asks(w.chosen, "They ask for")}, w.nearly()...)
	}
	kind := "positions"
	if w.valves() {
		kind = "fingering"
	}
	out := []string{fmt.Sprintf("%s in the usual %s would be %s.", w.bar, kind, w.list(w.usual, changed))}
	if fixed := w.fixed(changed); len(fixed) > 0 {
		out[0] = fmt.Sprintf("%s in the usual %s would be %s, which you ruled out for %s.", w.bar, kind, w.list(w.usual, changed), strings.Join(fixed, " and "))
	}
	if !w.valves() {
		out = append(out, w.asks(w.usual, "That would ask for"))
	}
	out = append(out, fmt.Sprintf("Chosen instead: %s.", w.list(w.chosen, changed)))
	if !w.valves() {
		out = append(out, w.saves())
	}
	out = append(out, w.reasons()...)
	if w.valves() {
		out = append(out, w.tuned()...)
	}
	return out
}

func (w why) valves() bool { return !w.chosen.Instrument.Slide() }

// played are the notes within reach; changed those not played the usual way.
func (w why) played() []int {
	return w.where(func(i int) bool { return w.chosen.Steps[i].Way != nil })
}

func (w why) changed() []int {
	return w.where(func(i int) bool {
		a, b := w.chosen.Steps[i].Way, w.usual.Steps[i].Way
		return a != nil && *a != *b
	})
}

// fixed names the notes that a pin keeps from the usual way.
func (w why) fixed(changed []int) []string {
	var out []string
	for _, i := range changed {
		name := w.chosen.name(i)
		if !w.chosen.opts.allows(i, w.usual.Steps[i].Way) && !slices.Contains(out, name) {
			out = append(out, name)
		}
	}
	return out
}

func (w why) where(keep func(int) bool) []int {
	var out []int
	for i := w.first; i < w.last; i++ {
		if keep(i) {
			out = append(out, i)
		}
	}
	return out
}

// tuned says which valve slides are drawn, and what is left for the lip.
func (w why) tuned() []string {
	var out []string
	if parts := w.drawn(); len(parts) > 0 {
		out = append(out, "Draw a valve slide for "+strings.Join(parts, "; ")+".")
	}
	if parts := w.outOfTune(); len(parts) > 0 {
		out = append(out, "For the lip to bring into tune: "+strings.Join(parts, "; ")+".")
	}
	return out
}

// list names notes with their positions, each pair once: "F3 in 6, C3 in 6".
func (w why) list(p *Path, notes []int) string {
	var parts []string
	for _, i := range notes {
		s := p.say(i)
		if !slices.Contains(parts, s) {
			parts = append(parts, s)
		}
	}
	return strings.Join(parts, ", ")
}

// end is one past the last note whose move the bar's choices bear on: the move
// out of the bar counts.
func (w why) end() int { return min(w.last+1, len(w.chosen.Steps)) }

// asks says what a path wants of the slide: its way, and the hardest move with
// its speed.
func (w why) asks(p *Path, lead string) string {
	travel, hardest := w.travel(p), w.hardest(p)
	if hardest < 0 {
		return lead + " no slide at all."
	}
	m := p.Steps[hardest].Move
	if m.Effort() < easyEffort {
		return fmt.Sprintf("%s %.0f cm of slide, all of it at ease.", lead, travel)
	}
	return fmt.Sprintf("%s %.0f cm of slide; the hardest move, %s to %s, is %.0f cm in %.2f s, up to %.0f cm/s: %s.", lead, travel,
		p.name(hardest-1), p.name(hardest),
		math.Abs(m.TravelCM), float64(m.Time), m.PeakSpeed, pace(m.Effort()))
}

// easyEffort is an effort below which a move needs no thought (estimate).
const easyEffort = 0.75

// pace words an effort.
func pace(effort float64) string {
	const hard = 1.25 // above it the figure is worth giving (estimate)
	switch {
	case effort < easyEffort:
		return "easy"
	case effort <= hard:
		return "about a comfortable speed"
	}
	return fmt.Sprintf("%.1f times a comfortable speed", effort)
}

func (w why) travel(p *Path) float64 {
	sum := 0.0
	for i := w.first; i < w.end(); i++ {
		sum += math.Abs(p.Steps[i].Move.TravelCM)
	}
	return sum
}

// hardest is the note that the fastest move leads to, -1 when the slide stays.
func (w why) hardest(p *Path) int {
	at, top := -1, 0.0
	for i := w.first; i < w.end(); i++ {
		if s := p.Steps[i].Move.PeakSpeed; s > top && math.Abs(p.Steps[i].Move.TravelCM) >= stillCM {
			at, top = i, s
		}
	}
	return at
}

// saves says what the choice spares, or costs, in slide and in speed.
func (w why) saves() string {
	saved := w.travel(w.usual) - w.travel(w.chosen)
	way := fmt.Sprintf("saves %.0f cm of slide", saved)
	if saved < 0 {
		way = fmt.Sprintf("takes %.0f cm more slide", -saved)
	}
	if math.Abs(saved) < stillCM {
		way = "takes as much slide"
	}
	hardest := w.hardest(w.chosen)
	if hardest < 0 {
		return fmt.Sprintf("That %s: the slide stays where it is.", way)
	}
	m := w.chosen.Steps[hardest].Move
	if m.Effort() < easyEffort {
		return fmt.Sprintf("That %s, and every move left is easy.", way)
	}
	return fmt.Sprintf("That %s, and the hardest move left is %s to %s, up to %.0f cm/s: %s.", way,
		w.chosen.name(hardest-1), w.chosen.name(hardest), m.PeakSpeed, pace(m.Effort()))
}

// causes words the terms that can speak for an alternate.
var causes = map[int]string{
	turnTerm:       "The slide turns around less often.",
	valveTerm:      "The thumb changes less often.",
	toneTerm:       "The long notes keep one color.",
	slurTerm:       "More of the slurs go without the tongue.",
	glissandoTerm:  "Only so does the glissando run on one partial.",
	stretchTerm:    "The arm stretches less.",
	fingersTerm:    "Fewer fingers move.",
	awkwardTerm:    "The changes of fingers are smoother.",
	intonationTerm: "The notes are better in tune.",
}

// reasons says what else speaks for the choice.
func (w why) reasons() []string {
	const worth = 0.04 // effort from which a reason counts (estimate: just below one tongued slur)
	var saved [allTerms]float64
	for i := w.first; i < min(w.last+2, len(w.chosen.Steps)); i++ {
		usual, chosen := w.usual.termsAt(i), w.chosen.termsAt(i)
		for t := range saved {
			saved[t] += usual[t] - chosen[t]
		}
	}
	var out []string
	for t, s := range saved {
		if s >= worth && causes[t] != "" {
			out = append(out, causes[t])
		}
	}
	return out
}

// nearly names the alternates that are hardly worse than the usual ways.
func (w why) nearly() []string {
	const hardly = 0.25 // extra effort that taste may outweigh (estimate)
	var parts []string
	for _, i := range w.played() {
		for _, o := range w.chosen.Steps[i].Others {
			s := w.chosen.name(i) + " " + How(o.Way)
			if o.ExtraCost < hardly && !slices.Contains(parts, s) {
				parts = append(parts, s)
			}
		}
	}
	if len(parts) == 0 {
		return nil
	}
	return []string{"Nearly as good: " + strings.Join(parts, ", ") + "."}
}
