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
	s := spot{at: parent.inner}
	outer, onOwnLine := lineBlank(text, parent.start)
	if child != nil {
		s.at = child.end
		lead, ok := lineBlank(text, child.start)
		if !ok {
			return s
		}
		s.lead = lead
		s.unit = strings.TrimPrefix(lead, outer)
		if !onOwnLine || s.unit == lead && outer != lineBreak(lead) || s.unit == "" {
			s.unit = defaultUnit
		}
	} else {
		if !onOwnLine {
			return s
		}
		s.unit = defaultUnit
		s.lead = outer + s.unit
	}
	tail, ok := lineBlank(text, parent.innerEnd)
	s.hanging = ok && tail == s.lead
	s.closing = s.lead
	if s.hanging {
		s.closing += s.unit
	}
	return s
}

// defaultUnit is the indent where the surroundings show none: two blanks, the
// commonest in scores.
const defaultUnit = "  "

// lineBlank is the line break and the blanks before an offset; ok is false when
// something else stands before it in its line.
func lineBlank(text string, at int) (blank string, ok bool) {
	i := at
	for i > 0 && (text[i-1] == ' ' || text[i-1] == '\t') {
		i--
	}
	if i == 0 || text[i-1] != '\n' {
		return "", false
	}
	i--
	if i > 0 && text[i-1] == '\r' {
		i--
	}
	return text[i:at], true
}

// lineBreak is the line break at the start of a blank.
func lineBreak(blank string) string { return blank[:strings.IndexByte(blank, '\n')+1] }
