package desk

import (
	"testing"

	"waterkey/score"
	"waterkey/sound"
)

// Takes of a prepared part with planted faults, for tests that keep a season: those
// need the store, which stands above this package.

// RenderedTake writes a take of a part as a file, with the faults that edit plants.
func RenderedTake(t *testing.T, p *Prepared, name string, edit func([]played) []played) string {
	t.Helper()
	o := sound.Options{LeadIn: 0.8, A4: p.a4}
	return writeTake(t, name, edit(tonesOf(p, o)), o)
}

// The faults that can be planted.
var (
	TakeNames = takeNames
	NoFault   = same
	BothOf    = both
	WrongB3   = each(func(p *played) bool { return p.name == "B3" }, tune(-100))
	SharpD4   = each(named("D4"), tune(22))
	EarlyBar  = func(bar int) func([]played) []played { return from(bar, -0.28) }
	MissedIn  = func(bar int, name string) func([]played) []played {
		return drop(func(p *played) bool { return p.bar == bar && p.name == name })
	}
	Later   = func(seconds float64) func([]played) []played { return from(1, score.Seconds(seconds)) }
	SharpIn = func(first, last int) func([]played) []played { return each(inBars(first, last), tune(100)) }
)
