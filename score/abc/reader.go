package abc

import (
	"errors"
	"fmt"

	"waterkey/score"
)

// spot is a place in the file.
type spot struct{ line, col int }

// reader walks one voice of a tune. Inside the walk an error is thrown as a
// panic with a *score.ReadError, as score.Time throws ErrTooFine; guard catches
// both.
type reader struct {
	doc   *Document
	voice *voice
	line  score.Line
	out   *score.Part
	skip  score.PassedOver
	here  spot // being read

	dialect  dialect
	unit     score.Time // unit note length
	unitSet  bool       // by an L: field
	meter    score.Meter
	key      score.Key
	signed   map[byte]int // semitones that the key gives each letter
	staff    staff
	carry    carry
	symbols  map[byte]string
	altered  map[accidentalPlace]int // accidentals in force in the bar
	bars     barReader
	endings  endingReader
	rhythm   rhythmReader
	next     nextNote
	chord    *chord
	grace    *graces
	overlay  int // bar lines until the overlay ends, 0 outside any
	written  []*written
	lastNote *written // that is no rest
	elements int      // notes and rests in the bar, for ids
	ties     []*written
	attacks  []attack
	wedges   map[bool]*span // by crescendo
	extra    map[byte]bool  // header fields of background text
}

// Part reads one line of one voice. Without Selection.Part it is the first voice
// that has notes, as a rule the first of the first tune. Otherwise it is the first
// one that Selection.Part fits, as one of these, tried in this order: its id as
// [Document.Parts] lists it; its name there; its number there from 1 ("2"); the
// id of its V: field ("T1"); the name= in that field; a title of its tune; the
// start of its listed name, when no other name starts so. Case counts in ids
// only.
//
// Of a chord the top or the bottom note is read. A tune without notes and rests
// is an error. What was passed over stands in the part's Skipped list. Every
// error is a [*score.ReadError], and comes with a nil Part.
func (d *Document) Part(sel score.Selection) (*score.Part, error) {
	v, err := d.pick(sel.Part)
	if err != nil {
		return nil, err
	}
	r := newReader(d, v, sel.Line)
	if err := r.guard(r.readTune); err != nil {
		return nil, err
	}
	if first := v.tune.voices[0]; v != first {
		top := newReader(d, first, sel.Line)
		if err := top.guard(func() { top.readTune(); top.compose() }); err != nil {
			return nil, err
		}
		r.takeSystem(top.out)
	}
	if err := r.guard(r.compose); err != nil {
		return nil, err
	}
	return r.out, nil
}

func newReader(d *Document, v *voice, line score.Line) *reader {
	r := &reader{doc: d, voice: v, line: line, skip: score.PassedOver{}, carry: carryPitch,
		signed: map[byte]int{}, altered: map[accidentalPlace]int{}, symbols: defaultSymbols(),
		wedges: map[bool]*span{}, extra: map[byte]bool{}}
	r.out = &score.Part{Name: v.name, ID: v.listed}
	r.dialect = v.tune.dialect()
	r.bars.first = 1
	return r
}

// guard runs a step of the reading and returns what it throws.
func (r *reader) guard(step func()) (err error) {
	defer func() {
		if v := recover(); v != nil {
			err = r.caught(v)
		}
	}()
	step()
	return nil
}

// caught turns what the walk threw into an error; anything else goes on.
func (r *reader) caught(v any) error {
	if e, ok := v.(*score.ReadError); ok {
		return e
	}
	cause, isErr := v.(error)
	if !isErr || !errors.Is(cause, score.ErrTooFine) {
		panic(v)
	}
	e := r.errorHere("")
	e.Err = cause
	return e
}

func (r *reader) errorHere(msg string) *score.ReadError {
	e := &score.ReadError{File: r.doc.file, Part: r.voice.name, Line: r.here.line, Column: r.here.col, Msg: msg}
	if n := len(r.out.Bars); n > 0 {
		r.numberBars()
		e.Bar = r.out.BarName(n - 1)
	}
	return e
}

// fail ends the walk.
func (r *reader) fail(format string, args ...any) {
	panic(r.errorHere(fmt.Sprintf(format, args...)))
}

// pass notes that something in the bar was passed over.
func (r *reader) pass(format string, args ...any) {
	r.skip.Add(r.barHere(), r.here.line, fmt.Sprintf(format, args...))
}

// passOnce is pass for what is said once in a part.
func (r *reader) passOnce(format string, args ...any) {
	r.skip.AddOnce(r.barHere(), r.here.line, fmt.Sprintf(format, args...))
}

// readTune reads header and body.
func (r *reader) readTune() {
	t := r.voice.tune
	r.here = spot{t.line, 1}
	if t.noX {
		r.pass("the tune has no X: field; it was read as the only tune")
	}
	r.readHeader()
	switch {
	case t.badLine > 0:
		r.here = spot{t.badLine, 1}
		r.fail("music stands before the end of the header; a header ends with a K: field such as K:C")
	case !t.complete:
		r.fail("the tune has no K: field; its header has to end with one such as K:C")
	}
	r.bars.inBody = true
	if err := t.walk(r.dialect, r.bodyField, r.bodyToken); err != nil {
		panic(err)
	}
	r.finish()
	if len(r.out.Bars) == 0 {
		r.here = spot{t.line, 1}
		r.fail("the tune has no music for this part")
	}
	if t.after > 0 {
		r.skip.Add(r.barHere(), t.after, "text after the empty line that ends the tune was left out")
	}
}

// bodyField takes a field line of the body, when it is for this voice or for
// all.
func (r *reader) bodyField(e entry, v *voice) {
	if v == nil || v == r.voice {
		r.closeGroups()
		r.here = spot{e.line, 1}
		r.field(e.letter, e.text)
	}
}

// bodyToken takes a symbol of music code for this voice.
func (r *reader) bodyToken(k token, v *voice) {
	if v != nil && v != r.voice {
		return
	}
	if k.line != r.here.line {
		r.closeGroups()
	}
	r.here = spot{k.line, k.col}
	r.token(k)
}

// token takes one symbol of music code. In an overlay only fields and bar lines
// count.
func (r *reader) token(k token) {
	if r.overlay > 0 && k.kind != fieldToken && k.kind != barToken {
		return
	}
	switch k.kind {
	case noteToken:
		r.note(k)
	case restToken:
		r.rest(k)
	case spacerToken:
		r.signsAtSpacer()
	case chordOpen:
		r.openChord()
	case chordClose:
		r.closeChord(k.length)
	case graceOpen:
		r.openGrace(k.slashed)
	case graceClose:
		r.closeGrace()
	case barToken:
		r.barLine(k)
	case endingToken:
		r.startEnding(k.endings)
	case tupletToken:
		r.tuplet(k)
	case slurOpen:
		r.next.slurs++
	case slurClose:
		r.closeSlur()
	case tieToken:
		r.tie()
	case brokenToken:
		r.broken(k.count)
	case symbolToken:
		r.symbol(k.letter)
	case decorationToken:
		r.decoration(k.text)
	case textToken:
		r.text(k.text)
	case fieldToken:
		r.field(k.letter, k.text)
	case overlayToken:
		r.overlay = k.count
		r.passOnce("the voices laid over with & were left out")
	case strayToken:
		r.passOnce("%q means nothing here and was left out", k.text)
	}
}

// closeGroups ends chords and graces that stop with their line.
func (r *reader) closeGroups() {
	if r.chord != nil {
		r.pass("a chord that is never closed was read to the end of its line")
		r.closeChord(fraction{1, 1})
	}
	if r.grace != nil {
		r.pass("grace notes that are never closed were read to the end of their line")
		r.closeGrace()
	}
}
