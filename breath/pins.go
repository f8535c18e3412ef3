package breath

import "fmt"

// Pin holds the choice at a place: breathe after this played note, or do not.
type Pin struct {
	After  int
	Forbid bool
}

// pin marks the places that a coach decided. Of two pins at one place the later
// counts.
func (g *ground) pin(pins []Pin) error {
	for _, p := range pins {
		if err := g.check(p); err != nil {
			return err
		}
		g.places[p.After].pinned, g.places[p.After].forced = true, !p.Forbid
		if p.Forbid {
			g.places[p.After].entry = false
		}
	}
	return nil
}

// check says why a breath cannot be held or forbidden at a place, and where it can.
func (g *ground) check(p Pin) error {
	last := len(g.pf.Notes) - 1
	b := Breathing{Performance: g.pf, ground: g}
	switch {
	case p.After < 0 || p.After > last:
		return fmt.Errorf("a breath is fixed after note %d, but the part's notes are 0 to %d", p.After, last)
	case p.After == last && last == 0:
		return fmt.Errorf("the %s is the part's only note; there is nothing to breathe for after it", b.Ending(last))
	case p.After == last:
		return fmt.Errorf("the %s is the part's last note; there is nothing to breathe for after it. The last place is after the %s", b.Ending(last), b.Ending(last-1))
	case p.Forbid || !g.closed(p.After):
		return nil
	}
	why := "leads on as a glissando"
	if g.pf.Written(p.After).Grace {
		why = "is a grace note and belongs to the note after it"
	}
	instead := ""
	for i := p.After - 1; i >= 0; i-- {
		if !g.closed(i) {
			instead = "; breathe after the " + b.Ending(i)
			break
		}
	}
	return fmt.Errorf("no breath is possible after the %s, which %s%s", b.Ending(p.After), why, instead)
}
