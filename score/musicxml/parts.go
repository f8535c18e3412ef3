package musicxml

import (
	"fmt"
	"strconv"
	"strings"

	"waterkey/score"
)

// partSource is one part's music, whether the file lies by part or by bar.
type partSource struct {
	index    int // in the document, from 0
	id, name string
	line     int
	measures []measure
	adopted  bool // the file leaves out the part's id
	unlisted bool // the list of parts leaves the part out
}

// measure is one bar of one part. el holds the music; it is nil where a
// timewise file leaves the part out of a bar.
type measure struct {
	el       *element // its outline
	number   string
	implicit bool
	line     int
}

func newMeasure(head, music *element) measure {
	number := head.attr("text")
	if number == "" {
		number = head.attr("number")
	}
	line := head.line
	if music != nil {
		line = music.line
	}
	return measure{music, strings.Clone(number), head.attr("implicit") == "yes", line}
}

// listParts finds the parts in the order of the music.
func listParts(root *element) ([]*partSource, error) {
	var parts []*partSource
	switch root.name {
	case "score-partwise":
		parts = partwise(root)
	case "score-timewise":
		var err error
		if parts, err = timewise(root); err != nil {
			return nil, err
		}
	default:
		return nil, &score.ReadError{Line: root.line, Msg: fmt.Sprintf("the document is a <%s>; want <score-partwise> or <score-timewise>", root.name)}
	}
	if len(parts) == 0 {
		return nil, &score.ReadError{Line: root.line, Msg: "the score has no part"}
	}
	return parts, nameParts(parts, root.child("part-list").all("score-part"))
}

func partwise(root *element) []*partSource {
	var parts []*partSource
	for _, el := range root.all("part") {
		p := &partSource{id: strings.Clone(el.attr("id")), line: el.line}
		for _, m := range el.all("measure") {
			p.measures = append(p.measures, newMeasure(m, m))
		}
		parts = append(parts, p)
	}
	return parts
}

// timewise turns the bars of all parts into the bars of each.
func timewise(root *element) ([]*partSource, error) {
	var parts []*partSource
	byID := map[string]*partSource{}
	bars := root.all("measure")
	for i, m := range bars {
		for _, el := range m.all("part") {
			p := byID[el.attr("id")]
			if p == nil {
				p = &partSource{id: strings.Clone(el.attr("id")), line: el.line}
				byID[p.id] = p
				parts = append(parts, p)
			}
			if len(parts)*len(bars) > maxOutline {
				return nil, &score.ReadError{Line: el.line, Msg: fmt.Sprintf("%d bars with more than %d parts; at most %d bars of all parts are read", len(bars), len(parts)-1, maxOutline)}
			}
			p.fill(bars[:i])
			if len(p.measures) == i {
				p.measures = append(p.measures, newMeasure(m, el))
			}
		}
	}
	for _, p := range parts {
		p.fill(bars)
	}
	return parts, nil
}

// fill adds empty bars where the part was left out.
func (p *partSource) fill(bars []*element) {
	for len(p.measures) < len(bars) {
		p.measures = append(p.measures, newMeasure(bars[len(p.measures)], nil))
	}
}

// nameParts looks up the names. A single part without an id takes the one
// that the list gives; otherwise an id is needed to tell parts apart.
func nameParts(parts []*partSource, list []*element) error {
	names, seen := map[string]string{}, map[string]bool{}
	for _, s := range list {
		names[s.attr("id")] = printedName(s)
	}
	for i, p := range parts {
		p.index = i
		if p.id == "" && len(parts) == 1 && len(list) <= 1 {
			p.adopted = true
			if len(list) == 1 {
				p.id = strings.Clone(list[0].attr("id"))
			}
		}
		if seen[p.id] {
			return &score.ReadError{Line: p.line, Msg: fmt.Sprintf("a second part has the id %q", p.id)}
		}
		seen[p.id] = true
		_, listed := names[p.id]
		p.unlisted = !listed && len(list) > 0
		p.name = p.id
		if name := names[p.id]; name != "" {
			p.name = name
		}
	}
	return nil
}

// printedName is the name as the page shows it: part-name-display before
// part-name.
func printedName(scorePart *element) string {
	if display := scorePart.child("part-name-display"); display != nil && display.attr("print-object") != "no" {
		words := []string{}
		for _, c := range display.children {
			switch c.name {
			case "display-text":
				words = append(words, c.value())
			case "accidental-text":
				words = append(words, accidentalText[c.value()])
			}
		}
		if name := score.Plain(strings.Join(words, " ")); name != "" {
			return name
		}
	}
	return score.Plain(scorePart.child("part-name").value())
}

var accidentalText = map[string]string{"flat": "flat", "sharp": "sharp", "natural": "natural"}

// Parts lists the parts in the order of the document.
func (d *Document) Parts() []score.PartInfo {
	out := make([]score.PartInfo, len(d.parts))
	for i, p := range d.parts {
		out[i] = score.PartInfo{ID: p.id, Name: p.name, Notes: p.pitched()}
	}
	return out
}

// fits says when a part is longer than is read.
func (p *partSource) fits() error {
	if len(p.measures) > maxBars {
		return fmt.Errorf("the part has %d bars; at most %d are read", len(p.measures), maxBars)
	}
	notes, elements := 0, 0
	for _, m := range p.measures {
		if m.el != nil {
			notes += m.el.music.notes
			elements += m.el.music.elements
		}
	}
	if elements > maxPartElements {
		return fmt.Errorf("the part has %d elements and attributes; at most %d are read", elements, maxPartElements)
	}
	if notes > maxNotes {
		return fmt.Errorf("the part has %d notes and rests; at most %d are read", notes, maxNotes)
	}
	return nil
}

// pitched counts the part's written notes with a pitch.
func (p *partSource) pitched() int {
	n := 0
	for _, m := range p.measures {
		if m.el != nil {
			n += m.el.music.pitched
		}
	}
	return n
}

// pick finds the selected part: by id, then name, number, start of a name.
func (d *Document) pick(want string) (*partSource, error) {
	if want == "" {
		for _, p := range d.parts {
			if p.pitched() > 0 {
				return p, nil
			}
		}
		return d.parts[0], nil
	}
	tests := []func(p *partSource) bool{
		func(p *partSource) bool { return p.id == want },
		func(p *partSource) bool { return strings.EqualFold(p.name, want) },
	}
	for _, test := range tests {
		if found := d.matching(test); len(found) > 0 {
			return found[0], nil
		}
	}
	if n, err := strconv.Atoi(want); err == nil && n >= 1 && n <= len(d.parts) {
		return d.parts[n-1], nil
	}
	found := d.matching(func(p *partSource) bool {
		return len(p.name) >= len(want) && strings.EqualFold(p.name[:len(want)], want)
	})
	if len(found) == 1 {
		return found[0], nil
	}
	return nil, d.noSuchPart(want, found)
}

func (d *Document) matching(test func(p *partSource) bool) []*partSource {
	var out []*partSource
	for _, p := range d.parts {
		if test(p) {
			out = append(out, p)
		}
	}
	return out
}

func (d *Document) noSuchPart(want string, found []*partSource) error {
	e := &score.PartError{Want: want, Several: len(found) > 1}
	if !e.Several {
		found = d.parts
	}
	for _, p := range found {
		e.Names = append(e.Names, p.name)
	}
	return &score.ReadError{File: d.file, Err: e}
}
