package sound

import (
	"fmt"
	"strings"

	"waterkey/score"
)

// Style is how long notes are held and how softly they begin, as shares of their
// written value. The zero Style is [score.Note.SoundedShare].
type Style struct {
	Name                                                  string
	staccatissimo, staccato, portato, plain, tenuto, full float64
	gap                                                   float64 // s, the longest silence after a note without a mark
	soft                                                  bool    // notes without a mark are tongued softly
}

// plainGap is that of the zero style: a long note is held until the tongue makes room
// for the next one, however long it is (estimate).
const plainGap = 0.08

// The styles. Order among them and within each is what teachers ask for; the
// numbers are estimates around the handbook defaults of package score (staccato
// 0.5; a measured piano value is 0.40: R. Bresin and G. U. Battel, JNMR 29, 2000).
var (
	Light    = Style{Name: "light", staccatissimo: 0.2, staccato: 0.4, portato: 0.65, plain: 0.65, tenuto: 0.9, full: 1, gap: 0.25}
	Broad    = Style{Name: "broad", staccatissimo: 0.35, staccato: 0.6, portato: 0.85, plain: 0.95, tenuto: 1, full: 1, gap: 0.05}
	Detached = Style{Name: "detached", staccatissimo: 0.25, staccato: 0.45, portato: 0.7, plain: 0.75, tenuto: 0.95, full: 1, gap: 0.15}
	Singing  = Style{Name: "singing", staccatissimo: 0.3, staccato: 0.55, portato: 0.85, plain: 1, tenuto: 1, full: 1, gap: 0.05, soft: true}
)

// Styles lists the styles that have a name.
func Styles() []Style { return []Style{Light, Broad, Detached, Singing} }

// StyleNamed finds a style; "" is the zero Style. The error lists the names.
func StyleNamed(name string) (Style, error) {
	var names []string
	for _, s := range Styles() {
		if s.Name == name {
			return s, nil
		}
		names = append(names, s.Name)
	}
	if name == "" {
		return Style{}, nil
	}
	return Style{}, fmt.Errorf("there is no style %q; try %s", name, strings.Join(names, ", "))
}

// Share is how much of its value a note is held for, 0 to 1.
func (s Style) Share(n *score.Note) float64 {
	switch {
	case s.full == 0:
		return n.SoundedShare()
	case n.Marks.Has(score.Staccato) && n.SlurTo:
		return s.portato
	case n.SlurTo || n.GlissTo || n.Grace || n.Marks.Has(score.Fermata):
		return s.full
	case n.Marks.Has(score.Staccatissimo):
		return s.staccatissimo
	case n.Marks.Has(score.Staccato | score.Tenuto):
		return s.portato
	case n.Marks.Has(score.Staccato):
		return s.staccato
	case n.Marks.Has(score.Tenuto):
		return s.tenuto
	}
	return s.plain
}

// held is how much of its value a note of so many seconds is held for.
func (s Style) held(n *score.Note, seconds float64) float64 {
	share, gap := s.Share(n), s.gap
	if s.full == 0 {
		gap = plainGap
	}
	if n.Marks.Any(score.Staccatissimo|score.Staccato|score.Tenuto) || seconds <= gap {
		return share
	}
	return max(share, 1-gap/seconds)
}

// leastHeld is what a breath leaves of the note before it (estimate).
const leastHeld = 0.3

// Shares lists for each played note the share of its value that sounds, by style
// and breaths, 0 to 1.
func Shares(pf *score.Performance, o Options) []float64 {
	out := make([]float64, len(pf.Notes))
	for i := range out {
		out[i] = o.Style.held(pf.Written(i), float64(pf.Notes[i].End-pf.Notes[i].Start))
	}
	for _, b := range o.Breaths {
		i := b.After
		if i < 0 || i+1 >= len(pf.Notes) || !(b.Room > 0) {
			continue
		}
		n := pf.Notes[i]
		if length := n.End - n.Start; length > 0 {
			held := float64((pf.Notes[i+1].Start - b.Room - n.Start) / length)
			out[i] = max(min(out[i], held), min(out[i], leastHeld))
		}
	}
	return out
}
