package musicxml

import "strings"

// spot is a place to insert elements, with the blanks that its surroundings
// use.
type spot struct {
	at      int
	lead    string // before an element: line break and indent, or ""
	closing string // before the end tag of an element that starts here
	unit    string // one level of indent
	hanging bool   // end tags stand under the children, as some programs write
}

// deeper is the spot's blanks one level further in.
func (s spot) deeper() spot {
	if s.lead != "" {
		s.lead += s.unit
		s.closing = s.lead
		if s.hanging {
			s.closing += s.unit
		}
	}
	return s
}

// block writes a mark inside a new group.
func (s spot) block(m newMark) string {
	return "<" + m.group + ">" + s.deeper().lead + m.xml + s.closing + "</" + m.group + ">"
}

// endOf is the place behind an element's last child.
func (d *Document) endOf(parent *element) spot {
	if n := len(parent.children); n > 0 {
		return d.placeAfter(parent, parent.children[n-1])
	}
	return d.placeAfter(parent, nil)
}

// placeAfter is the place behind a child of parent, or at the start of parent's
// content when child is nil.
func (d *Document) placeAfter(parent, child *element) spot {
	text := d.src.text
	outer, ok := blankBefore(text, int(parent.start))
	s := spot{at: int(parent.inner), unit: outer.unit()}
	inner := blank{outer.lineBreak, outer.indent + s.unit}
	if child != nil {
		s.at = int(child.end)
		inner, ok = blankBefore(text, int(child.start))
		if step, deeper := strings.CutPrefix(inner.indent, outer.indent); deeper && step != "" {
			s.unit = step
		}
	}
	if !ok {
		return s // all on one line
	}
	s.lead = inner.lineBreak + inner.indent
	tail, ok := blankBefore(text, int(parent.innerEnd))
	s.hanging = ok && tail.indent == inner.indent
	s.closing = s.lead
	if s.hanging {
		s.closing += s.unit
	}
	return s
}

// blank is what stands before the first element of a line.
type blank struct{ lineBreak, indent string }

// unit is one level of indent where the surroundings show none: a tab where
// tabs are in use, else two blanks, the commonest in scores.
func (b blank) unit() string {
	if strings.HasPrefix(b.indent, "\t") {
		return "\t"
	}
	return "  "
}

// blankBefore is the line break and the indent before an offset; ok is false
// when something else stands before it in its line.
func blankBefore(text string, at int) (b blank, ok bool) {
	i := at
	for i > 0 && (text[i-1] == ' ' || text[i-1] == '\t') {
		i--
	}
	b = blank{"\n", text[i:at]}
	if strings.HasSuffix(text[:i], "\r\n") {
		b.lineBreak = "\r\n"
	}
	return b, strings.HasSuffix(text[:i], "\n")
}
