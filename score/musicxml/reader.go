package musicxml

import (
	"errors"
	"fmt"

	"waterkey/score"
)

// reader walks the bars of one part. Inside the walk an error is thrown as a
// panic with an *score.ReadError, as score.Time throws ErrTooFine; guard catches both.
type reader struct {
	doc  *Document
	src  *partSource
	line score.Line
	out  *score.Part
	skip score.PassedOver

	bar       int        // index of the bar being read
	at        score.Time // cursor, from the bar's start
	reach     score.Time // the furthest the cursor has been in the bar
	last      *written   // the note before, in the bar
	el        *element   // being read
	unit      score.Time // one division
	unitKnown bool
	key       score.Key
	keyKnown  bool
	meter     score.Meter
	timeKnown bool
	clef      score.Clef
	copying   bool // a sign in force repeats the bars before
	shift     transposition

	written []*written    // every note and rest read, in the order of the file
	forAll  []score.Words // words that concern every part of a full score
	attacks []attack

	wordBytes int // of all words read
	mutes     []muteChange
	tempo     tempoReader
	spans     spanReader
	endings   endingReader
}

// Part reads one line of one part. What was passed over stands in its Skipped
// list. Every error is an [*score.ReadError], and comes with a nil Part.
func (d *Document) Part(sel score.Selection) (*score.Part, error) {
	src, err := d.pick(sel.Part)
	if err != nil {
		return nil, err
	}
	for _, part := range []*partSource{src, d.parts[0]} { // both are read whole
		if err := part.fits(); err != nil {
			return nil, &score.ReadError{File: d.file, Part: part.name, Line: part.line, Err: err}
		}
	}
	r := newReader(d, src, sel.Line)
	if err := r.guard(r.readBars); err != nil {
		return nil, err
	}
	if src != d.parts[0] {
		top := newReader(d, d.parts[0], score.Top)
		if err := top.guard(top.readBars); err != nil {
			return nil, err
		}
		r.takeSystem(top)
	}
	if err := r.guard(r.compose); err != nil {
		return nil, err
	}
	return r.out, nil
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

func newReader(d *Document, src *partSource, line score.Line) *reader {
	r := &reader{doc: d, src: src, line: line, skip: score.PassedOver{}, unit: score.Frac(1, 4)}
	r.tempo = tempoReader{map[score.Time]int{}, map[score.Time]bool{}}
	title, composer := headings(d.root)
	r.out = &score.Part{Title: title, Composer: composer, Name: src.name, ID: src.id}
	return r
}

// caught turns what the walk threw into an error; anything else goes on.
func (r *reader) caught(v any) error {
	e, ok := v.(*score.ReadError)
	if !ok {
		cause, isErr := v.(error)
		if !isErr || !errors.Is(cause, score.ErrTooFine) {
			panic(v)
		}
		e = r.errorAt(r.el, "")
		e.Err = cause
	}
	return e
}

func (r *reader) errorAt(el *element, msg string) *score.ReadError {
	e := &score.ReadError{File: r.doc.file, Part: r.src.name, Msg: msg}
	if r.bar < len(r.src.measures) {
		e.Bar, e.Line = r.src.measures[r.bar].number, r.src.measures[r.bar].line
	}
	if el != nil {
		e.Line = el.line
	}
	return e
}

// barError says in which bar something cannot be read.
func (r *reader) barError(err error) *score.ReadError {
	e := r.errorAt(nil, "")
	var placed *score.ReadError
	if errors.As(err, &placed) {
		e.Line, e.Msg, e.Err = placed.Line, placed.Msg, placed.Err
	}
	return e
}

// fail ends the walk.
func (r *reader) fail(el *element, format string, args ...any) {
	panic(r.errorAt(el, say(format, args)))
}

// say fills in a sentence; values of the file that are too long to repeat are cut.
func say(format string, args []any) string {
	for i, a := range args {
		if s, ok := a.(string); ok {
			args[i] = short(s)
		}
	}
	return fmt.Sprintf(format, args...)
}

// pass notes that something at el was passed over.
func (r *reader) pass(el *element, format string, args ...any) {
	r.skip.Add(r.bar, el.line, say(format, args))
}

// passOnce is pass for what is said once in a part.
func (r *reader) passOnce(el *element, format string, args ...any) {
	r.skip.AddOnce(r.bar, el.line, say(format, args))
}

// now is the cursor's moment from the start of the part.
func (r *reader) now() score.Time { return r.thisBar().Start.Add(r.at) }

func (r *reader) thisBar() *score.Bar { return &r.out.Bars[r.bar] }

func (r *reader) readBars() {
	var start score.Time
	r.out.Bars = make([]score.Bar, 0, len(r.src.measures))
	for i, m := range r.src.measures {
		r.bar, r.at, r.reach, r.last = i, score.Time{}, score.Time{}, nil
		r.out.Bars = append(r.out.Bars, score.Bar{
			Number: m.number, Implicit: m.implicit, Line: m.line,
			Start: start, Meter: r.meter, Key: r.key,
		})
		if i == 0 && r.src.adopted {
			r.skip.Add(0, m.line, "the part has no id; it was read as the only part")
		}
		if i == 0 && r.src.unlisted {
			r.skip.Add(0, m.line, "the part list leaves the part out; it goes by its id")
		}
		if m.el != nil {
			read := len(r.written)
			bar, err := m.el.content(r.doc.src.text)
			if err != nil {
				panic(r.barError(err))
			}
			r.readBar(bar)
			r.sayCopy(m, r.written[read:])
		}
		bar := r.thisBar()
		bar.Length = r.reach
		if bar.Length.Sign() == 0 {
			bar.Length = bar.Meter.Length()
		}
		r.closeEndings()
		start = bar.End()
	}
	r.removeDropped()
}

func (r *reader) readBar(bar *element) {
	nextMove, inChord := 0, false // the next element that moves the cursor
	notes := 0
	for i, el := range bar.children {
		if i >= nextMove {
			nextMove, inChord = findMove(bar.children, i+1)
		}
		r.el = el
		switch el.name {
		case "note":
			if el.has("lyric") {
				r.skip.AddOnce(r.bar, el.line, "lyrics were left out")
			}
			r.readNote(el, notes)
			notes++
		case "backup":
			r.backup(el)
		case "forward":
			r.advance(r.duration(el))
			r.last = nil
		case "attributes":
			r.attributes(el)
		case "direction":
			r.direction(el, inChord)
		case "sound":
			r.sound(el, r.now())
		case "barline":
			r.barline(el)
		case "print":
			if name := printedName(el); name != "" && name != r.src.name {
				r.passOnce(el, "the part's new name, %s, was left out", name)
			}
		case "harmony":
			r.skip.AddOnce(r.bar, el.line, "chord symbols were left out")
		case "figured-bass":
			r.skip.AddOnce(r.bar, el.line, "figured bass was left out")
		}
	}
}

// findMove finds the next note, backup or forward from a place on, and whether
// it belongs to the chord of the note before: what stands between them then
// belongs to the chord's moment.
func findMove(children []*element, from int) (at int, inChord bool) {
	for at = from; at < len(children); at++ {
		switch el := children[at]; el.name {
		case "note":
			return at, el.has("chord")
		case "backup", "forward":
			return at, false
		}
	}
	return at, false
}

// advance moves the cursor on.
func (r *reader) advance(by score.Time) {
	r.at = r.at.Add(by)
	if r.reach.Less(r.at) {
		r.reach = r.at
	}
}

// backup moves the cursor back, to write another voice.
func (r *reader) backup(el *element) {
	by := r.duration(el)
	if r.at.Less(by) {
		r.pass(el, "a backup of %s of a whole note reaches beyond the start of the bar and was read as going there", by)
		by = r.at
	}
	r.at = r.at.Sub(by)
	r.last = nil
}

// duration is an element's <duration>, in whole notes.
func (r *reader) duration(el *element) score.Time {
	d := el.child("duration")
	if d == nil {
		r.fail(el, "<%s> has no duration", el.name)
	}
	return r.divisions(d)
}

// divisions is a number of divisions, not negative, as whole notes.
func (r *reader) divisions(el *element) score.Time {
	t := r.signedDivisions(el)
	if t.Sign() < 0 {
		r.fail(el, "%s %s is negative; a length counts from 0 up", el.name, el.value())
	}
	return t
}

func (r *reader) signedDivisions(el *element) score.Time {
	num, den, ok := decimal(el.value())
	if !ok {
		r.fail(el, "%s %q is not a number", el.name, el.value())
	}
	if !r.unitKnown {
		r.unitKnown = true
		r.pass(el, "no divisions were given; one division was read as a quarter note")
	}
	t := r.unit.Scale(num, den)
	if abs := max(t.Float(), -t.Float()); abs > maxWholes {
		r.fail(el, "%s %s is %g whole notes; at most %d are read", el.name, el.value(), abs, maxWholes)
	}
	return t
}
