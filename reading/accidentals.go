package reading

import (
	"fmt"

	"waterkey/finding"
	"waterkey/score"
)

// accidentals names the notes outside the key, those that an earlier accidental
// of the bar still alters, and those right after the bar where the key is back.
func accidentals(p *Page) []finding.Finding {
	printed := p.where(func(i int) bool {
		n := p.note(i)
		return n.Accidental != "" && !n.Courtesy && n.Written.Alter != p.inKey(n)
	})
	if len(printed) == 0 {
		return nil
	}
	rs := p.runs(printed, 0)
	// Thick: this many in neighboring bars want slow practice first (estimate).
	const thick = 6.0
	most := 0
	for _, r := range rs {
		most = max(most, len(r.notes))
	}
	says := fmt.Sprintf("Accidentals on %s in %s", p.sayNames(printed), p.barList(rs))
	if held := p.heldAccidentals(); len(held) > 0 {
		says += fmt.Sprintf("; still in force without a sign on %s in %s", p.sayNames(held), p.barList(p.runs(held, 0)))
	}
	do := "Each one holds to the end of its bar, in its octave only."
	if back := p.returns(); len(back) > 0 {
		do = fmt.Sprintf("Each one holds to its bar line, and no further: the key's own %s %s back in %s.",
			p.sayNames(back), isAre(len(p.pitches(back))), p.barList(p.runs(back, 0)))
	}
	return p.merged("accidental", float64(most)/thick, rs, says+".", do)
}

func isAre(n int) string {
	if n == 1 {
		return "is"
	}
	return "are"
}

// inKey is what the signature does to the letter of a note, in semitones.
func (p *Page) inKey(n *score.Note) int {
	return p.Part.Bars[n.Bar].Key.Alteration(n.Written.Step)
}

// heldAccidentals are notes that differ from the key without a sign of their own:
// an earlier accidental of the same bar and octave holds.
func (p *Page) heldAccidentals() []int {
	return p.where(func(i int) bool {
		n := p.note(i)
		return n.Accidental == "" && n.Written.Alter != p.inKey(n)
	})
}

// returns are the notes without a sign on which the key is back right after a bar
// in which the same note was altered.
func (p *Page) returns() []int {
	type place struct {
		step   byte
		octave int
	}
	altered := map[place]int{} // the last bar in which it was altered
	return p.where(func(i int) bool {
		n := p.note(i)
		at := place{n.Written.Step, n.Written.Octave}
		if n.Written.Alter != p.inKey(n) {
			altered[at] = n.Bar
			return false
		}
		bar, ok := altered[at]
		delete(altered, at) // only the first one after is a trap
		return ok && n.Accidental == "" && n.Bar == bar+1
	})
}
