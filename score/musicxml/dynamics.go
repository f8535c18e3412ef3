package musicxml

import (
	"regexp"
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

// dynamics reads one group of dynamics: its levels, accents and words.
func (r *reader) dynamics(el *element, at score.Time) {
	joined := ""
	for _, c := range el.children {
		if c.name != "other-dynamics" {
			joined += c.name
		}
	}
	if _, level := score.LevelStep(joined); level && len(el.children) > 1 && !el.has("other-dynamics") || accentKnown(joined) {
		r.dynamic(el, at, joined) // p and p for pp, f and p for fp
		return
	}
	for _, c := range el.children {
		if c.name == "other-dynamics" {
			r.dynamic(c, at, clean(c.text))
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
}

type span struct {
	at   score.Time
	bar  int
	line int
	grow bool
	text string
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
		r.spans.wedges[n] = &span{at, r.bar, el.line, el.attr("type") == "crescendo", ""}
	case "stop":
		if old := r.spans.wedges[n]; old != nil {
			r.closeSpan(old, at)
			delete(r.spans.wedges, n)
		} else {
			r.pass(el, "the end of a hairpin without a start was left out")
		}
	}
}

func (r *reader) closeSpan(s *span, to score.Time) {
	r.out.Wedges = append(r.out.Wedges, score.Wedge{From: s.at, To: to, FromBar: s.bar, ToBar: r.bar, Grow: s.grow})
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
		text := words
		if text == "" {
			text = r.wordsAt(at)
		}
		switch grow := growing.MatchString(text); {
		case grow || shrinking.MatchString(text):
			r.spans.dashes[n] = &span{at, r.bar, el.line, grow, text}
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

func (r *reader) dropWords(s *span) {
	for i := len(r.out.Words) - 1; i >= 0 && !r.out.Words[i].At.Less(s.at); i-- {
		if w := r.out.Words[i]; w.At == s.at && strings.EqualFold(w.Text, s.text) {
			r.out.Words = append(r.out.Words[:i], r.out.Words[i+1:]...)
			return
		}
	}
}

// finishSpans says which hairpins never ended.
func (r *reader) finishSpans() {
	for _, s := range r.spans.wedges {
		r.skip.Add(s.bar, s.line, "a hairpin that never ends was left out")
	}
	for _, s := range r.spans.dashes {
		r.skip.Add(s.bar, s.line, "the dashes after "+s.text+" never end and were left out")
	}
}
