package musicxml

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"

	"waterkey/score"
)

// element is one element of the document with its place in the text; the
// limits on size keep offsets within 32 bits.
type element struct {
	name     string
	attrs    []xml.Attr
	children []*element
	text     string // of an element without children, as in the file
	line     int    // where it starts

	start, end      int32 // offsets of the whole element
	inner, innerEnd int32 // offsets of its content; inner == end for <name/>
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
		if a.Name.Local == name && a.Name.Space == "" {
			return strings.TrimSpace(a.Value)
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

// clean joins the words of a text by single blanks.
func clean(s string) string { return strings.Join(strings.Fields(s), " ") }

// treeBuilder makes elements of tokens.
type treeBuilder struct {
	dec   *xml.Decoder
	root  *element
	open  []*element
	block []element // elements are taken from blocks, to spare allocations
	count int
	most  int // elements allowed
	names map[string]string
	text  []byte // of the element that is open, as long as it has no children
}

// blockSize is how many elements are allocated at once: some 100 kB.
const blockSize = 512

// parseTree reads a whole document of at most so many elements. Only the five entities of XML itself and
// character references are known; nothing outside the text is ever read.
func parseTree(text string, most int) (*element, error) {
	b := treeBuilder{most: most, dec: xml.NewDecoder(strings.NewReader(text)), names: map[string]string{}}
	b.dec.CharsetReader = func(_ string, r io.Reader) (io.Reader, error) { return r, nil }
	for {
		start := int32(b.dec.InputOffset())
		line, _ := b.dec.InputPos()
		token, err := b.dec.Token()
		if err == io.EOF && b.root != nil {
			return b.root, nil
		}
		if err == nil {
			err = b.take(token, start, line)
		}
		if err != nil {
			return nil, b.place(err, line)
		}
	}
}

func (b *treeBuilder) take(token xml.Token, start int32, line int) error {
	switch t := token.(type) {
	case xml.StartElement:
		return b.begin(t, start, line)
	case xml.EndElement:
		e := b.open[len(b.open)-1]
		e.innerEnd, e.end = start, int32(b.dec.InputOffset())
		if len(e.children) == 0 {
			e.text = string(b.text)
		}
		b.text = b.text[:0]
		b.open = b.open[:len(b.open)-1]
	case xml.CharData:
		if n := len(b.open); n > 0 && len(b.open[n-1].children) == 0 {
			b.text = append(b.text, t...)
		}
	}
	return nil
}

func (b *treeBuilder) begin(t xml.StartElement, start int32, line int) error {
	if b.count++; b.count > b.most {
		return fmt.Errorf("the document has more than %d elements", b.most)
	}
	if len(b.open) == maxDepth {
		return fmt.Errorf("elements are nested more than %d deep", maxDepth)
	}
	if len(b.block) == 0 {
		b.block = make([]element, blockSize)
	}
	e := &b.block[0]
	b.block = b.block[1:]
	for i := range t.Attr {
		t.Attr[i].Name.Local = b.intern(t.Attr[i].Name.Local)
	}
	*e = element{name: b.intern(t.Name.Local), attrs: t.Attr, line: line, start: start, inner: int32(b.dec.InputOffset())}
	switch {
	case len(b.open) > 0:
		parent := b.open[len(b.open)-1]
		parent.children = append(parent.children, e)
	case b.root != nil:
		return fmt.Errorf("a second document starts with <%s>", e.name)
	default:
		b.root = e
	}
	b.open = append(b.open, e)
	b.text = b.text[:0]
	return nil
}

// intern keeps one copy of each name.
func (b *treeBuilder) intern(name string) string {
	if one, ok := b.names[name]; ok {
		return one
	}
	b.names[name] = name
	return name
}

// place makes an Error of err, with the part and bar that are open.
func (b *treeBuilder) place(err error, line int) error {
	out := &score.ReadError{Line: line, Err: err}
	var syntax *xml.SyntaxError
	if errors.As(err, &syntax) {
		out.Line, out.Msg, out.Err = syntax.Line, "not well-formed XML: "+syntax.Msg, err
		if strings.Contains(syntax.Msg, "entity") {
			out.Msg += " (only the entities of XML itself are read)"
		}
		return &score.ReadError{Line: out.Line, Part: b.openAttr("part", "id"), Bar: b.openAttr("measure", "number"), Msg: out.Msg}
	}
	if err == io.EOF {
		return &score.ReadError{Line: line, Msg: "there is no XML element in it"}
	}
	out.Part, out.Bar = b.openAttr("part", "id"), b.openAttr("measure", "number")
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
