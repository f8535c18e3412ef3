package reading

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"sort"

	"waterkey/finding"
	"waterkey/score"
)

// swell is a hairpin, or the word for one.
type swell struct {
	from, to       score.Time
	fromBar, toBar int
	grow           bool
	word           string     // as printed; "" for a hairpin
	open           bool       // a word that no printed level ends
	end            score.Time // of a word: the next printed level, 0 when there is none
}

var (
	growWord = regexp.MustCompile(`(?i)\bcresc`)
	fadeWord = regexp.MustCompile(`(?i)\b(dim\b|dimin|decresc|morendo|smorz|perdendo|calando)`)
)

// wordBars is within how many bars a swell still belongs to a word before it
// (estimate: two phrases of four bars).
const wordBars = 8

// swells lists the hairpins and the words crescendo and diminuendo without an
// extent, by their start. A word holds until the next level or swell.
func (p *Page) swells() []swell {
	var out []swell
	for _, w := range p.Part.Wedges {
		s := swell{from: w.From, to: w.To, fromBar: w.FromBar, toBar: w.ToBar, grow: w.Grow}
		if s.toBar > s.fromBar && p.Part.Bars[s.toBar].Start == w.To {
			s.toBar--
		}
		out = append(out, s)
	}
	for _, w := range p.Part.Words {
		grow := growWord.MatchString(w.Text)
		if grow || fadeWord.MatchString(w.Text) {
			out = append(out, swell{from: w.At, to: w.At, fromBar: w.Bar, toBar: w.Bar, grow: grow, word: w.Text})
		}
	}
	slices.SortStableFunc(out, func(a, b swell) int { return a.from.Cmp(b.from) })
	return p.extended(out)
}

// extended gives the words their extent, to the next level or the next swell. A
// swell of the same kind that a word runs into goes on with it.
func (p *Page) extended(all []swell) []swell {
	marks := p.printedLevels()
	var out []swell
	for k := 0; k < len(all); k++ {
		s := all[k]
		for s.word != "" {
			p.toNextLevel(&s, marks)
			if k+1 == len(all) || s.end.Sign() > 0 && !all[k+1].from.Less(s.end) || all[k+1].fromBar > s.toBar+wordBars {
				break // no swell before the next level
			}
			next := all[k+1]
			if next.grow != s.grow {
				s.to, s.toBar, s.open = next.from, next.fromBar, true
				break
			}
			s.to, s.toBar, s.word, s.open = next.to, next.toBar, next.word, false
			k++
		}
		out = append(out, s)
	}
	return out
}

// toNextLevel lets a word hold to the next printed level. A level on the wrong side
// or after a rest does not end it: how far it goes is then not known.
func (p *Page) toNextLevel(s *swell, marks []score.DynamicMark) {
	i := sort.Search(len(marks), func(i int) bool { return s.from.Less(marks[i].At) })
	s.open, s.end = true, score.Time{}
	if i == len(marks) {
		return
	}
	s.end = marks[i].At
	if i > 0 && (stepOf(marks[i]) > stepOf(marks[i-1])) == s.grow && marks[i].Mark != marks[i-1].Mark && p.follows(marks[i].At) {
		s.to, s.toBar, s.open = marks[i].At, marks[i].Bar, false
	}
}

// longSwell is how many seconds of growing or fading are worth a word of their
// own (estimate: longer than a bar at a walking pace, so that most players get
// there too soon).
const longSwell = 4.0

// hairpin names crescendos and diminuendos with start, goal and length.
func hairpin(p *Page) []finding.Finding {
	all, marks, line := p.swells(), p.printedLevels(), p.Part.LevelLine()
	var grow, fade []spot
	for k, s := range all {
		near := score.Frac(1, 4)
		level := line.At(s.from)
		g := p.goal(s, level, marks)
		g.turns = k+1 < len(all) && all[k+1].grow != s.grow && !s.to.Add(near).Less(all[k+1].from)
		g.returns = k > 0 && all[k-1].grow != s.grow && !all[k-1].to.Add(near).Less(s.from)
		g.last = p.noteAt(s.to) == p.notes()
		sp := p.swellSpot(s, level, g)
		if s.grow {
			grow = append(grow, sp)
		} else {
			fade = append(fade, sp)
		}
	}
	out := p.together("hairpin", 0.3, grow, "Crescendos:", "Start below what you think and save it: half of the growth belongs in the last third.")
	return append(out, p.together("hairpin", 0.3, fade, "Diminuendos:",
		"Keep the air fast while it gets less; the pitch wants to sag and the tone to thin.")...)
}

// goal finds the level printed at the end of a swell: up to a quarter note after
// its tip, or at the next note when that follows at once. Only a level on the
// swell's own side is its goal.
func (p *Page) goal(s swell, level float64, marks []score.DynamicMark) goal {
	limit := s.to.Add(score.Frac(1, 4))
	if i := p.noteAt(s.to); i < p.notes() && p.follows(s.to) && limit.Less(p.note(i).Onset) {
		limit = p.note(i).Onset
	}
	i := sort.Search(len(marks), func(i int) bool { return s.from.Less(marks[i].At) })
	if s.open || i == len(marks) || limit.Less(marks[i].At) {
		return goal{}
	}
	step := stepOf(marks[i])
	return goal{mark: marks[i].Mark, against: step == level || (step > level) != s.grow}
}

// goal is what a swell leads to.
type goal struct {
	mark    string // the level printed at its end, "" for none
	against bool   // mark does not lie on the swell's own side
	turns   bool   // another swell leads back from it
	returns bool   // it leads back from another
	last    bool   // no note comes after it
}

// words says the goal in a sentence after the swell's start, and in a list.
func (g goal) words(start string) (toward, brief string) {
	switch {
	case g.mark != "" && g.against:
		return fmt.Sprintf(", then %s at once", g.mark), fmt.Sprintf("from %s, then %s at once", start, g.mark)
	case g.mark != "":
		return " to " + g.mark, start + " to " + g.mark
	case g.returns:
		return ", back to where it came from", "back from " + start
	case g.turns:
		return " and back", start + " and back"
	case g.last:
		return " to the end", start + " to the end"
	}
	return ", no goal printed", "from " + start + ", no goal"
}

// swellSpot says one.
func (p *Page) swellSpot(s swell, level float64, g goal) spot {
	seconds := float64(p.Through.Seconds(s.to) - p.Through.Seconds(s.from))
	name := "Diminuendo"
	if s.grow {
		name = "Crescendo"
	}
	start := markName(level)
	toward, brief := g.words(start)
	length := ""
	if seconds >= longSwell {
		length = fmt.Sprintf(", %.0f s", seconds)
	}
	where := p.barText(s.fromBar, s.toBar)
	return spot{place{s.fromBar, s.toBar, fmt.Sprintf("%s in %s, from %s%s%s.", name, where, start, toward, length),
		fmt.Sprintf("%s (%s%s)", where, brief, length)}, seconds}
}

// sudden names steps of two markings and more that no hairpin prepares, between
// notes that follow one another.
func sudden(p *Page) []finding.Finding {
	const steps = 2.0 // f to mp, p to mf: clearly heard (estimate)
	marks, swells := p.printedLevels(), p.swells()
	var spots []spot
	for k := 1; k < len(marks); k++ {
		d, before := marks[k], marks[k-1]
		change := stepOf(d) - stepOf(before)
		if math.Abs(change) < steps || prepared(swells, before.At, d.At, change > 0) || !p.follows(d.At) || p.note(p.noteAt(d.At)).Attack != "" {
			continue
		}
		n := p.number(d.Bar)
		spots = append(spots, spot{place{d.Bar, d.Bar, fmt.Sprintf("Sudden %s at bar %s, after %s.", d.Mark, n, before.Mark),
			fmt.Sprintf("%s at bar %s after %s", d.Mark, n, before.Mark)}, math.Abs(change)})
	}
	return p.together("sudden", 0.3, spots, "Sudden changes:", "Change on the note and not before it; breathe for the new level, not the old one.")
}

// follows says whether the first note from a moment on comes within a second of
// the end of the note before: after a longer rest no change is sudden (estimate).
func (p *Page) follows(at score.Time) bool {
	i := p.noteAt(at)
	return i > 0 && i < p.notes() && p.Through.Notes[i].Start-p.Through.Notes[i-1].End < 1
}

// prepared says whether a swell of the right direction runs between two marks.
func prepared(swells []swell, from, to score.Time, grow bool) bool {
	k := sort.Search(len(swells), func(k int) bool { return !swells[k].from.Less(from) })
	for ; k < len(swells) && swells[k].from.Less(to); k++ {
		if swells[k].grow == grow {
			return true
		}
	}
	return false
}
