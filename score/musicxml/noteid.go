package musicxml

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
)

// noteID is the id of a note element: its own, or "b1n2" for the second note
// element of the first bar, with "p2" before it in the second part and so on. An
// id that is taken gets a number behind it. Places count from 0.
func (d *Document) noteID(part, bar, n int, note *element) string {
	if id := note.attr("id"); id != "" {
		if at, ok := d.ids[id]; ok && at == note.start {
			return id
		}
	}
	id := fmt.Sprintf("b%dn%d", bar+1, n+1)
	if part > 0 {
		id = fmt.Sprintf("p%d%s", part+1, id)
	}
	free := id
	for k := 2; d.taken(free); k++ {
		free = fmt.Sprintf("%s-%d", id, k)
	}
	return free
}

func (d *Document) taken(id string) bool { _, ok := d.ids[id]; return ok }

// notePlace is where a note element stands: part, bar, and among the notes of the
// bar, all from 0.
type notePlace struct{ part, bar, n int }

func comparePlaces(a, b notePlace) int {
	return slices.Compare([]int{a.part, a.bar, a.n}, []int{b.part, b.bar, b.n})
}

var placeID = regexp.MustCompile(`^(?:p(\d{1,9}))?b(\d{1,9})n(\d{1,9})(?:-\d+)?$`)

// finder finds notes by their ids. It keeps the bar it read last.
type finder struct {
	doc   *Document
	own   map[string]notePlace // of the notes with an id of their own, made when first asked for
	place notePlace            // of the bar that is kept
	notes []*element           // of that bar
}

// find is where the note with an id stands; ok is false when there is none.
func (f *finder) find(id string) (notePlace, bool) {
	if f.doc.taken(id) {
		return f.findOwn(id)
	}
	m := placeID.FindStringSubmatch(id)
	if m == nil {
		return notePlace{}, false
	}
	number := func(s string) int { n, _ := strconv.Atoi(s); return n - 1 }
	at := notePlace{max(number(m[1]), 0), number(m[2]), number(m[3])}
	note := f.note(at)
	return at, note != nil && f.doc.noteID(at.part, at.bar, at.n, note) == id
}

// findOwn finds a note by the id it carries.
func (f *finder) findOwn(id string) (notePlace, bool) {
	if f.own == nil {
		f.own = map[string]notePlace{}
		f.doc.eachNote(func(at notePlace, note *element) {
			if id := note.attr("id"); id != "" && f.doc.ids[id] == note.start {
				f.own[id] = at
			}
		})
	}
	at, ok := f.own[id]
	return at, ok
}

// note is the note element at a place, nil where there is none.
func (f *finder) note(at notePlace) *element {
	parts := f.doc.parts
	if at.part < 0 || at.part >= len(parts) || at.bar < 0 || at.bar >= len(parts[at.part].measures) {
		return nil
	}
	if f.notes == nil || f.place.part != at.part || f.place.bar != at.bar {
		f.place, f.notes = at, f.doc.notesOf(parts[at.part].measures[at.bar])
	}
	if at.n < 0 || at.n >= len(f.notes) {
		return nil
	}
	return f.notes[at.n]
}

// notesOf are the note elements of a bar; none where the bar is larger than is
// read.
func (d *Document) notesOf(m measure) []*element {
	if m.el == nil {
		return nil
	}
	content, err := m.el.content(d.src.text)
	if err != nil {
		return nil
	}
	return content.all("note")
}

// eachNote goes through all note elements, part by part.
func (d *Document) eachNote(do func(at notePlace, note *element)) {
	for p, part := range d.parts {
		for b, m := range part.measures {
			for n, note := range d.notesOf(m) {
				do(notePlace{p, b, n}, note)
			}
		}
	}
}
