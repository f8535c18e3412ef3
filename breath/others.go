package breath

import "slices"

// Other is a plan near the best.
type Other struct {
	Plan      *Breathing
	ExtraCost float64 // beyond the best; below 0 only where a breath was held by the page or a pin
}

// Instead is the best plan without breath k, where there is one: what a player does
// who would rather not breathe there. It lacks air where that breath was needed.
func (b *Breathing) Instead(k int) (Other, error) {
	return b.with(Pin{After: b.Breaths[k].After, Forbid: true})
}

// Through is the best plan that breathes after a note; its extra cost says how bad
// an idea that is, in the unit of [Rules].
func (b *Breathing) Through(after int) (Other, error) { return b.with(Pin{After: after}) }

func (b *Breathing) with(p Pin) (Other, error) {
	o := b.ground.opts
	o.Pins = append(slices.Clone(o.Pins), p)
	plan, err := Solve(b.Performance, o)
	if err != nil {
		return Other{}, err
	}
	return Other{plan, plan.Cost - b.Cost}, nil
}
