package musicxml

import (
	"maps"
	"regexp"
	"slices"
	"strings"

	"waterkey/score"
)

// attack is a dynamic accent that looks for its note.
type attack struct {
	at   score.Time
	bar  int
	line int
	mark string
}

// accents are the dynamics at one note only, with the level that holds after
// them.
var accents = map[string]string{
	"sf": "", "sfz": "", "sffz": "", "fz": "", "rf": "", "rfz": "", "sff": "", "ffz": "", "sfffz": "",
	"fp": "p", "sfp": "p", "sfpp": "pp", "sfzp": "p", "ffp": "p", "fpp": "pp", "mfp": "p", "pf": "f",
}

// maxJoined is the most signs that make one dynamic mark together, as three of f
// may make fff: the format's own longest mark has six letters.
const maxJoined = 6

// dynamics reads one group of dynamics: its levels, accents and words.
func (r *reader) dynamics(el *element, at score.Time) {
	joined := ""
	for _, c := range el.children[:min(len(el.children), maxJoined)] {
		if c.name != "other-dynamics" {
			joined += c.name
		}
	}
	if _, level := score.LevelStep(joined); level && len(el.children) > 1 && len(el.children) <= maxJoined && !el.has("other-dynamics") || accentKnown(joined) {
		r.dynamic(el, at, joined) // p and p for pp, f and p for fp
		return
	}
	for _, c := range el.children {
		if c.name == "other-dynamics" {
			r.spendWords(c, len(c.text))
			r.dynamic(c, at, score.Plain(c.text))
		} else {
			r.dynamic(c, at, c.name)
		}
	}
}

func accentKnown(mark string) bool { _, ok := accents[mark]; return ok }

func (r *reader) dynamic(el *element, at score.Time, mark string) {
	if _, ok := score.LevelStep(mark); ok {
		r.addLevel(at, mark)
		return
	}
	if !accentKnown(mark) {
		r.addWords(at, mark)
		return
	}
	r.attacks = append(r.attacks, attack{at, r.bar, el.line, mark})
	if after := accents[mark]; after != "" {
		r.addLevel(at, after)
	}
}

// addLevel lists a level unless the same one was just listed there.
func (r *reader) addLevel(at score.Time, mark string) {
	if n := len(r.out.Dynamics); n > 0 && r.out.Dynamics[n-1].At == at && r.out.Dynamics[n-1].Mark == mark {
		return
	}
	r.out.Dynamics = append(r.out.Dynamics, score.DynamicMark{At: at, Bar: r.bar, Mark: mark})
}

// spanReader holds the hairpins and gradual words that are open.
type spanReader struct {
	wedges map[string]*span
	dashes map[string]*span

	text         string // looked at last
	grow, shrink bool   // what it says
	dropped      bool   // words were dropped
}

type span struct {
	at   score.Time
	bar  int
	line int
	grow bool
	text string
	word int // where the text stands in the list of words, or is going to

	niente bool
}

// wedge opens or closes a hairpin.
func (r *reader) wedge(el *element, at score.Time) {
	if r.spans.wedges == nil {
		r.spans.wedges = map[string]*span{}
	}
	switch n := numberOf(el); el.attr("type") {
	case "crescendo", "diminuendo":
		if old := r.spans.wedges[n]; old != nil {
			r.closeSpan(old, at)
		}
		r.spans.wedges[n] = &span{at: at, bar: r.bar, line: el.line, grow: el.attr("type") == "crescendo", niente: el.attr("niente") == "yes"}
	case "stop":
		if old := r.spans.wedges[n]; old != nil {
			old.niente = old.niente || el.attr("niente") == "yes"
			r.closeSpan(old, at)
			delete(r.spans.wedges, n)
		} else {
			r.pass(el, "the end of a hairpin without a start was left out")
		}
	}
}

func (r *reader) closeSpan(s *span, to score.Time) {
	r.out.Wedges = append(r.out.Wedges, score.Wedge{From: s.at, To: to, FromBar: s.bar, ToBar: r.bar, Grow: s.grow, Niente: s.niente})
}

var (
	growing   = regexp.MustCompile(`(?i)\bcresc`)
	shrinking = regexp.MustCompile(`(?i)\b(dim\b|dimin|decresc)`)
)

// dashes gives the words crescendo and diminuendo their extent. The words then
// leave the list of words: the wedge holds them.
func (r *reader) dashes(el *element, at score.Time, words string) {
	if r.spans.dashes == nil {
		r.spans.dashes = map[string]*span{}
	}
	n := numberOf(el)
	switch el.attr("type") {
	case "start":
		text, word := words, len(r.out.Words)
		if text == "" {
			text, word = r.wordsAt(at), word-1
		}
		switch grow, shrink := r.spans.says(text); {
		case grow || shrink:
			r.spans.dashes[n] = &span{at: at, bar: r.bar, line: el.line, grow: grow, text: text, word: word}
		case text == "":
			r.passOnce(el, "dashes without words were left out")
		}
	case "stop":
		if s := r.spans.dashes[n]; s != nil {
			r.closeSpan(s, at)
			r.dropWords(s)
			delete(r.spans.dashes, n)
		}
	}
}

// wordsAt is the last text listed, if it stands at a moment.
func (r *reader) wordsAt(at score.Time) string {
	if n := len(r.out.Words); n > 0 && r.out.Words[n-1].At == at {
		return r.out.Words[n-1].Text
	}
	return ""
}

// says is whether words call for growing or for shrinking.
func (s *spanReader) says(text string) (grow, shrink bool) {
	if text != s.text {
		s.text, s.grow, s.shrink = text, growing.MatchString(text), shrinking.MatchString(text)
	}
	return s.grow, s.shrink
}

// dropWords empties the words that a wedge holds; removeDropped takes them out.
func (r *reader) dropWords(s *span) {
	if s.word >= len(r.out.Words) {
		return
	}
	if w := &r.out.Words[s.word]; w.At == s.at && strings.EqualFold(w.Text, s.text) {
		w.Text, r.spans.dropped = "", true
	}
}

func (r *reader) removeDropped() {
	if r.spans.dropped {
		r.out.Words = slices.DeleteFunc(r.out.Words, func(w score.Words) bool { return w.Text == "" })
	}
}

// finishSpans says which hairpins and dashes never ended.
func (r *reader) finishSpans() {
	for _, n := range slices.Sorted(maps.Keys(r.spans.wedges)) {
		s := r.spans.wedges[n]
		r.skip.Add(s.bar, s.line, "a hairpin that never ends was left out")
	}
	for _, n := range slices.Sorted(maps.Keys(r.spans.dashes)) {
		s := r.spans.dashes[n]
		r.skip.Add(s.bar, s.line, "the dashes after "+short(s.text)+" never end and were left out")
	}
}
