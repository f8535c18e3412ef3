package positions

import (
	"fmt"
	"strings"

	"waterkey/brass"
)

// Pin holds the choice for a note, or for every note of a range. What it does
// not name is free: position 0, no valve and partial 0 say nothing.
type Pin struct {
	Note int // index of the played note
	To   int // last note of a range; anything up to Note is that note alone
	// Position, Valve and Partial are those of [brass.Way]. A pointer to "" is
	// the open horn: over a range it keeps the thumb off.
	Position int
	Valve    *string
	Partial  int
	Forbid   bool // leave out the ways that match, instead of keeping only them
}

// pin leaves each note the ways that all pins allow. A note out of reach has
// none to begin with and is passed over.
func (g *graph) pin(pins []Pin) error {
	for _, p := range pins {
		last := max(p.Note, p.To)
		if err := g.checkPin(p, last); err != nil {
			return err
		}
		for i := max(p.Note, g.first); i <= min(last, g.first+len(g.layers)-1); i++ {
			if err := g.pinNote(i, p); err != nil {
				return err
			}
		}
	}
	return nil
}

func (g *graph) checkPin(p Pin, last int) error {
	if p.Note < 0 || last >= len(g.pf.Notes) {
		return fmt.Errorf("a choice is fixed for notes %d to %d, but the part has notes 0 to %d", p.Note, last, len(g.pf.Notes)-1)
	}
	if p.Position == 0 && p.Valve == nil && p.Partial == 0 {
		return fmt.Errorf("what is fixed for %s names neither position, valve nor partial; name one, such as position 1", g.place(p.Note))
	}
	return nil
}

func (g *graph) pinNote(i int, p Pin) error {
	layer := &g.layers[i-g.first]
	if (*layer)[0].way == nil {
		return nil
	}
	var left []node
	for _, n := range *layer {
		if p.matches(n.way) != p.Forbid {
			left = append(left, n)
		}
	}
	if len(left) == 0 {
		return g.impossible(i, p)
	}
	*layer = left
	return nil
}

// allows says whether all pins leave note i a way.
func (o Options) allows(i int, w *brass.Way) bool {
	for _, p := range o.Pins {
		if i >= p.Note && i <= max(p.Note, p.To) && p.matches(w) == p.Forbid {
			return false
		}
	}
	return true
}

func (p Pin) matches(w *brass.Way) bool {
	return (p.Position == 0 || w.Position == p.Position) &&
		(p.Valve == nil || w.Valve == *p.Valve) &&
		(p.Partial == 0 || w.Partial == p.Partial)
}

// impossible says why a pin cannot be held and what would work.
func (g *graph) impossible(i int, p Pin) error {
	all := waysText(g.in.Ways(g.pf.Written(i).Pitch))
	var left []brass.Way
	for _, n := range g.layers[i-g.first] {
		left = append(left, *n.way)
	}
	now := waysText(left)
	rest := ""
	if now != all {
		rest = fmt.Sprintf("; what else is fixed leaves only %s", now)
	}
	if p.Forbid {
		return fmt.Errorf("%s cannot be played without %s: there is %s%s", g.place(i), p.text(), all, rest)
	}
	return fmt.Errorf("%s cannot be played %s: there is %s%s", g.place(i), p.text(), all, rest)
}

// place names a note as written: "C3 in bar 5".
func (g *graph) place(i int) string {
	n := g.pf.Written(i)
	return fmt.Sprintf("%s in bar %s", n.Written.Text(), g.pf.Part.Bars[n.Bar].Number)
}

// text is what a pin names: "in position 1 on the open horn as partial 3".
func (p Pin) text() string {
	var parts []string
	if p.Position != 0 {
		parts = append(parts, fmt.Sprintf("position %d", p.Position))
	}
	if p.Valve != nil {
		switch {
		case *p.Valve == "":
			parts = append(parts, "the open horn")
		case strings.Contains(*p.Valve, "+"):
			parts = append(parts, "valves "+strings.ReplaceAll(*p.Valve, "+", " and "))
		default:
			parts = append(parts, "valve "+*p.Valve)
		}
	}
	if p.Partial != 0 {
		parts = append(parts, fmt.Sprintf("partial %d", p.Partial))
	}
	if p.Forbid {
		return strings.Join(parts, ", ")
	}
	return "with " + strings.Join(parts, ", ")
}

// waysText lists ways: "6 (partial 3), T1 (partial 3)".
func waysText(ways []brass.Way) string {
	var parts []string
	for _, w := range ways {
		parts = append(parts, fmt.Sprintf("%s (partial %d)", w.Label, w.Partial))
	}
	return strings.Join(parts, ", ")
}
