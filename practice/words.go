package practice

import (
	"fmt"
	"slices"
	"strings"

	"waterkey/finding"
)

// What a plan says is said here, in the order in which the day is played. A remark
// of the page is given when a segment first comes to its stage, and not twice;
// after that the words go round.

// ways are what to do at a stage beyond what the page itself asks for (common
// practice).
var ways = map[finding.Stage][]string{
	finding.Notes: {
		"Sing it, then play it; stop on any note you would not sign.",
		"Hold the note on either side of every move until both ring alike, then in time.",
		"From the end: the last two notes, the last three, then the whole.",
	},
	finding.Rhythm: {
		"Speak it and tap the beat, then on one pitch, then as written.",
		"Click on every second beat only; you keep the other one.",
		"Play it, then rest exactly as long and think it: the beat must still be there.",
	},
	finding.Articulation: {
		"On one pitch with the page's articulation, then as written.",
		"Air and tongue without the horn first, then play what you just did.",
		"Listen to the ends of the notes alone: they are what the panel hears as style.",
	},
	finding.Dynamics: {
		"Twice the contrast first, then as much as is musical.",
		"Start with the softer side, and find the louder one from there.",
	},
	finding.Choices: {
		"With the breaths as they are marked, and no other.",
		"Know the note it leads to before you start, and let everything lead there.",
	},
}

// together are for segments whose every stage has had its turn.
var together = []string{
	"All of it together now; count only the turns that were right.",
	"Hear the whole of it in your head first, then play just that.",
	"Turn the page face down: by heart, then check what you changed.",
	"Start from the bar before without stopping, as it will come in the part.",
	"One turn for the notes, one for the rhythm, the last for the music.",
}

// again are for the second visit of a day.
var again = []string{
	"Again, cold: the first turn is the one that counts.",
	"Back to it; write down how many turns were right.",
	"Once more after the other work: it should start where you left it.",
	"Again, and this time record it and listen before you go on.",
	"A second look: do by ear what you did by thinking.",
}

// spot are for the last days.
var spot = []string{
	"At tempo, first turn right; the slow ones only to confirm it.",
	"As if the red light were on: count in, one go, then mend.",
	"Come in from silence, at tempo, with the right character at once.",
}

var lightSpot = []string{
	"Softly and slowly, for the sound alone; leave it while it is good.",
	"Easy and slow; nothing new today.",
}

var beforeTakes = []string{
	"Once at tempo, once slowly, once at tempo; then leave it alone.",
	"The same here, and no more: save the lip for the takes.",
}

// fullLine is for phrases with trouble in them, plainLine for those without.
var fullLine = []string{
	"The hard bars are no slower and no louder here for being hard.",
	"Sung once as one line, then played as it was sung.",
	"In one breath plan: breathe where it is marked, and nowhere else.",
	"Choose the note it leads to, and let all the others go there.",
	"Start it as if you came from the phrase before.",
}

var plainLine = []string{
	"No traps here: for the sound and the line.",
	"Easy bars, played as well as the hard ones.",
	"The character first; the notes take care of themselves here.",
}

var lateLine = []string{
	"At tempo, for the music alone.",
	"One line, one direction, the end as good as the start.",
	"As it should sound in the hall.",
	"With the phrase before it in your ear.",
}

var awayWords = []string{
	"Without the horn: read the page from start to end. Mark breaths and positions, say the rhythm of the hard bars, and listen to the reference once with the page in hand.",
}

var listenWords = []string{
	"Record one run, slow enough to get through, without stopping; keep it, and send it to your coach.",
	"Record one run and hold it against last week's: name one thing that is better and one to mend.",
	"Record one run for your coach; what slips in it comes back next week.",
}

var runWords = []string{
	"The whole part without stopping; what slips is left behind and looked at afterwards.",
	"From start to end, thinking one bar ahead all the way.",
	"Whole part: breaths as marked, rests counted to their full length.",
}

const lightRunWords = "Once through, at ease and no louder than mezzo forte, and trust it. Then put the horn away until tomorrow."

var mockWords = []string{
	"Mock take: walk in, breathe, count a bar, play it once for the recording, whatever happens. Then sit down and listen with the page.",
	"Mock take, the first thing after the spot checks, as on the day: one chance. Listen back before you judge.",
	"Mock take for somebody who listens, or for the camera. Write down three things, in the order notes, rhythm, articulation, dynamics.",
}

var mockAgain = []string{
	"A second take, with one thing changed and all else as it was.",
	"Another one, for the line and the sound only.",
	"Last take of the day: perform it.",
}

var realWords = []string{
	"First take: to get it on record, safe and whole.",
	"Second take: the same, with more line.",
	"Third take: take the risks you kept from the first two.",
	"Another only if you know what it is to do better.",
	"The last one, if the lip is fresh; otherwise stop here and choose.",
}

// say gives the next of several ways to say a thing.
func (p *planner) say(words []string) string {
	n := p.said[words[0]]
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
	takes := 0
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
			it.What = p.takeWords(takes, d.Phase)
			takes++
		}
	}
	strengthWords(d.Items, d.Phase, func(it Item) bool { return p.segments[it.segment].strong })
	d.Focus = p.focus(k, d)
}

func (p *planner) visitWords(it *Item, phase Phase) string {
	seg, met := &p.segments[it.segment], p.seen[it.segment].met
	stage, first := seg.stageOf(met)
	text := ""
	switch {
	case phase == DayBefore:
		return p.say(lightSpot)
	case phase == Recording:
		return p.say(beforeTakes)
	case it.round > 0:
		text = p.say(again)
	case phase == Late:
		text = p.say(spot)
	case first:
		text = p.once(seg.advice(stage), ways[stage])
		if met == 0 {
			text = "New: " + seg.Name + ". " + text
		}
	default:
		text = p.say(together)
	}
	return text
}

// strengthWords say how loud, at the first place of a day that is loud or high.
func strengthWords(items []Item, phase Phase, strong func(Item) bool) {
	i := slices.IndexFunc(items, func(it Item) bool { return it.Kind == Visit && strong(it) })
	switch {
	case i < 0:
	case phase == Early:
		items[i].What += " At mezzo forte, here and wherever it is loud or high today: the strength comes later."
	case phase == Middle || phase == Late:
		items[i].What += " Full strength in the last turn alone, here and wherever it is loud or high today."
	}
}

// advice is what the heaviest finding of a stage says to do.
func (s *Segment) advice(stage finding.Stage) string {
	for _, f := range s.found {
		if f.Stage == stage {
			return f.Do
		}
	}
	return ""
}

func (p *planner) phraseWords(it *Item, phase Phase) string {
	var inside []string
	trouble := false
	for _, s := range p.segments {
		trouble = trouble || it.span.meets(s.core)
		if it.span.holds(s.core) && it.span != s.core && s.State != InRuns {
			inside = append(inside, barText(s.Core))
		}
	}
	switch {
	case phase == Late:
		return p.say(lateLine)
	case len(inside) > 1:
		return p.once(fmt.Sprintf("One line now, with %s in it; play through the joins.", joinAnd(inside)), fullLine)
	case len(inside) == 1:
		return p.once(fmt.Sprintf("The phrase around %s, so that it has somewhere to come from and to go to.", inside[0]), fullLine)
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

func (p *planner) takeWords(n int, phase Phase) string {
	switch {
	case phase == Recording:
		return realWords[min(n, len(realWords)-1)]
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
	var turns []string
	for _, add := range []struct{ kind, words string }{
		{"low", "then slurs down, a step lower each time, on warm slow air"},
		{"high", "then slurs up by partials, stopping before it is work"},
		{"soft-and-low", "then low notes from nothing, each one speaking at once"},
		{"leap", "then octaves and tenths, sung first"},
		{"glissando", "then slow glissandi on one partial, the air steady"},
		{"sudden", "then one note loud and soft in turn, the pitch staying"},
	} {
		if slices.ContainsFunc(p.m.Findings, func(f finding.Finding) bool { return f.Kind == add.kind }) {
			turns = append(turns, add.words)
		}
	}
	start := []string{"Long notes in the middle, soft", "Breathe a few times, then long notes from the middle outward", "Buzz or sing a phrase, then long notes"}[k%3]
	switch {
	case p.days[k].phase == Recording:
		return fmt.Sprintf("Warm up as on every other day, no more: long notes, %s.", scale)
	case p.days[k].phase == DayBefore || len(turns) == 0:
		return fmt.Sprintf("%s, %s.", start, scale)
	}
	return fmt.Sprintf("%s, %s, %s.", start, scale, turns[k%len(turns)])
}

// focus is the day in one sentence.
func (p *planner) focus(k int, d *Day) string {
	var fresh []string
	var stages []finding.Stage
	for _, it := range d.Items {
		if it.Kind == Visit && it.round == 0 && p.seen[it.segment].met == 0 {
			s := p.segments[it.segment]
			fresh = append(fresh, barText(s.Bars))
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
		return fmt.Sprintf("%s first: %s new today.", upper(stageList(stages)), areNew(fresh))
	case d.Phase == Early:
		return "Nothing new: what is known gets safer."
	}
	return p.say([]string{"Details become phrases.", "Mixed work: nothing twice in a row.", "Closer to the tempo, and longer lines.", "The joins today: no place stands by itself."})
}

func areNew(bars []string) string {
	if len(bars) == 1 && !strings.HasPrefix(bars[0], "bars") {
		return joinAnd(bars) + " is"
	}
	return joinAnd(bars) + " are"
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
