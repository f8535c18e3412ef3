package practice

import (
	"fmt"
	"slices"
	"strings"

	"waterkey/finding"
	"waterkey/player"
)

// What a plan says is said here, in the order in which the day is played. A remark
// of the page is given when a segment first comes to its stage, and not twice;
// after that the words go round.

// say gives the next of several ways to say a thing.
func (p *planner) say(words []string) string {
	n := p.said[words[0]] + len(p.m.Past) // not every day's first words again
	p.said[words[0]]++
	return words[n%len(words)]
}

// once gives a sentence that was not yet given, else the next of the others.
func (p *planner) once(sentence string, others []string) string {
	if p.said[sentence]++; p.said[sentence] == 1 {
		return sentence
	}
	return p.say(others)
}

// speak puts the words to a day.
func (p *planner) speak(k int, d *Day) {
	takes, of := 0, 0
	for _, it := range d.Items {
		if it.Kind == MockUp {
			of++
		}
	}
	for i := range d.Items {
		it := &d.Items[i]
		switch it.Kind {
		case WarmUp:
			it.What = p.warmUpWords(k)
		case Away:
			it.What = p.say(awayWords)
		case Visit:
			it.What = p.visitWords(it, d.Phase)
		case Phrase:
			it.What = p.phraseWords(it, d.Phase)
		case Run:
			it.What = p.runWords(k, d.Phase)
		case MockUp:
			it.What = p.takeWords(takes, of, d.Phase)
			takes++
		}
	}
	strengthWords(d.Items, d.Phase, func(it Item) bool { return p.segments[it.segment].strong })
	d.Focus = p.focus(k, d)
}

func (p *planner) visitWords(it *Item, phase Phase) string {
	seg, met := &p.segments[it.segment], p.seen[it.segment].met
	stage, first := seg.stageOf(met)
	switch {
	case phase == DayBefore:
		return p.say(lightSpot)
	case phase == Recording:
		return p.say(beforeTakes)
	case it.round > 0 && met == 0 && seg.Right == 0 && len(it.Tempos) > 1 && it.Tempos[1] != it.BPM:
		return fmt.Sprintf(p.say(firstGoal), number(it.Tempos[1]))
	case it.round > 0 && first:
		return p.say(again[stage])
	case it.round > 0:
		return p.say(againAll)
	case phase == Late:
		return p.say(spot)
	case first:
		return seg.opening(met) + p.stageWords(seg, stage, met == 0)
	}
	return p.say(together)
}

// opening says that a segment is new, or back after a take; nothing of one that a
// take had right.
func (s *Segment) opening(met int) string {
	switch {
	case met > 0 || s.Right > 0:
		return ""
	case s.SlippedIn != "":
		return "Back: " + s.Name + ". "
	}
	return "New: " + s.Name + ". "
}

// stageWords are what the heaviest finding of a stage says to do, and where; said
// once, then the ways of the stage.
func (p *planner) stageWords(s *Segment, stage finding.Stage, first bool) string {
	i := slices.IndexFunc(s.found, func(f finding.Finding) bool { return f.Stage == stage })
	if i < 0 {
		return p.say(ways[stage])
	}
	f, when := s.found[i], "Now"
	if first {
		when = "First"
	}
	if p.said[f.Do]++; p.said[f.Do] > 1 {
		return p.say(ways[stage])
	}
	if where := p.m.within(f, s.core); where != "" && len(s.found) > 1 {
		return fmt.Sprintf("%s the %s in %s. %s", when, nameOf(f), where, f.Do)
	}
	return f.Do
}

// within are the bars of a finding that lie in a stretch: "bar 18".
func (m Material) within(f finding.Finding, core Span) string {
	var bars [][2]string
	for _, s := range places(f, index(m.Bars)) {
		if s.meets(core) && !m.broad(s) {
			bars = append(bars, m.numbers(Span{max(s.From, core.From), min(s.To, core.To)}))
		}
	}
	return barList(bars)
}

// strengthWords say how loud, at the first place of a day that is loud or high.
func strengthWords(items []Item, phase Phase, strong func(Item) bool) {
	i := slices.IndexFunc(items, func(it Item) bool { return it.Kind == Visit && strong(it) })
	switch {
	case i < 0:
	case phase == Early:
		items[i].What += " An octave down first, then at mezzo forte, here and wherever it is loud or high today: the strength comes later."
	case phase == Middle || phase == Late:
		items[i].What += " Full strength in the last turn alone, here and wherever it is loud or high today."
	}
}

func (p *planner) phraseWords(it *Item, phase Phase) string {
	var inside [][2]string
	trouble := false
	for _, s := range p.segments {
		trouble = trouble || it.span.meets(s.core)
		if it.span.holds(s.core) && it.span != s.core && s.State != InRuns {
			inside = append(inside, s.Core)
		}
	}
	switch {
	case phase == Late && p.isSection(it.span):
		return p.say(sectionWords)
	case phase == Late:
		return p.say(lateLine)
	case len(inside) > 1:
		return p.once(fmt.Sprintf("One line now, with %s in it; play through the joins.", barList(inside)), fullLine)
	case len(inside) == 1:
		return p.once(fmt.Sprintf("The phrase around %s, so that it has somewhere to come from and to go to.", barList(inside)), fullLine)
	case trouble:
		return p.say(fullLine)
	}
	return p.say(plainLine)
}

func (p *planner) runWords(k int, phase Phase) string {
	switch {
	case phase == DayBefore:
		return lightRunWords
	case p.days[k].lastWeek:
		return p.say(listenWords)
	}
	return p.say(runWords)
}

func (p *planner) takeWords(n, of int, phase Phase) string {
	switch {
	case phase == Recording:
		return realWords[min(n, len(realWords)-1)]
	case n > 0 && n == of-1:
		return mockLast
	case n > 0:
		return p.say(mockAgain)
	}
	return p.say(mockWords)
}

// warmUpWords lead into what the part asks for: its key, and then low or high,
// soft or slurred in turn.
func (p *planner) warmUpWords(k int) string {
	scale := "a slow scale"
	if p.m.Key != "" {
		scale += " of " + p.m.Key
	}
	wider := "" // for those who have the range
	if p.m.level() >= player.Advanced {
		wider = " and tenths"
	}
	var turns []string
	for _, add := range []struct{ kind, words string }{
		{"low", "then slurs down, a step lower each time, on warm slow air"},
		{"high", "then slurs up by partials, stopping before it is work"},
		{"soft-and-low", "then low notes from nothing, each one speaking at once"},
		{"leap", "then octaves" + wider + ", sung first"},
		{"glissando", "then slow glissandi on one partial, the air steady"},
		{"sudden", "then one note loud and soft in turn, the pitch staying"},
	} {
		if slices.ContainsFunc(p.m.Findings, func(f finding.Finding) bool { return f.Kind == add.kind }) {
			turns = append(turns, add.words)
		}
	}
	start := []string{"Long notes in the middle, soft", "Breathe a few times, then long notes from the middle outward", "Sing a phrase and buzz it, then long notes"}[k%3]
	switch {
	case p.days[k].phase == Recording:
		return fmt.Sprintf("Warm up as on every other day, no more: long notes, %s.", scale)
	case p.days[k].phase == DayBefore || len(turns) == 0:
		return fmt.Sprintf("%s; %s.", start, scale)
	}
	return fmt.Sprintf("%s; %s; %s.", start, scale, turns[k%len(turns)])
}

// focus is the day in one sentence.
func (p *planner) focus(k int, d *Day) string {
	var fresh [][2]string
	var stages []finding.Stage
	for _, it := range d.Items {
		if it.Kind == Visit && it.round == 0 && p.seen[it.segment].met == 0 && p.segments[it.segment].Right == 0 {
			s := p.segments[it.segment]
			fresh = append(fresh, s.Bars)
			if !slices.Contains(stages, s.Stage) {
				stages = append(stages, s.Stage)
			}
		}
	}
	switch {
	case d.Phase == Recording:
		return "The recording. Few words, few takes, long rests."
	case d.Phase == DayBefore:
		return "Little and light today; the work is done."
	case d.Phase == Late:
		return p.say([]string{"The part as a whole, from the first note to the last.", "Takes, and hearing them as the panel will.", "Fewer corrections, more performing."})
	case len(fresh) > 0 && d.Phase == Early:
		return fmt.Sprintf("%s first: %s new today.", upper(stageList(stages)), p.areNew(fresh))
	case d.Phase == Early:
		return "Nothing new: what is known gets safer."
	}
	return p.say([]string{"Details become phrases.", "Mixed work: nothing twice in a row.", "Closer to the tempo, and longer lines.", "The joins today: no place stands by itself."})
}

// areNew is "bars 4 to 7 and 9 to 12 are", in the order of the page.
func (p *planner) areNew(bars [][2]string) string {
	at := index(p.m.Bars)
	slices.SortFunc(bars, func(a, b [2]string) int { return at[a[0]] - at[b[0]] })
	if len(bars) == 1 && bars[0][0] == bars[0][1] {
		return barList(bars) + " is"
	}
	return barList(bars) + " are"
}

func stageList(stages []finding.Stage) string {
	slices.Sort(stages)
	var out []string
	for _, s := range stages {
		out = append(out, s.String())
	}
	return joinAnd(out)
}

// barText is "bar 4" or "bars 4 to 7".
func barText(bars [2]string) string {
	if bars[0] == bars[1] {
		return "bar " + bars[0]
	}
	return "bars " + bars[0] + " to " + bars[1]
}

// barList is "bars 2, 5 to 6 and 9"; "" for none.
func barList(bars [][2]string) string {
	if len(bars) < 2 {
		if len(bars) == 0 {
			return ""
		}
		return barText(bars[0])
	}
	var names []string
	for _, b := range bars {
		if name := strings.TrimPrefix(strings.TrimPrefix(barText(b), "bars "), "bar "); !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	if len(names) == 1 {
		return barText(bars[0])
	}
	return "bars " + joinAnd(names)
}

func joinAnd(parts []string) string {
	n := len(parts)
	if n < 2 {
		return strings.Join(parts, "")
	}
	return strings.Join(parts[:n-1], ", ") + " and " + parts[n-1]
}

func upper(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
