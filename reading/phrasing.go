package reading

import (
	"fmt"
	"math"
	"regexp"
	"strings"

	"waterkey/finding"
)

// phrasing is the line of a page with its phrases, worked out once for all the
// findings of the stage.
type phrasing struct {
	*line
	list    []Phrase
	spans   []lineSpan // of the line, one for each of list
	between []lineSpan // the entrances between long rests when rests rule the part, else nil
}

// Rests rule a part when they take a third of its time and cut it into three
// entrances or more: then it is learned by its entrances (estimates).
const (
	restShare     = 1.0 / 3
	fewestEntries = 3
)

func newPhrasing(p *Page) *phrasing {
	ph := &phrasing{line: newLine(p)}
	ph.list, ph.spans = ph.phrases(), ph.cuts()
	entries, played := ph.entries(), 0.0
	for _, e := range entries {
		played += ph.seconds(e)
	}
	if len(entries) >= fewestEntries && played < (1-restShare)*float64(p.Through.Length()) {
		ph.between = entries
	}
	return ph
}

// choices is the whole stage: phrases, weight, breaths.
func choices(p *Page) []finding.Finding {
	ph := newPhrasing(p)
	if len(ph.notes) == 0 {
		return nil
	}
	var out []finding.Finding
	for _, kind := range []func(*phrasing) []finding.Finding{phrase, weight, breathing, noRoom} {
		out = append(out, kind(ph)...)
	}
	return out
}

// phrase lists the phrases of the part and where each leads; of a part that rests
// rule, the entrances.
func phrase(ph *phrasing) []finding.Finding {
	if ph.between != nil {
		return ph.entrances()
	}
	parts := ph.leads()
	if len(parts) == 0 {
		return nil
	}
	says := parts[0]
	if len(ph.list) > 1 {
		if n := len(parts) - maxPlaces; n > 1 {
			parts = append(parts[:maxPlaces], fmt.Sprintf("%d more phrases", n))
		}
		says = capital(plural(len(ph.list), "phrase")) + ph.commonBars() + ": " + joinAnd(parts)
	}
	f := ph.p.finding("phrase", 0.3, 0, len(ph.p.Part.Bars)-1, capital(says)+".",
		"Sing each one in a single line before you play it, and know the note it goes to before you start it.")
	for _, one := range ph.list {
		f.Places = append(f.Places, ph.p.bars(ph.p.note(one.First).Bar, ph.p.note(one.Last).Bar))
	}
	return []finding.Finding{f}
}

// fewestNotes is how many notes a phrase must have to lead anywhere (estimate).
const fewestNotes = 4

// goes says whether it is worth saying where phrase k leads.
func (ph *phrasing) goes(k int) bool {
	s := ph.spans[k]
	return ph.list[k].Goal != ph.list[k].First && s.to-s.from+1 >= fewestNotes
}

// leads says of each phrase that goes somewhere where: "bars 1 to 4 lead to the C4 in
// bar 2", "bars 5 to 8 to the F3 in bar 8".
func (ph *phrasing) leads() []string {
	var out []string
	for k, one := range ph.list {
		if !ph.goes(k) {
			continue
		}
		from, to := ph.p.note(one.First).Bar, ph.p.note(one.Last).Bar
		goal := ph.p.note(one.Goal)
		verb := ""
		if len(out) == 0 {
			verb = "lead "
			if from == to {
				verb = "leads "
			}
		}
		where := "in bar " + ph.p.number(goal.Bar)
		if from == to {
			where = "on beat " + ph.p.beat(goal)
		}
		out = append(out, fmt.Sprintf("%s %sto the %s %s", ph.p.barText(from, to), verb, nameOf(goal), where))
	}
	return out
}

// commonBars is " of four bars" when all phrases are, ", most of four bars" when two
// thirds are, and else "".
func (ph *phrasing) commonBars() string {
	count := map[int]int{}
	for _, s := range ph.spans {
		if bar := ph.p.Part.Bars[ph.note(s.from).Bar].Meter.Length().Float(); bar > 0 {
			end := ph.onsets[s.to] + ph.length(s.to)
			if s.to+1 < len(ph.onsets) {
				end = ph.onsets[s.to+1]
			}
			count[int(math.Round((end-ph.onsets[s.from])/bar))]++
		}
	}
	for bars, n := range count {
		switch {
		case bars == 0:
		case n == len(ph.spans):
			return " of " + plural(bars, "bar")
		case 3*n >= 2*len(ph.spans):
			return ", most of " + plural(bars, "bar")
		}
	}
	return ""
}

// longRest is a rest after which a soft entrance stands exposed (seconds, estimate:
// the lips are cold and the hall is listening to others).
const longRest = 10.0

var soloWord = regexp.MustCompile(`(?i)\bsol[oi]\b`)

// entrances says how many entrances the part has and which are exposed.
func (ph *phrasing) entrances() []finding.Finding {
	p := ph.p
	solos := ph.solos()
	var soft, solo []int
	for k, e := range ph.between {
		first := ph.notes[e.from]
		before := float64(p.Through.Notes[first].Start)
		if k > 0 {
			before = ph.silence(e.from - 1)
		}
		switch {
		case solos[k]:
			solo = append(solo, first)
		case before >= longRest && ph.levels.At(p.note(first).Onset) <= softStep:
			soft = append(soft, first)
		}
	}
	says := capital(plural(len(ph.between), "entrance")) + " between rests"
	var exposed []string
	if len(solo) > 0 {
		exposed = append(exposed, p.barList(p.runs(solo, -1))+", marked solo")
	}
	if len(soft) > 0 {
		exposed = append(exposed, p.barList(p.runs(soft, -1))+", soft after a long rest")
	}
	do := "Count every rest, and breathe in tempo before each entrance as if you had played all along."
	if len(exposed) > 0 {
		says += "; exposed: " + strings.Join(exposed, "; ")
		do = "Know what the hall hears just before each exposed one, breathe in tempo, and start with air that already moves."
	}
	var starts []int
	for _, e := range ph.between {
		starts = append(starts, ph.notes[e.from])
	}
	return p.merged("phrase", 0.3, p.runs(starts, -1), says+".", do)
}

// solos are the entrances over which the page says solo.
func (ph *phrasing) solos() map[int]bool {
	out := map[int]bool{}
	k := 0
	for _, w := range ph.p.Part.Words {
		for k < len(ph.between)-1 && !w.At.Less(ph.note(ph.between[k].to).End()) {
			k++
		}
		if soloWord.MatchString(w.Text) {
			out[k] = true
		}
	}
	return out
}
