package reading

import (
	"fmt"
	"math"
	"sort"

	"waterkey/finding"
	"waterkey/score"
)

// Levels in steps of score.LevelStep that count as soft and loud (common
// practice: p and f are the first levels called so; mp and mf lie between).
const (
	softStep = -1.5 // p and below
	loudStep = 1.5  // f and above
)

// printedLevels are the dynamic marks that set a level, in order.
func (p *Page) printedLevels() []score.DynamicMark {
	var marks []score.DynamicMark
	for _, d := range p.Part.Dynamics {
		if _, ok := score.LevelStep(d.Mark); ok {
			marks = append(marks, d)
		}
	}
	return marks
}

func stepOf(d score.DynamicMark) float64 {
	step, _ := score.LevelStep(d.Mark)
	return step
}

// markName names a level in steps by the nearest marking.
func markName(step float64) string {
	names := []string{"ppp", "pp", "p", "mp", "mf", "f", "ff", "fff"}
	i := int(math.Round(step + 3.5))
	return names[min(max(i, 0), len(names)-1)]
}

// noteAt is the first note at or after a moment of the page.
func (p *Page) noteAt(at score.Time) int {
	return sort.Search(p.notes(), func(i int) bool { return !p.note(i).Onset.Less(at) })
}

// levels says where the dynamics start, how far they reach and how they are
// spread over the page.
func levels(p *Page) []finding.Finding {
	marks := p.printedLevels()
	say := func(says, do string) []finding.Finding {
		return []finding.Finding{p.finding("level", 0.5, 0, len(p.Part.Bars)-1, says, do)}
	}
	if len(marks) == 0 {
		return say("No dynamic stands on the page.", "Ask for the score, or decide levels for each phrase and write them in.")
	}
	soft, loud := marks[0], marks[0]
	for _, m := range marks {
		if stepOf(m) < stepOf(soft) {
			soft = m
		}
		if stepOf(m) > stepOf(loud) {
			loud = m
		}
	}
	start := fmt.Sprintf("It starts %s", marks[0].Mark)
	if first := marks[0]; p.noteAt(first.At) > 0 {
		start = fmt.Sprintf("It starts without a level; the first is %s (bar %s)", first.Mark, p.number(first.Bar))
	}
	if soft.Mark == loud.Mark {
		if len(p.swells()) > 0 {
			return say(start+"; no other level is printed, only hairpins move away from it.", "Come back to the same level after each of them.")
		}
		return say(start+" and no other level is printed.", "Keep the level, and shape the phrases inside it.")
	}
	return say(fmt.Sprintf("%s; softest is %s (bar %s), loudest %s (bar %s).%s", start,
		soft.Mark, p.number(soft.Bar), loud.Mark, p.number(loud.Bar), p.spread()),
		"Set the loudest and the softest place first; everything else lies between them.")
}

// levelSpan is a row of notes that are all soft, all loud or all between.
type levelSpan struct {
	class    int // -1 soft, 0 between, 1 loud
	from, to int // bars
	seconds  float64
}

// spans cuts the part by level.
func (p *Page) spans() []levelSpan {
	line := p.Part.LevelLine()
	var out []levelSpan
	for i := range p.notes() {
		class, level := 0, line.At(p.note(i).Onset)
		switch {
		case level <= softStep:
			class = -1
		case level >= loudStep:
			class = 1
		}
		bar := p.note(i).Bar
		if k := len(out) - 1; k < 0 || out[k].class != class {
			out = append(out, levelSpan{class: class, from: bar})
		}
		last := &out[len(out)-1]
		last.to = bar
		last.seconds += p.seconds(i)
	}
	return out
}

// spread is a sentence on how much of the playing is loud and soft, and where; the
// larger share first.
func (p *Page) spread() string {
	spans := p.spans()
	total, share := 0.0, map[int]float64{}
	for _, s := range spans {
		total += s.seconds
		share[s.class] += s.seconds
	}
	if total == 0 {
		return ""
	}
	names := map[int]string{1: "loud (f and more)", -1: "soft (p and less)"}
	first := 1
	if share[-1] > share[1] {
		first = -1
	}
	text := ""
	for _, class := range []int{first, -first} {
		switch {
		case share[class] == 0:
		case text == "":
			text = fmt.Sprintf(" %s of the playing is %s, %s", capital(shareName(share[class]/total)), names[class], p.spanBars(spans, class))
		default:
			text += fmt.Sprintf("; %s of it is %s, %s", shareName(share[class]/total), names[class], p.spanBars(spans, class))
		}
	}
	if text == "" {
		return " All of it lies around mf."
	}
	return text + "."
}

// shareName says a share as a speaker would; the borders are halfway between the
// fractions named.
func shareName(share float64) string {
	for _, s := range []struct {
		below float64
		name  string
	}{{0.1, "a little"}, {0.21, "some"}, {0.29, "a quarter"}, {0.42, "a third"}, {0.58, "about half"}, {0.85, "most"}, {1, "nearly all"}} {
		if share < s.below {
			return s.name
		}
	}
	return "all"
}

// spanBars lists the bars of a level, the longest spans when there are many.
func (p *Page) spanBars(spans []levelSpan, class int) string {
	var own []levelSpan
	for _, s := range spans {
		if s.class == class {
			own = append(own, s)
		}
	}
	kept := mainPlaces(own, func(s levelSpan) float64 { return s.seconds })
	var rs []run
	for _, s := range kept {
		if k := len(rs) - 1; k >= 0 && s.from <= rs[k].to+1 {
			rs[k].to = s.to // what lies between is shorter than a bar
			continue
		}
		rs = append(rs, run{from: s.from, to: s.to})
	}
	if len(kept) < len(own) {
		return "mainly in " + p.barList(rs)
	}
	return "in " + p.barList(rs)
}

// silentSeconds is how much playing without a mark of level is worth a word:
// three breaths' worth of phrases (estimate).
const silentSeconds = 30.0

// silence names stretches with no dynamic at all.
func silence(p *Page) []finding.Finding {
	marks := p.printedLevels()
	if len(marks) == 0 {
		return nil // said by levels
	}
	var ends []score.Time // moments at which a mark stands or a swell ends
	for _, d := range marks {
		ends = append(ends, d.At)
	}
	for _, s := range p.swells() {
		ends = append(ends, s.from, s.to)
	}
	sort.Slice(ends, func(i, k int) bool { return ends[i].Less(ends[k]) })
	line := p.Part.LevelLine()
	var spots []spot
	for from := p.noteAt(marks[0].At); from < p.notes(); {
		next := sort.Search(len(ends), func(k int) bool { return p.note(from).Onset.Less(ends[k]) })
		to := p.notes()
		if next < len(ends) {
			to = max(p.noteAt(ends[next]), from+1)
		}
		seconds := 0.0
		for i := from; i < to; i++ {
			seconds += p.seconds(i)
		}
		if seconds >= silentSeconds {
			a, b := p.note(from).Bar, p.note(to-1).Bar
			level := markName(line.At(p.note(from).Onset))
			spots = append(spots, spot{place{a, b, fmt.Sprintf("No new dynamic in %s, %.0f seconds of playing at %s.", p.barText(a, b), seconds, level),
				fmt.Sprintf("%s (%.0f s at %s)", p.barText(a, b), seconds, level)}, seconds})
		}
		from = to
	}
	return p.together("level", 0, spots, "No new dynamic for long in",
		"Keep the printed level as the ground, and pencil in where each phrase rises and falls over it.")
}
