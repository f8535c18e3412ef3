package abc

import (
	"regexp"
	"slices"
	"strings"

	"waterkey/score"
)

// readHeader reads the fields of the header, and at its end the voice's own
// properties. The last field of a kind holds (3).
func (r *reader) readHeader() {
	t := r.voice.tune
	var tempo *entry
	for e := range t.header {
		r.here = spot{e.line, 1}
		switch e.letter {
		case 'T', 'X', 'V', 'r':
		case 'C':
			r.composer(e.text)
		case 'Q':
			tempo = &e // needs the unit note length
		case 'P':
			r.passOnce("the order of the parts %q was left out; the bars were read as they are written", cut(e.text))
		default:
			r.field(e.letter, e.text)
		}
	}
	if len(t.titles) > 0 {
		r.out.Title = t.titles[0]
	}
	r.defaultUnit()
	if tempo != nil {
		r.here = spot{tempo.line, 1}
		r.tempo(tempo.text)
	}
	for e := range t.header {
		if e.letter == 'V' && t.voice(e.text) == r.voice {
			r.here = spot{e.line, 1}
			r.field('V', e.text)
		}
	}
	r.background()
}

// composer joins several composers (3.1.3).
func (r *reader) composer(value string) {
	if name := plainText(value); r.out.Composer == "" {
		r.out.Composer = name
	} else if name != "" {
		r.out.Composer += "; " + name
	}
}

// cut shortens a value for a sentence.
func cut(s string) string {
	if c := []rune(s); len(c) > 40 {
		return string(c[:40]) + "..."
	}
	return s
}

// field takes one information field in header or body (3.1).
func (r *reader) field(letter byte, value string) {
	switch letter {
	case 'K':
		r.keyField(value)
	case 'M':
		r.meterField(value)
	case 'L':
		r.unitField(value)
	case 'Q':
		r.tempo(value)
	case 'V':
		if p := properties(value); len(p) > 0 {
			r.setStaff(p[1:])
		}
	case 'U':
		r.define(value)
	case 'I':
		r.instruction(value)
	case 'P':
		r.label("[" + plainText(value) + "]")
	case 'T':
		r.label(plainText(value))
	case 'm':
		r.passOnce("the macro %q was left out; its target is read as it is written", cut(value))
	case 's':
		r.pass("a line of symbols (s:) was left out")
	case 'w', 'W':
		r.passOnce("the words to the notes (w:, W:) were left out")
	case 'r': // a remark
	case 'A', 'B', 'D', 'E', 'F', 'G', 'H', 'N', 'O', 'R', 'S', 'Z':
		r.extra[letter] = true
	default:
		r.passOnce("the field %s: was left out; the standard does not define it here", string(rune(letter)))
	}
}

// background says which fields of text about the tune its header holds.
func (r *reader) background() {
	if len(r.extra) == 0 {
		return
	}
	var letters []string
	for c := range r.extra {
		letters = append(letters, string(rune(c))+":")
	}
	slices.Sort(letters)
	r.here = spot{r.voice.tune.line, 1}
	r.pass("text about the tune was left out (%s)", strings.Join(letters, " "))
}

// label lists a heading in the music.
func (r *reader) label(text string) {
	if strings.Trim(text, "[] ") != "" {
		r.out.Words = append(r.out.Words, score.Words{At: r.now(), Text: text})
	}
}

// dialect finds the I:linebreak and I:decoration instructions of the header
// (6.1.1, 12.1.2); a later one goes before an earlier.
func (t *tune) dialect() (d dialect) {
	for e := range t.header {
		name, value, _ := strings.Cut(e.text, " ")
		if e.letter != 'I' {
			continue
		}
		switch {
		case name == "linebreak":
			d.bangBreaks = strings.Contains(value, "!")
			d.plusMarks = d.plusMarks || d.bangBreaks
		case name == "decoration":
			d.plusMarks = strings.TrimSpace(value) == "+"
		case name == "continueall": // 10.4
			d.bangBreaks, d.plusMarks = true, true
		}
	}
	return d
}

// carry is how far an accidental reaches (11.3).
type carry string

const (
	carryNot    carry = "not"
	carryOctave carry = "octave"
	carryPitch  carry = "pitch" // all octaves, the default
)

// transposing matches the directives of some programs that transpose; they are
// no part of the standard (from memory).
var transposing = regexp.MustCompile(`(?i)^(transpose|shift|MIDI +(transpose|rtranspose)|score.*transpose)\b`)

// instruction takes an I: field or a %% directive. Those about layout and
// playback by other programs are ignored (11).
func (r *reader) instruction(value string) {
	name, arg, _ := strings.Cut(value, " ")
	arg = strings.TrimSpace(arg)
	switch {
	case name == "propagate-accidentals":
		switch c := carry(arg); c {
		case carryNot, carryOctave, carryPitch:
			r.carry = c
		default:
			r.pass("propagate-accidentals %q was left out; not, octave and pitch are read", cut(arg))
		}
	case name == "abc-include":
		r.pass("the file %q was not included", cut(arg))
	case name == "measurefirst" || name == "setbarnb":
		r.setBarNumber(arg)
	case transposing.MatchString(value):
		r.pass("the directive %q was left out; the notes stand as written. transpose= in K: or V: is read", cut(value))
	}
}
