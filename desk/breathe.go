package desk

import (
	"fmt"
	"strings"

	"waterkey/breath"
	"waterkey/score"
)

// BreathFix is a coach's decision about breathing, in a coach's words.
type BreathFix struct {
	// Where is the note before the breath: its id, or its count in the bar ("12.3" is
	// the third note of bar 12). Never may also name a bar ("12"), bars ("12-15") or,
	// with "", the whole part.
	Where string
	Never bool // no breath there, instead of one
}

// breathPins turns fixes into what the solver understands. Errors name the place, what
// is wrong, and something that works.
func breathPins(fixes []BreathFix, pf *score.Performance) ([]breath.Pin, error) {
	var out []breath.Pin
	for _, f := range fixes {
		where := strings.TrimSpace(f.Where)
		first, last, err := notesAt(where, pf)
		if err != nil {
			return nil, fmt.Errorf("breath after %q: %w", where, err)
		}
		if !f.Never && first != last {
			return nil, fmt.Errorf("a breath after %q: there are %d notes; name one, such as %s.%d", where, last-first+1, pf.Part.BarName(pf.Written(first).Bar), 1)
		}
		// After the last note there is no breath to forbid, unless it alone was named.
		if first < last {
			last = min(last, len(pf.Notes)-2)
		}
		for i := first; i <= last; i++ {
			out = append(out, breath.Pin{After: i, Forbid: f.Never})
		}
	}
	return out, nil
}

// Fix is the pin as [Prepare] takes it.
func (p BreathPin) Fix() BreathFix { return BreathFix{Where: p.After, Never: p.Never} }
