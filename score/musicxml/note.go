package musicxml

import (
	"strconv"
	"strings"

	"waterkey/score"
)

// written is one note or rest element of the staff that is read.
type written struct {
	line     int
	id       string
	bar      int
	onset    score.Time // from the start of the part
	duration score.Time // 0 for a grace note
	voice    string
	staff    int
	rest     bool
	chord    bool // stands on the note before
	grace    bool
	slashed  bool

	pitch      score.Pitch // sounding
	page       score.Pitch // as on the page
	value      score.Time
	dots       int
	ratio      score.Ratio
	accidental string
	courtesy   bool
	wholeBar   bool

	tieFrom, tieTo bool // a tie ends, starts here
	marks          score.Mark
	ornaments      []score.Ornament
	strokes        int // of a measured tremolo
	slurs          []slurEnd
	gliss          bool
	slurFrom       bool
	slurTo         bool
}

func (w *written) end() score.Time { return w.onset.Add(w.duration) }

// values are the printed note values (W3C MusicXML 4.0, note-type-value).
var values = map[string]score.Time{
	"maxima": score.Frac(8, 1), "long": score.Frac(4, 1), "breve": score.Frac(2, 1), "whole": score.Frac(1, 1),
	"half": score.Frac(1, 2), "quarter": score.Frac(1, 4), "eighth": score.Frac(1, 8), "16th": score.Frac(1, 16),
	"32nd": score.Frac(1, 32), "64th": score.Frac(1, 64), "128th": score.Frac(1, 128), "256th": score.Frac(1, 256),
	"512th": score.Frac(1, 512), "1024th": score.Frac(1, 1024),
}

// readNote takes a note element at the cursor and moves the cursor past it.
func (r *reader) readNote(el *element, n int) {
	w := r.newNote(el, n)
	r.note(el, w)
	if !w.chord && !w.grace {
		r.advance(w.duration)
	}
	if !w.chord {
		r.last = w
	}
	if reason := leftOut(el, w); reason != "" {
		r.passOnce(el, "%s", reason)
		return
	}
	if w.staff != 1 {
		if !w.rest {
			r.pass(el, "the notes on staff %d were left out", w.staff)
		}
		return
	}
	r.sayLook(el)
	r.notations(w, el)
	r.written = append(r.written, w)
}

// sayLook says what a plain note does not show: the shape of the head, and a
// note that only some passes of a repeat hold.
func (r *reader) sayLook(el *element) {
	if head := el.child("notehead").value(); head != "" && head != "normal" {
		r.passOnce(el, "note heads of other shapes were read as plain ones")
	}
	if el.attr("time-only") != "" {
		r.passOnce(el, "that some notes are for single passes of a repeat was left out; they were read for all")
	}
}

// newNote finds where the note stands, the n-th of its bar from 0.
func (r *reader) newNote(el *element, n int) *written {
	w := &written{line: el.line, id: r.doc.noteID(r.src.index, r.bar, n, el), bar: r.bar, onset: r.now(), staff: 1, voice: "1"}
	w.grace = el.has("grace")
	w.slashed = el.child("grace").attr("slash") == "yes"
	w.rest = el.has("rest")
	if v := el.child("voice").value(); v != "" {
		w.voice = v
	}
	if s := el.child("staff"); s != nil {
		w.staff, _ = strconv.Atoi(s.value())
	}
	if el.has("chord") {
		if r.last != nil && r.last.grace == w.grace {
			w.chord, w.onset = true, r.last.onset
		} else {
			r.pass(el, "a chord note without a note before it was read as a note of its own")
		}
	}
	return w
}

// note reads duration, value and pitch.
func (r *reader) note(el *element, w *written) {
	rest := el.child("rest")
	w.wholeBar = rest.attr("measure") == "yes"
	switch {
	case w.grace:
	case w.wholeBar && !el.has("duration"):
		w.duration = r.meter.Length()
	default:
		w.duration = r.duration(el)
	}
	if v := el.child("type"); v != nil {
		var ok bool
		if w.value, ok = values[v.value()]; !ok {
			r.fail(v, "type %q is no note value; quarter is one", v.value())
		}
	}
	if w.dots = len(el.all("dot")); w.dots > maxDots {
		r.fail(el, "a note has %d dots; at most %d are read", w.dots, maxDots)
	}
	w.ratio = r.tuplet(el.child("time-modification"))
	if p := el.child("pitch"); p != nil && !w.rest {
		w.page = r.pitch(p)
		w.pitch = r.shift.sound(w.page)
	}
	if a := el.child("accidental"); a != nil {
		w.accidental = strings.Clone(a.value())
		w.courtesy = a.attr("cautionary") == "yes" || a.attr("parentheses") == "yes"
	}
}

func (r *reader) tuplet(el *element) score.Ratio {
	if el == nil {
		return score.Ratio{}
	}
	t := score.Ratio{
		Actual: r.integer(el.child("actual-notes"), 1, maxRatioNumber, 1),
		Normal: r.integer(el.child("normal-notes"), 1, maxRatioNumber, 1),
	}
	if t.Actual == t.Normal {
		return score.Ratio{}
	}
	return t
}

// leftOut says why a note is no part of the line, "" when it is.
func leftOut(el *element, w *written) string {
	switch {
	case el.has("cue"):
		return "cue notes were left out"
	case el.attr("print-object") == "no" && w.rest:
		return "hidden rests were left out"
	case el.attr("print-object") == "no":
		return "hidden notes were left out"
	case w.rest:
		return ""
	case el.has("unpitched"):
		return "notes without pitch were left out"
	case w.pitch.Step == 0:
		return "notes that give no pitch were left out"
	case !w.grace && w.duration.Sign() == 0:
		return "notes without length were left out"
	}
	return ""
}
