package musicxml

import (
	"errors"
	"fmt"
	"strings"

	"waterkey/score"
)

// element is one element of the document with its place in the text; the
// limits on size keep offsets within 32 bits.
type element struct {
	name     string
	attrs    []attribute
	children []*element
	text     string // of an element without children
	line     int    // where it starts
	music    *music // of a bar in an outline, which has no children

	start, end      int32 // offsets of the whole element
	inner, innerEnd int32 // offsets of its content; inner == end for <name/>
}

// music is what an outline knows of a bar.
type music struct {
	elements int // elements and attributes
	notes    int // note elements
	pitched  int // of these, with a pitch and not cue-sized
}

// child is the first child of that name, or nil. It may be called on nil.
func (e *element) child(name string) *element {
	if e == nil {
		return nil
	}
	for _, c := range e.children {
		if c.name == name {
			return c
		}
	}
	return nil
}

// all are the children of that name.
func (e *element) all(name string) []*element {
	if e == nil {
		return nil
	}
	var out []*element
	for _, c := range e.children {
		if c.name == name {
			out = append(out, c)
		}
	}
	return out
}

func (e *element) has(name string) bool { return e.child(name) != nil }

// attr is the value of an attribute, "" when absent.
func (e *element) attr(name string) string {
	if e == nil {
		return ""
	}
	for _, a := range e.attrs {
		if a.name == name {
			return strings.TrimSpace(a.value)
		}
	}
	return ""
}

// value is the element's text without surrounding blanks; "" for nil.
func (e *element) value() string {
	if e == nil {
		return ""
	}
	return strings.TrimSpace(e.text)
}

// emptyTag says whether the element is written <name/>.
func (e *element) emptyTag() bool { return e.inner == e.end }

// treeBuilder makes elements of tokens. Of an outline it keeps everything but
// the content of bars, which it counts.
type treeBuilder struct {
	scan    scanner
	outline bool
	root    *element
	open    []*element
	tags    []string  // names of all elements that are open, kept or not
	block   []element // elements are taken from blocks, to spare allocations
	names   map[string]string
	kept    int      // elements and their attributes that were kept
	most    int      // that may be kept
	counted int      // elements in all
	pieces  []byte   // text of the innermost element, when it comes in pieces
	bar     *element // whose content is counted, nil outside
	barTags int      // open tags inside which the bar's content lies
	note    struct{ pitch, cue bool }
	ids     map[string]int32 // offsets of the notes that have an id of their own
}

// blockSize is how many elements are allocated at once: some 8 kB, less than most
// bars need.
const blockSize = 64

// parseOutline reads a whole document, its bars as outlines. ids are the places of
// the notes with an id of their own, the first of each.
func parseOutline(text string) (root *element, ids map[string]int32, err error) {
	b := treeBuilder{outline: true, most: maxOutline, scan: scanner{text: text, line: 1}, names: map[string]string{}, ids: map[string]int32{}}
	root, err = b.build()
	return root, b.ids, err
}

// parseTree reads a whole document of at most so many elements and attributes.
func parseTree(text string, most int) (*element, error) {
	b := treeBuilder{most: most, scan: scanner{text: text, line: 1}, names: map[string]string{}}
	return b.build()
}

// content reads the content of a bar of an outline of the text.
func (e *element) content(text string) (*element, error) {
	b := treeBuilder{most: maxBarElements, scan: scanner{text: text[:e.end], pos: int(e.start), line: e.line}, names: map[string]string{}}
	return b.build()
}

func (b *treeBuilder) build() (*element, error) {
	for {
		t, err := b.scan.next()
		if err == nil {
			err = b.take(t)
		}
		if err != nil {
			return nil, b.place(err, t.line)
		}
		if t.kind == endOfText {
			return b.root, nil
		}
	}
}

func (b *treeBuilder) take(t token) error {
	switch t.kind {
	case startTag:
		return b.begin(t)
	case endTag:
		if n := len(b.tags); n == 0 || b.tags[n-1] != t.name {
			return b.scan.bad("</%s> closes no element", short(t.name))
		}
		b.finish(t.start, t.end)
	case charData:
		if n := len(b.open); n > 0 && b.bar == nil && len(b.open[n-1].children) == 0 {
			b.addText(b.open[n-1], t)
		}
	case endOfText:
		switch {
		case len(b.tags) > 0:
			return b.scan.bad("unexpected EOF")
		case b.root == nil:
			return errors.New("there is no XML element in it")
		}
	}
	return nil
}

// addText appends to the text of an element, which comes in several pieces where a
// comment or a CDATA section stands in it.
func (b *treeBuilder) addText(e *element, t token) {
	if !t.literal {
		t.text = unescape(t.text)
	}
	if e.text == "" {
		e.text = t.text
		return
	}
	if len(b.pieces) == 0 {
		b.pieces = append(b.pieces, e.text...)
	}
	b.pieces = append(b.pieces, t.text...)
}

func (b *treeBuilder) begin(t token) error {
	if b.counted++; b.counted > maxElements {
		return fmt.Errorf("the document has more than %d elements", maxElements)
	}
	if len(b.tags) == maxDepth {
		return fmt.Errorf("elements are nested more than %d deep", maxDepth)
	}
	if b.bar != nil {
		if err := b.count(t); err != nil {
			return err
		}
		b.tags = append(b.tags, t.name)
	} else {
		if b.kept += 1 + len(b.scan.attrs); b.kept > b.most {
			return fmt.Errorf("more than %d elements and attributes", b.most)
		}
		if err := b.keep(t); err != nil {
			return err
		}
	}
	if t.empty {
		b.finish(t.end, t.end)
	}
	return nil
}

// keep makes an element of a start tag.
func (b *treeBuilder) keep(t token) error {
	b.pieces = b.pieces[:0]
	if len(b.block) == 0 {
		b.block = make([]element, blockSize)
	}
	e := &b.block[0]
	b.block = b.block[1:]
	_, local, prefixed := strings.Cut(t.name, ":")
	if !prefixed {
		local = t.name
	}
	*e = element{name: b.intern(local), line: t.line, start: int32(t.start), inner: int32(t.end)}
	if len(b.scan.attrs) > 0 {
		e.attrs = make([]attribute, len(b.scan.attrs))
		for i, a := range b.scan.attrs {
			e.attrs[i] = attribute{b.intern(a.name), unescape(a.value)}
		}
	}
	switch {
	case len(b.open) > 0:
		parent := b.open[len(b.open)-1]
		parent.children = append(parent.children, e)
	case b.root != nil:
		return fmt.Errorf("a second document starts with <%s>", short(e.name))
	default:
		b.root = e
	}
	b.open, b.tags = append(b.open, e), append(b.tags, t.name)
	if b.outline && b.isBar() {
		e.music = &music{}
		b.bar, b.barTags = e, len(b.tags)
	}
	return nil
}

// isBar says whether the element just opened is one part's bar.
func (b *treeBuilder) isBar() bool {
	if len(b.open) != 3 {
		return false
	}
	kind, outer, inner := b.open[0].name, b.open[1].name, b.open[2].name
	return kind == "score-partwise" && outer == "part" && inner == "measure" ||
		kind == "score-timewise" && outer == "measure" && inner == "part"
}

// count takes note of an element inside a bar.
func (b *treeBuilder) count(t token) error {
	m := b.bar.music
	m.elements += 1 + len(b.scan.attrs)
	switch inside := len(b.tags) - b.barTags; {
	case inside == 0 && t.name == "note":
		m.notes++
		b.note.pitch, b.note.cue = false, false
		return b.countID(t)
	case inside == 1 && b.tags[b.barTags] == "note":
		b.note.pitch = b.note.pitch || t.name == "pitch"
		b.note.cue = b.note.cue || t.name == "cue"
	}
	return nil
}

// countID keeps the place of the first note with an id.
func (b *treeBuilder) countID(t token) error {
	for _, a := range b.scan.attrs {
		id := strings.TrimSpace(unescape(a.value))
		if a.name != "id" || id == "" {
			continue
		}
		if _, taken := b.ids[id]; !taken {
			b.ids[id] = int32(t.start)
		}
		if len(b.ids) > maxIDs {
			return fmt.Errorf("more than %d notes have ids of their own; save the one part as a file of its own", maxIDs)
		}
		break
	}
	return nil
}

// finish closes the innermost element: its content ends at one offset, it itself
// at the other.
func (b *treeBuilder) finish(innerEnd, end int) {
	name := b.tags[len(b.tags)-1]
	b.tags = b.tags[:len(b.tags)-1]
	if b.bar != nil && len(b.tags) >= b.barTags {
		if len(b.tags) == b.barTags && name == "note" && b.note.pitch && !b.note.cue {
			b.bar.music.pitched++
		}
		return
	}
	b.bar = nil
	e := b.open[len(b.open)-1]
	e.innerEnd, e.end = int32(innerEnd), int32(end)
	switch {
	case len(e.children) > 0:
		e.text = ""
	case len(b.pieces) > 0:
		e.text = string(b.pieces)
	}
	b.pieces = b.pieces[:0]
	b.open = b.open[:len(b.open)-1]
}

// maxNames is how many different names are kept once for all; a score has some
// 400.
const maxNames = 1000

// intern keeps one copy of each name, apart from the text.
func (b *treeBuilder) intern(name string) string {
	if one, ok := b.names[name]; ok {
		return one
	}
	if len(b.names) == maxNames {
		return name
	}
	one := strings.Clone(name)
	b.names[one] = one
	return one
}

// place makes an Error of err, with the part and bar that are open.
func (b *treeBuilder) place(err error, line int) error {
	out := &score.ReadError{Line: line, Err: err}
	var placed *score.ReadError
	if errors.As(err, &placed) {
		out = placed
	}
	out.Part, out.Bar = short(b.openAttr("part", "id")), short(b.openAttr("measure", "number"))
	return out
}

func (b *treeBuilder) openAttr(name, attr string) string {
	for _, e := range b.open {
		if e.name == name {
			return e.attr(attr)
		}
	}
	return ""
}
