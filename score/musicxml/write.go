package musicxml

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"strings"

	"waterkey/score"
)

// Write writes a part as a document of its own: one staff, one voice, in
// MusicXML 4.0. It serves parts that come from other formats and parts out of a
// full score, to be engraved. Each note and rest element carries the id of its
// [score.Piece] or [score.Rest], each bar "bar-0" and so on by its index. Reading the document gives the same part but for
// lines of the source, what the reader passed over, and slurs that touch: of two
// slurs where one ends on the note that starts the other, one long slur is made.
// Beams follow the beat. The error is the writer's.
func Write(out io.Writer, part *score.Part) error {
	w := newWriter(part)
	w.head()
	for i := range part.Bars {
		w.bar(i)
	}
	w.line("  </part>\n</score-partwise>")
	_, err := out.Write(w.buf.Bytes())
	return err
}

// writer holds the part, cut up by bars, and the document so far.
type writer struct {
	part      *score.Part
	buf       bytes.Buffer
	divisions int64 // of a quarter note
	bars      []barContent
	used      map[string]bool // ids written
}

// barContent is what stands in one bar, in order of time.
type barContent struct {
	events     []event
	directions []placed
	attributes []placed // signatures, clefs, transposition
}

// event is a note or rest element.
type event struct {
	at, length  score.Time
	note        *score.Note // nil for a rest
	piece       score.Piece
	rest        *score.Rest
	first, last bool // piece of a note
	accidental  string
	beams       []string // by level from 1; nil for none
	tupletStart bool
	tupletStop  bool
	glissFrom   bool // a glissando ends here
}

// placed is what stands at a moment.
type placed struct {
	at  score.Time
	xml string
}

func newWriter(part *score.Part) *writer {
	w := &writer{part: part, bars: make([]barContent, len(part.Bars)), used: map[string]bool{}}
	w.collectEvents()
	w.collectAttributes()
	w.collectDirections()
	w.divisions = w.findDivisions()
	accidentals(part, w.bars)
	for i := range w.bars {
		tuplets(w.bars[i].events)
		beam(w.bars[i].events, part.Bars[i])
	}
	return w
}

func (w *writer) collectEvents() {
	for i := range w.part.Notes {
		n := &w.part.Notes[i]
		for k, piece := range n.Pieces {
			if k > 0 && piece.Duration.Sign() == 0 {
				continue
			}
			b := &w.bars[piece.Bar]
			b.events = append(b.events, event{at: piece.Onset, length: piece.Duration, note: n, piece: piece, first: k == 0, last: k == len(n.Pieces)-1,
				glissFrom: k == 0 && i > 0 && w.part.Notes[i-1].GlissTo})
		}
	}
	for i := range w.part.Rests {
		r := &w.part.Rests[i]
		b := &w.bars[r.Bar]
		piece := score.Piece{ID: r.ID, Bar: r.Bar, Onset: r.Onset, Duration: r.Duration, Value: r.Value, Dots: r.Dots, Tuplet: r.Tuplet}
		b.events = append(b.events, event{at: r.Onset, length: r.Duration, rest: r, piece: piece})
	}
	for i := range w.bars {
		slices.SortStableFunc(w.bars[i].events, func(a, b event) int { return a.at.Cmp(b.at) })
	}
}

// collectAttributes puts what stands in <attributes> into its bars, in the order
// of the schema's sequence.
func (w *writer) collectAttributes() {
	if len(w.bars) == 0 {
		return
	}
	put := func(bar int, at score.Time, xml string) {
		w.bars[bar].attributes = append(w.bars[bar].attributes, placed{at, xml})
	}
	for _, k := range w.part.Keys {
		put(k.Bar, k.At, keyElement(k.Key))
	}
	for _, m := range w.part.Meters {
		put(m.Bar, m.At, meterElement(m.Meter))
	}
	if clefs := w.part.Clefs; len(clefs) == 0 || clefs[0].At.Sign() > 0 {
		put(0, score.Time{}, clefElement(fittingClef(w.part)))
	}
	for _, c := range w.part.Clefs {
		put(c.Bar, c.At, clefElement(c.Clef))
	}
	last := interval{}
	for i, b := range w.bars {
		if now, ok := b.transposition(); ok && now != last {
			put(i, w.part.Bars[i].Start, now.element())
			last = now
		}
	}
	for i := range w.bars {
		slices.SortStableFunc(w.bars[i].attributes, func(a, b placed) int { return a.at.Cmp(b.at) })
	}
}

// fittingClef is what a part without a clef is written in: bass where more notes lie
// below middle C than above, else treble (common practice).
func fittingClef(p *score.Part) score.Clef {
	const middleC = 60 // MIDI
	above := 0
	for _, n := range p.Notes {
		if n.Written.MIDI() >= middleC {
			above++
		} else {
			above--
		}
	}
	if above > 0 {
		return score.Clef{Sign: "G", Line: 2}
	}
	return score.Clef{Sign: "F", Line: 4}
}

// findDivisions is the least number of parts of a quarter note that holds every
// moment of the part.
func (w *writer) findDivisions() int64 {
	d := int64(1)
	hold := func(t score.Time) {
		quarters := t.Scale(4, 1)
		d = int64(lcm(int(d), int(quarters.Den())))
	}
	for i, b := range w.bars {
		hold(w.part.Bars[i].Start)
		hold(w.part.Bars[i].Length)
		for _, e := range b.events {
			hold(e.at)
			hold(e.length)
		}
		for _, x := range b.directions {
			hold(x.at)
		}
		for _, a := range b.attributes {
			hold(a.at)
		}
	}
	return d
}

// units is a length in divisions.
func (w *writer) units(t score.Time) int64 {
	q := t.Scale(4*w.divisions, 1)
	return q.Num() / q.Den()
}

func (w *writer) line(s string) {
	w.buf.WriteString(s)
	w.buf.WriteByte('\n')
}

// element writes <name>text</name> with the indent of a bar's content.
func (w *writer) element(indent int, name, text string) {
	fmt.Fprintf(&w.buf, "%*s<%s>%s</%s>\n", indent, "", name, escape(text), name)
}

func (w *writer) head() {
	p := w.part
	w.line(`<?xml version="1.0" encoding="UTF-8"?>`)
	w.line(`<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">`)
	w.line(`<score-partwise version="4.0">`)
	if p.Title != "" {
		w.line("  <work>")
		w.element(4, "work-title", p.Title)
		w.line("  </work>")
	}
	if p.Composer != "" {
		w.line("  <identification>")
		fmt.Fprintf(&w.buf, "    <creator type=\"composer\">%s</creator>\n", escape(p.Composer))
		w.line("  </identification>")
	}
	w.line("  <part-list>\n    <score-part id=\"P1\">")
	w.element(6, "part-name", p.Name)
	w.line("    </score-part>\n  </part-list>\n  <part id=\"P1\">")
}

// quoted is a value of an attribute.
func quoted(s string) string { return `"` + strings.ReplaceAll(escape(s), `"`, "&quot;") + `"` }
