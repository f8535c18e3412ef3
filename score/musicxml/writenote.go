package musicxml

import (
	"fmt"
	"math/bits"
	"strconv"
	"strings"

	"waterkey/score"
)

// diatonic counts the letters from C0 up to a pitch.
func diatonic(p score.Pitch) int { return 7*p.Octave + strings.IndexByte("CDEFGAB", p.Step) }

// event writes a note or a rest.
func (w *writer) event(e *event) {
	id := ""
	if e.piece.ID != "" && !w.used[e.piece.ID] {
		w.used[e.piece.ID] = true
		id = " id=" + quoted(xmlID(e.piece.ID))
	}
	w.line("      <note" + id + ">")
	if e.note == nil {
		w.rest(e)
	} else {
		w.pitched(e)
	}
	w.line("      </note>")
}

// xmlID makes an id that XML accepts: a letter goes before one that starts with
// something else.
func xmlID(id string) string {
	if c := id[0] | 0x20; c >= 'a' && c <= 'z' || id[0] == '_' {
		return id
	}
	return "n" + id
}

func (w *writer) rest(e *event) {
	if e.rest.WholeBar {
		w.line(`        <rest measure="yes"/>`)
	} else {
		w.line("        <rest/>")
	}
	w.element(8, "duration", strconv.FormatInt(w.units(e.length), 10))
	w.element(8, "voice", "1")
	if !e.rest.WholeBar {
		w.value(e)
	}
	var n notations
	if e.rest.Fermata {
		n.add("", "<fermata/>")
	}
	n.tuplet(e)
	w.notations(n)
}

func (w *writer) pitched(e *event) {
	n := e.note
	if n.Grace {
		slash := ""
		if n.Slashed {
			slash = ` slash="yes"`
		}
		w.line("        <grace" + slash + "/>")
	}
	w.pitch(n.Written)
	if !n.Grace {
		w.element(8, "duration", strconv.FormatInt(w.units(e.length), 10))
	}
	if !e.first {
		w.line(`        <tie type="stop"/>`)
	}
	if !e.last {
		w.line(`        <tie type="start"/>`)
	}
	w.element(8, "voice", "1")
	w.value(e)
	for i, b := range e.beams {
		fmt.Fprintf(&w.buf, "        <beam number=\"%d\">%s</beam>\n", i+1, b)
	}
	w.notations(noteNotations(e))
	if n.Marks.Has(score.Muted) { // for playback alone: words or a sign print it
		w.line("        <play><mute>on</mute></play>")
	}
}

func (w *writer) pitch(p score.Pitch) {
	w.line("        <pitch>")
	w.element(10, "step", string(p.Step))
	if alter := float64(p.Alter) + p.Cents/100; alter != 0 {
		w.element(10, "alter", strconv.FormatFloat(alter, 'f', -1, 64))
	}
	w.element(10, "octave", strconv.Itoa(p.Octave))
	w.line("        </pitch>")
}

// typeNames are the note values, longest first.
var typeNames = []string{"maxima", "long", "breve", "whole", "half", "quarter", "eighth", "16th", "32nd", "64th", "128th", "256th", "512th", "1024th"}

// value writes the printed note value, as far as there is one, and the accidental,
// which stands among its parts.
func (w *writer) value(e *event) {
	value, dots := printed(e.piece)
	if e.note != nil && e.note.Grace && value.Sign() == 0 {
		value = score.Frac(1, 8)
	}
	for _, name := range typeNames {
		if values[name] == value {
			w.element(8, "type", name)
		}
	}
	for range dots {
		w.line("        <dot/>")
	}
	if e.accidental != "" {
		cautionary := ""
		if e.note.Courtesy {
			cautionary = ` cautionary="yes"`
		}
		fmt.Fprintf(&w.buf, "        <accidental%s>%s</accidental>\n", cautionary, escape(e.accidental))
	}
	if r := e.piece.Tuplet; r.Actual > 0 {
		fmt.Fprintf(&w.buf, "        <time-modification><actual-notes>%d</actual-notes><normal-notes>%d</normal-notes></time-modification>\n", r.Actual, r.Normal)
	}
}

// printed is the note value of a piece and its dots: its own, or, where the source
// gives none, the one that its duration asks for; 0 when no single value does.
func printed(p score.Piece) (value score.Time, dots int) {
	if p.Value.Sign() > 0 {
		return p.Value, p.Dots
	}
	d := p.Duration
	if p.Tuplet.Actual > 0 {
		d = d.Scale(int64(p.Tuplet.Actual), int64(p.Tuplet.Normal))
	}
	// A value with n dots is (2^(n+1)-1)/2^n of it.
	num := uint64(max(d.Num(), 0))
	if ones := bits.OnesCount64(num); num > 0 && bits.Len64(num)-bits.TrailingZeros64(num) == ones && ones <= 3 {
		dots = ones - 1
		return d.Scale(1<<dots, 1<<(dots+1)-1), dots
	}
	return score.Time{}, 0
}

// notations are what stands under <notations>: some by themselves, the others in
// groups.
type notations struct {
	alone  []string
	groups map[string][]string
}

func (n *notations) add(group, xml string) {
	if group == "" {
		n.alone = append(n.alone, xml)
		return
	}
	if n.groups == nil {
		n.groups = map[string][]string{}
	}
	n.groups[group] = append(n.groups[group], xml)
}

func (n *notations) tuplet(e *event) {
	if e.tupletStart {
		n.add("", `<tuplet type="start"/>`)
	}
	if e.tupletStop {
		n.add("", `<tuplet type="stop"/>`)
	}
}

func (w *writer) notations(n notations) {
	if len(n.alone) == 0 && len(n.groups) == 0 {
		return
	}
	w.line("        <notations>")
	for _, s := range n.alone {
		w.line("          " + s)
	}
	for _, group := range []string{"ornaments", "technical", "articulations"} {
		if marks := n.groups[group]; len(marks) > 0 {
			w.line("          <" + group + ">" + strings.Join(marks, "") + "</" + group + ">")
		}
	}
	w.line("        </notations>")
}

// signs are the marks written with an element of their own, in this order.
var signs = []struct {
	mark       score.Mark
	group, xml string
}{
	{score.Staccato | score.Tenuto, "articulations", "<detached-legato/>"},
	{score.Accent, "articulations", "<accent/>"}, {score.Marcato, "articulations", "<strong-accent/>"},
	{score.Staccato, "articulations", "<staccato/>"}, {score.Tenuto, "articulations", "<tenuto/>"},
	{score.Staccatissimo, "articulations", "<staccatissimo/>"}, {score.Falloff, "articulations", "<falloff/>"},
	{score.BreathAfter, "articulations", "<breath-mark/>"},
}

// noteNotations gathers what stands on one piece of a note: ties at their ends,
// what belongs to the start on the first piece, the rest on the last.
func noteNotations(e *event) notations {
	var n notations
	note := e.note
	if !e.first {
		n.add("", `<tied type="stop"/>`)
	}
	if !e.last {
		n.add("", `<tied type="start"/>`)
	}
	n.tuplet(e)
	if e.last && note.SlurFrom && !note.SlurTo {
		n.add("", `<slur type="stop" number="1"/>`)
	}
	if e.first && note.SlurTo && !note.SlurFrom {
		n.add("", `<slur type="start" number="1"/>`)
	}
	if e.glissFrom {
		n.add("", `<glissando type="stop" number="1" line-type="wavy"/>`)
	}
	if e.last && note.GlissTo {
		n.add("", `<glissando type="start" number="1" line-type="wavy"/>`)
	}
	marks := note.Marks
	if e.last && marks.Has(score.Fermata) {
		n.add("", "<fermata/>")
	}
	for _, s := range signs {
		onLast := s.mark&(score.BreathAfter|score.Falloff) != 0
		if marks.Has(s.mark) && (onLast && e.last || !onLast && e.first) {
			n.add(s.group, s.xml)
			marks &^= s.mark
		}
	}
	if e.first {
		writtenOrnaments(&n, note)
	}
	return n
}

// writtenOrnaments writes ornaments by the names they have, or by their kind.
func writtenOrnaments(n *notations, note *score.Note) {
	for _, o := range note.Ornaments {
		s := "<" + o.Name + "/>"
		if o.Above != "" {
			s += "<accidental-mark>" + escape(o.Above) + "</accidental-mark>"
		}
		if o.Below != "" {
			s += `<accidental-mark placement="below">` + escape(o.Below) + "</accidental-mark>"
		}
		n.add("ornaments", s)
	}
	if note.Ornaments == nil && note.Marks.Has(score.Trill) {
		n.add("ornaments", "<trill-mark/>")
	}
	if note.Ornaments == nil && note.Marks.Has(score.OtherOrnament) {
		n.add("ornaments", "<turn/>")
	}
	if note.Marks.Has(score.Tremolo) {
		kind := ` type="unmeasured"`
		if note.TremoloStrokes > 0 {
			kind = ""
		}
		n.add("ornaments", fmt.Sprintf("<tremolo%s>%d</tremolo>", kind, note.TremoloStrokes))
	}
}
