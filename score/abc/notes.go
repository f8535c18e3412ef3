package abc

import (
	"fmt"

	"waterkey/score"
)

// written is one note or rest of the voice.
type written struct {
	at       spot
	id       string
	bar      int
	onset    score.Time // from the start of the part
	duration score.Time // 0 for a grace note
	rest     bool
	hidden   bool // an invisible rest
	wholeBar bool
	grace    bool
	slashed  bool

	pitch, page score.Pitch // sounding, on the page
	value       score.Time
	dots        int
	ratio       score.Ratio
	accidental  string
	courtesy    bool

	tieTo            bool
	marks            score.Mark
	gliss            bool
	slurs, ends      int // slurs that start, end here
	slurFrom, slurTo bool
}

// nextNote is what stands in front of a note and waits for it.
type nextNote struct {
	marks    score.Mark
	gliss    bool
	courtesy bool
	slurs    int
}

// dropMarks says that marks stand over something that cannot carry them. A breath
// mark there comes after the note before; a slur waits on.
func (r *reader) dropMarks(over string) {
	if r.next.marks.Has(score.BreathAfter) {
		r.breathe()
		r.next.marks &^= score.BreathAfter
	}
	if r.next.marks != 0 || r.next.gliss {
		r.passOnce("%s was left out", over)
	}
	r.next = nextNote{slurs: r.next.slurs}
}

// breathe puts a breath mark on the last note.
func (r *reader) breathe() {
	if r.lastNote != nil {
		r.lastNote.marks |= score.BreathAfter
	}
}

// newWritten makes a note or rest at the cursor.
func (r *reader) newWritten() *written {
	if len(r.written) >= maxNotes {
		r.fail("the voice has more than %d notes and rests", maxNotes)
	}
	r.openBar()
	r.elements++
	prefix := ""
	if r.voice.number > 1 {
		prefix = fmt.Sprintf("p%d", r.voice.number)
	}
	return &written{at: r.here, bar: len(r.out.Bars) - 1, onset: r.now(),
		id: fmt.Sprintf("%sb%dn%d", prefix, len(r.out.Bars), r.elements)}
}

// note takes a note by itself, of a chord or of graces.
func (r *reader) note(k token) {
	if k.length.num == 0 || k.length.den == 0 || k.length.num > maxLength || k.length.den > maxLength {
		if k.length.num == 0 && k.length.den > 0 {
			r.pass("a note of length 0 was left out")
			return
		}
		r.badLength(k.length)
	}
	w := r.newWritten()
	w.page, w.pitch = r.pitches(k)
	w.accidental = accidentalNames[k.accidental]
	switch {
	case r.chord != nil:
		if len(r.chord.notes) == 0 {
			r.chord.first = k.length
		}
		if r.chord.notes = append(r.chord.notes, w); len(r.chord.notes) > maxChord {
			r.fail("the chord has more than %d notes", maxChord)
		}
	case r.grace != nil:
		r.putGrace([]*written{w})
	default:
		r.put([]*written{w}, r.lengthOf(k.length))
	}
}

func (r *reader) badLength(f fraction) {
	r.fail("the length %d/%d is beyond the limit of %d over %d", f.num, f.den, maxLength, maxLength)
}

// lengthOf multiplies the unit note length.
func (r *reader) lengthOf(fs ...fraction) score.Time {
	t := r.unit
	for _, f := range fs {
		if f.num < 1 || f.den < 1 || f.num > maxLength || f.den > maxLength {
			r.badLength(f)
		}
		t = t.Scale(f.num, f.den)
	}
	if score.Frac(maxWholes, 1).Less(t) {
		r.fail("a note of %s whole notes is beyond the limit of %d", t, maxWholes)
	}
	return t
}

// rest takes z, x, Z or X (4.5).
func (r *reader) rest(k token) {
	hidden := k.letter == 'x' || k.letter == 'X'
	if hidden {
		r.passOnce("invisible rests were left out; their time was kept")
	}
	switch {
	case r.chord != nil || r.grace != nil:
		r.pass("a rest among the notes of a chord or grace was left out")
	case k.letter == 'Z' || k.letter == 'X':
		r.wholeBars(k, hidden)
	case k.length.num == 0 && k.length.den > 0:
		r.pass("a rest of length 0 was left out")
	default:
		length := r.lengthOf(k.length)
		w := r.newWritten()
		w.rest, w.hidden = true, hidden
		r.put([]*written{w}, length)
	}
}

// wholeBars takes Z4: so many bars of rest.
func (r *reader) wholeBars(k token, hidden bool) {
	n := int(k.length.num)
	if k.length.den != 1 || n < 1 || n > maxRestBars {
		r.fail("a rest of %d/%d bars; from 1 to %d are read", k.length.num, k.length.den, maxRestBars)
	}
	if r.meter.Unit == 0 {
		r.pass("a whole-bar rest without meter has no length and was left out")
		return
	}
	for i := range n {
		if i > 0 {
			r.closeBar()
		}
		fresh := !r.bars.open
		w := r.newWritten()
		if i == 0 && n > 1 && fresh && !hidden {
			r.thisBar().RestBars = n
		}
		w.rest, w.hidden, w.wholeBar = true, hidden, true
		w.duration = r.meter.Length()
		r.take([]*written{w})
		r.bars.at = r.bars.at.Add(w.duration)
	}
	r.rhythm.last, r.ties = nil, nil
}

// take lists a note or one note of a chord, with what waits for it.
func (r *reader) take(notes []*written) *written {
	w := r.oneOf(notes)
	for _, other := range notes {
		if other != w {
			w.ends += other.ends
		}
	}
	w.marks, w.gliss, w.courtesy, w.slurs = r.next.marks, r.next.gliss, r.next.courtesy, w.slurs+r.next.slurs
	r.signsAtNote()
	if w.rest {
		if w.marks.Has(score.BreathAfter) {
			r.breathe()
		}
		r.next = nextNote{slurs: w.slurs}
		w.slurs = 0
	} else {
		r.next, r.lastNote = nextNote{}, w
	}
	r.written = append(r.written, w)
	return w
}
