package abc

import (
	"strings"

	"waterkey/score"
)

// defaultSymbols are the letters and signs that stand for decorations unless a
// U: field says otherwise (4.14, 4.16).
func defaultSymbols() map[byte]string {
	return map[byte]string{
		'.': "!staccato!", '~': "!roll!", 'H': "!fermata!", 'L': "!accent!", 'M': "!lowermordent!", 'O': "!coda!",
		'P': "!uppermordent!", 'S': "!segno!", 'T': "!trill!", 'u': "!upbow!", 'v': "!downbow!",
	}
}

// define reads a U: field (4.16): T = !trill!, p = "^+", T = !nil!.
func (r *reader) define(value string) {
	letter, meaning, ok := strings.Cut(value, "=")
	letter, meaning = strings.TrimSpace(letter), strings.TrimSpace(meaning)
	if !ok || len(letter) != 1 || letter != "~" && !bodyField(letter[0]) || len(meaning) < 2 {
		r.pass("the definition %q was left out; one such as T = !trill! is read", cut(value))
		return
	}
	r.symbols[letter[0]] = meaning
}

// symbol takes a letter or sign in front of a note.
func (r *reader) symbol(letter byte) {
	meaning, ok := r.symbols[letter]
	switch {
	case !ok:
		r.passOnce("%q means nothing here and was left out", string(rune(letter)))
	case meaning[0] == '"':
		r.text(strings.Trim(meaning, `"`))
	default:
		r.decoration(strings.Trim(meaning, "!+"))
	}
}

// noteMarks are the decorations that are marks of a note (4.14). Those of the
// second group are not in the standard's table (from memory).
var noteMarks = map[string]score.Mark{
	"staccato": score.Staccato, "wedge": score.Staccatissimo, "tenuto": score.Tenuto,
	">": score.Accent, "accent": score.Accent, "emphasis": score.Accent,
	"trill": score.Trill, "trill(": score.Trill,
	"lowermordent": score.OtherOrnament, "uppermordent": score.OtherOrnament, "mordent": score.OtherOrnament,
	"pralltriller": score.OtherOrnament, "roll": score.OtherOrnament, "turn": score.OtherOrnament,
	"turnx": score.OtherOrnament, "invertedturn": score.OtherOrnament, "invertedturnx": score.OtherOrnament,
	"fermata": score.Fermata, "invertedfermata": score.Fermata, "breath": score.BreathAfter, "slide": score.Falloff,

	"marcato": score.Marcato, "^": score.Marcato, "umarcato": score.Marcato,
	"/": score.Tremolo, "//": score.Tremolo, "///": score.Tremolo, "////": score.Tremolo,
	"trem1": score.Tremolo, "trem2": score.Tremolo, "trem3": score.Tremolo, "trem4": score.Tremolo,
	"tr": score.Trill, "caesura": score.BreathAfter,
}

// silent are decorations that are fingerings, or say nothing beyond another:
// nothing is said about them.
var silent = map[string]bool{
	"0": true, "1": true, "2": true, "3": true, "4": true, "5": true, "nil": true, "none": true, "": true,
	"trill)": true, "~)": true, "glissando)": true, "editorial": true,
}

// decoration takes a decoration by name: a mark of the next note, a dynamic, a
// hairpin, or a sign that leads through the tune (4.14).
func (r *reader) decoration(name string) {
	if m, ok := noteMarks[name]; ok {
		r.next.marks |= m
		return
	}
	switch name {
	case "<(", "crescendo(":
		r.startWedge(true)
	case ">(", "diminuendo(":
		r.startWedge(false)
	case "<)", "crescendo)":
		r.endWedge(true)
	case ">)", "diminuendo)":
		r.endWedge(false)
	case "~(", "glissando(": // from memory
		r.next.gliss = true
	case "courtesy": // from memory
		r.next.courtesy = true
	case "+", "plus":
		r.passOnce("the mark !%s! was left out; it is a left-hand pizzicato or a rasp", name)
	default:
		if !silent[name] && !r.dynamic(name) && !r.lead(name) {
			r.passOnce("the mark !%s! was left out", cut(name))
		}
	}
}
