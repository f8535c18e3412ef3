package abc

import (
	"waterkey/score"
)

// accidentalPlace is where an accidental holds: a letter in an octave, or in all when the
// accidentals carry over octaves.
type accidentalPlace struct {
	step   byte
	octave int
}

// accidentalNames are the names of the printed accidentals in the score.
var accidentalNames = map[string]string{"^^": "double-sharp", "^": "sharp", "=": "natural", "_": "flat", "__": "flat-flat"}

// pitches finds the note of a letter: on the page and in sound (4.1, 4.2, 4.6).
func (r *reader) pitches(k token) (page, sound score.Pitch) {
	code := score.Pitch{Step: k.letter, Octave: 4 + k.octave + r.staff.octave + r.staff.clef.Octave}
	if k.letter >= 'a' {
		code.Step -= 'a' - 'A'
		code.Octave++
	}
	page = code
	page.Octave += r.staff.middle
	code.Alter = r.alteration(k.accidental, code, page)
	page.Alter = code.Alter
	sound = transposed(code, r.staff.transpose)
	for _, p := range []score.Pitch{page, sound} {
		if p.Octave < minOctave || p.Octave > maxOctave {
			r.fail("the note %s lies outside of the octaves %d to %d; middle C is C4", p, minOctave, maxOctave)
		}
	}
	return page, sound
}

// alteration is what alters a note: its own accidental, one before it in the
// bar, the note it is tied to, or the key.
func (r *reader) alteration(accidental string, code, page score.Pitch) int {
	at := accidentalPlace{code.Step, code.Octave}
	if r.carry == carryPitch {
		at.octave = 0
	}
	if accidental != "" {
		if r.carry != carryNot {
			r.altered[at] = alterations[accidental]
		}
		return alterations[accidental]
	}
	for _, w := range r.ties {
		if r.grace == nil && w.page.Step == page.Step && w.page.Octave == page.Octave {
			return w.page.Alter
		}
	}
	if alter, ok := r.altered[at]; ok {
		return alter
	}
	return r.signed[code.Step]
}

// diatonicOf is the number of scale steps in the usual spelling of an interval
// of so many semitones.
var diatonicOf = [12]int{0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6}

// maxAlter is the furthest alteration that is kept in spelling, in semitones.
const maxAlter = 3

// transposed moves a pitch by semitones, spelled by the usual interval.
func transposed(p score.Pitch, semitones int) score.Pitch {
	size := max(semitones, -semitones)
	diatonic := size/12*7 + diatonicOf[size%12]
	if semitones < 0 {
		diatonic = -diatonic
	}
	q := p.Transpose(diatonic, semitones)
	if q.Alter > maxAlter || q.Alter < -maxAlter {
		q = score.PitchFromMIDI(q.MIDI())
	}
	return q
}
