package musicxml

import (
	"math"

	"waterkey/score"
)

// transposition leads from the page to the sound.
type transposition struct {
	diatonic, chromatic int
	cents               float64
}

// diatonicOf is the number of scale steps in the usual spelling of an interval
// of so many semitones, for files that give only those.
var diatonicOf = [12]int{0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6}

func (r *reader) setTransposition(el *element) {
	num, den, ok := decimal(el.child("chromatic").value())
	if !ok || abs(num) > maxTranspose*den {
		r.fail(el, "chromatic %q is not a number of semitones from %d to %d", el.child("chromatic").value(), -maxTranspose, maxTranspose)
	}
	semitones := math.Round(float64(num) / float64(den))
	t := transposition{chromatic: int(semitones), cents: 100 * (float64(num)/float64(den) - semitones)}
	octaves := r.integer(el.child("octave-change"), -maxTranspose/12, maxTranspose/12, 0)
	size := int(abs(int64(t.chromatic)))
	usual := size/12*7 + diatonicOf[size%12]
	if t.chromatic < 0 {
		usual = -usual
	}
	t.diatonic = r.integer(el.child("diatonic"), -maxTranspose, maxTranspose, usual) + 7*octaves
	t.chromatic += 12 * octaves
	if el.has("double") {
		r.passOnce(el, "a doubling at the octave was left out")
	}
	r.shift = t
}

func abs(n int64) int64 { return max(n, -n) }

// sound transposes a written pitch. A spelling beyond a triple alteration is
// replaced by the plain name of the same key on the keyboard.
func (t transposition) sound(p score.Pitch) score.Pitch {
	q := p.Transpose(t.diatonic, t.chromatic)
	if q.Alter > maxAlter || q.Alter < -maxAlter {
		q = score.PitchFromMIDI(q.MIDI())
	}
	q.Cents = p.Cents + t.cents
	return q
}

func (r *reader) checkStep(el *element) {
	if s := el.value(); len(s) != 1 || s[0] < 'A' || s[0] > 'G' {
		r.fail(el, "%s %q is not a letter from A to G", el.name, s)
	}
}

// pitch reads a <pitch>, as on the page.
func (r *reader) pitch(el *element) score.Pitch {
	step := el.child("step")
	if step == nil || !el.has("octave") {
		r.fail(el, "the pitch lacks its step or octave")
	}
	r.checkStep(step)
	p := score.Pitch{}
	if alter := el.child("alter"); alter != nil {
		p = r.alteration(alter)
	}
	p.Step = step.value()[0]
	p.Octave = r.integer(el.child("octave"), 0, maxOctave, 0)
	return p
}

// alteration reads semitones, a fraction of one as cents: 1.5 is a sharp and
// 50 cents.
func (r *reader) alteration(el *element) score.Pitch {
	num, den, ok := decimal(el.value())
	if !ok || abs(num) > maxAlter*den {
		r.fail(el, "%s %q is not a number of semitones from %d to %d", el.name, el.value(), -maxAlter, maxAlter)
	}
	whole := num / den
	cents := 100 * float64(num-whole*den) / float64(den)
	switch {
	case cents > 50:
		whole, cents = whole+1, cents-100
	case cents < -50:
		whole, cents = whole-1, cents+100
	}
	return score.Pitch{Alter: int(whole), Cents: cents}
}
