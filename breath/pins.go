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
		if p.After < 0 || p.After >= len(g.places) {
			return fmt.Errorf("a breath is fixed after note %d, but there are places after notes 0 to %d", p.After, len(g.places)-1)
		}
		if !p.Forbid && g.closed(p.After) {
			n := g.pf.Written(p.After)
			return fmt.Errorf("no breath is possible after the %s in bar %s: it leads on as a glissando or grace note; breathe before it",
				n.Pitch.Text(), g.pf.Part.Bars[n.Bar].Number)
		}
		g.places[p.After].pinned, g.places[p.After].forced = true, !p.Forbid
		if p.Forbid {
			g.places[p.After].entry = false
		}
	}
	return nil
}
