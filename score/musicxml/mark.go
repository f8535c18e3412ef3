package musicxml

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"waterkey/score"
)

// Marks are what to write into a document.
type Marks struct {
	Positions map[string]string // by note id: the text to print at the note, "3" or "T2"
	Breaths   []string          // ids of the notes to breathe after
}

// MarkReport says what came of the marks.
type MarkReport struct {
	Positions, Breaths         int // written
	KeptPositions, KeptBreaths int // notes that already carried such a mark and keep it
}

// Mark returns the document with the marks written in, in its own encoding and
// container; all other bytes are those of the original. A position becomes a
// <fingering>, a breath a <breath-mark>. A note that has one already keeps it,
// so marking the result again changes nothing. Every error is an [*score.ReadError].
func (d *Document) Mark(m Marks) (out []byte, report MarkReport, err error) {
	ins, report, err := d.plan(m)
	if err != nil {
		return nil, MarkReport{}, score.InFile(d.file, err)
	}
	if len(ins) == 0 {
		return slices.Clone(d.data), report, nil
	}
	out, err = d.src.splice(ins)
	if err == nil && d.entry != "" {
		out, err = repack(d.data, d.entry, out)
	}
	if err != nil {
		return nil, MarkReport{}, score.InFile(d.file, err)
	}
	return out, report, nil
}

// plan finds what to insert, in the order of the text.
func (d *Document) plan(m Marks) (ins []insertion, report MarkReport, err error) {
	breaths := map[string]bool{}
	for _, id := range m.Breaths {
		breaths[id] = true
	}
	ids := append(slices.Collect(maps.Keys(m.Positions)), m.Breaths...)
	slices.Sort(ids)
	notes, err := d.findAll(slices.Compact(ids))
	if err != nil {
		return nil, MarkReport{}, err
	}
	f := finder{doc: d}
	for _, n := range notes {
		note := f.note(n.at)
		text, position := m.Positions[n.id]
		marks, err := newMarks(n.id, note, text, position, breaths[n.id], &report)
		if err != nil {
			return nil, MarkReport{}, err
		}
		ins = append(ins, d.insertMarks(note, marks)...)
	}
	slices.SortStableFunc(ins, func(a, b insertion) int { return cmp.Compare(a.at, b.at) })
	return ins, report, nil
}

// foundNote is a note to mark.
type foundNote struct {
	id string
	at notePlace
}

// findAll finds notes by their ids, in the order of the document.
func (d *Document) findAll(ids []string) ([]foundNote, error) {
	f := finder{doc: d}
	var out []foundNote
	for _, id := range ids {
		at, ok := f.find(id)
		if !ok {
			return nil, fmt.Errorf("no note has the id %q; without an id of its own a note is called like b1n2, the second note element of the first bar", id)
		}
		out = append(out, foundNote{id, at})
	}
	slices.SortFunc(out, func(a, b foundNote) int { return comparePlaces(a.at, b.at) })
	return out, nil
}

// newMarks are the marks that one note still lacks.
func newMarks(id string, note *element, text string, position, breath bool, report *MarkReport) ([]newMark, error) {
	if position {
		if err := checkMark(text); err != nil {
			return nil, &score.ReadError{Line: note.line, Err: fmt.Errorf("position of note %s: %w", id, err)}
		}
	}
	var marks []newMark
	switch {
	case position && carries(note, "technical", "fingering"):
		report.KeptPositions++
	case position:
		marks = append(marks, newMark{"technical", "<fingering>" + escape(text) + "</fingering>"})
		report.Positions++
	}
	switch {
	case breath && carries(note, "articulations", "breath-mark"):
		report.KeptBreaths++
	case breath:
		marks = append(marks, newMark{"articulations", "<breath-mark/>"})
		report.Breaths++
	}
	return marks, nil
}

// checkMark refuses text that cannot stand in an XML document.
func checkMark(text string) error {
	if strings.TrimSpace(text) == "" {
		return fmt.Errorf("the text is empty; 3 or T2 would do")
	}
	for _, c := range text {
		if c < ' ' || c == 0xFFFE || c == 0xFFFF || c == 0xFFFD {
			return fmt.Errorf("the character %U cannot be printed", c)
		}
	}
	return nil
}

var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;")

func escape(s string) string { return escaper.Replace(s) }

// carries says whether the note has a mark of that name.
func carries(note *element, group, name string) bool {
	for _, n := range note.all("notations") {
		for _, g := range n.all(group) {
			if g.has(name) {
				return true
			}
		}
	}
	return false
}

// newMark is one element to write, and the group it belongs in.
type newMark struct{ group, xml string }

// afterNotations are the children of a note that follow its notations in the
// schema's sequence (W3C MusicXML 4.0, note).
var afterNotations = map[string]bool{"lyric": true, "play": true, "listen": true}

// insertMarks places marks on a note: in the group that is there, else in a
// new group, else in new notations. An element written <name/> is left as it
// is, and a new one put beside it.
func (d *Document) insertMarks(note *element, marks []newMark) []insertion {
	if len(marks) == 0 {
		return nil
	}
	notations := firstOpen(note.all("notations"))
	if notations == nil {
		return []insertion{d.newNotations(note, marks)}
	}
	var out []insertion
	groups := ""
	at := d.endOf(notations)
	for _, m := range marks {
		if group := firstOpen(notations.all(m.group)); group != nil {
			in := d.endOf(group)
			out = append(out, insertion{in.at, in.lead + m.xml})
			continue
		}
		groups += at.lead + at.block(m)
	}
	if groups != "" {
		out = append(out, insertion{at.at, groups})
	}
	return out
}

// firstOpen is the first element that is not written <name/>.
func firstOpen(els []*element) *element {
	for _, e := range els {
		if !e.emptyTag() {
			return e
		}
	}
	return nil
}

// newNotations writes notations for a note that has none to use.
func (d *Document) newNotations(note *element, marks []newMark) insertion {
	var before *element
	for _, c := range note.children {
		if afterNotations[c.name] {
			break
		}
		before = c
	}
	at := d.placeAfter(note, before)
	inner := at.deeper()
	text := at.lead + "<notations>"
	for _, m := range marks {
		text += inner.lead + inner.block(m)
	}
	return insertion{at.at, text + at.closing + "</notations>"}
}
