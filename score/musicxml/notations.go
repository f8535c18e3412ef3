package musicxml

import (
	"strings"

	"waterkey/score"
)

// slurEnd is one end of a slur on a note.
type slurEnd struct {
	number string
	start  bool
}

// marks are the articulations, ornaments and techniques that a note carries
// (W3C MusicXML 4.0, articulations, ornaments, technical).
var marks = map[string]score.Mark{
	"accent": score.Accent, "strong-accent": score.Marcato, "staccato": score.Staccato, "tenuto": score.Tenuto,
	"detached-legato": score.Staccato | score.Tenuto, "staccatissimo": score.Staccatissimo, "spiccato": score.Staccatissimo,
	"scoop": score.Falloff, "plop": score.Falloff, "doit": score.Falloff, "falloff": score.Falloff,
	"breath-mark": score.BreathAfter, "caesura": score.BreathAfter,
	"trill-mark": score.Trill, "turn": score.OtherOrnament, "delayed-turn": score.OtherOrnament,
	"inverted-turn": score.OtherOrnament, "delayed-inverted-turn": score.OtherOrnament,
	"vertical-turn": score.OtherOrnament, "inverted-vertical-turn": score.OtherOrnament,
	"shake": score.OtherOrnament, "mordent": score.OtherOrnament, "inverted-mordent": score.OtherOrnament,
	"schleifer": score.OtherOrnament, "haydn": score.OtherOrnament, "tremolo": score.Tremolo,
	"stopped": score.Muted,
}

// silent are children of notations that are layout, follow from something
// else, or are our own marks: nothing is said about them.
var silent = map[string]bool{
	"tuplet": true, "fingering": true, "wavy-line": true, "footnote": true, "level": true,
}

// notations reads ties and everything under <notations>.
func (r *reader) notations(w *written, note *element) {
	w.tieTo, w.tieFrom = ties(note)
	for _, n := range note.all("notations") {
		for _, c := range n.children {
			r.notation(w, c)
		}
		r.wavyLine(w, n)
	}
	if mute := note.child("play").child("mute").value(); mute != "" && mute != "off" {
		w.marks |= score.Muted
	}
}

// wavyLine says where a wavy line starts without a trill sign: it may mean a
// trill or a vibrato (W3C MusicXML 4.0, wavy-line).
func (r *reader) wavyLine(w *written, notations *element) {
	if w.marks.Any(score.Trill|score.OtherOrnament) || w.tieFrom {
		return // the line of the sign, or its continuation
	}
	for _, o := range notations.all("ornaments") {
		for _, line := range o.all("wavy-line") {
			if line.attr("type") == "start" {
				r.passOnce(line, "wavy lines without a trill sign were left out")
			}
		}
	}
}

// ties takes <tie>, the sounding tie; a file that draws ties only (<tied>) is
// taken at its picture.
func ties(note *element) (to, from bool) {
	ties := note.all("tie")
	if len(ties) == 0 {
		for _, n := range note.all("notations") {
			ties = append(ties, n.all("tied")...)
		}
	}
	for _, t := range ties {
		to = to || t.attr("type") == "start"
		from = from || t.attr("type") == "stop"
	}
	return to, from
}

func (r *reader) notation(w *written, el *element) {
	switch el.name {
	case "tied":
	case "slur":
		if kind := el.attr("type"); kind != "continue" {
			w.slurs = append(w.slurs, slurEnd{numberOf(el), kind == "start"})
		}
	case "glissando", "slide":
		w.gliss = w.gliss || el.attr("type") == "start"
	case "fermata":
		w.marks |= score.Fermata
	case "dynamics":
		r.dynamics(el, w.onset)
	case "ornaments":
		for _, c := range el.children {
			r.ornament(w, c)
		}
	case "articulations", "technical":
		for _, c := range el.children {
			r.mark(w, c)
		}
	default:
		r.mark(w, el)
	}
}

func (r *reader) mark(w *written, el *element) {
	if el.name == "harmon-mute" {
		if el.child("harmon-closed").value() != "no" {
			w.marks |= score.Muted
		}
		return
	}
	other, isOther := strings.CutPrefix(el.name, "other-")
	switch m, known := marks[el.name]; {
	case known:
		w.marks |= m
	case isOther && score.Plain(el.text) != "":
		r.passOnce(el, "the %s %q was left out", other, score.Plain(el.text))
	case !silent[el.name]:
		r.passOnce(el, "%s marks on notes were left out", strings.TrimSuffix(el.name, "-mark"))
	}
}

// numberOf is the number that pairs the ends of a spanner, 1 by default.
func numberOf(el *element) string {
	if n := el.attr("number"); n != "" {
		return n
	}
	return "1"
}
