package reading

import (
	"fmt"
	"math"

	"waterkey/brass"
	"waterkey/positions"
	"waterkey/score"
)

// lipTrillPartial is the lowest partial from which neighbors lie a whole tone or less
// apart, as a lip trill needs (published: the harmonic series).
const lipTrillPartial = 8

// What makes a pair of fingerings hard to trill, in fingers (estimates).
const (
	crossFingers    = 2.0 // one finger down while another comes up
	unusualFingers  = 0.5 // for each place behind the usual fingering
	partialFingers  = 0.5 // the lip must help
	fingersPerCents = 0.05
	mostTrillMoves  = 2 // fingers that can trill together
)

// valveTrill says how to trill between two pitches with valves, and whether that goes
// easily. A horn trills a whole tone on the lip where the partials lie close (common
// practice).
func (p *Page) valveTrill(low, high score.Pitch) (how string, ok bool) {
	if a, b, ok := p.lipTrill(low, high); ok {
		return fmt.Sprintf("a lip trill %s, partials %d and %d", positions.How(a), a.Partial, b.Partial), true
	}
	least := math.Inf(1)
	for m, a := range p.ways(low) {
		for n, b := range p.ways(high) {
			moved, crossed := valvesMoved(a, b)
			cost := trillCost(a, b, moved, crossed) + unusualFingers*float64(m+n)
			if moved == 0 || cost >= least {
				continue
			}
			least, ok = cost, !crossed && moved <= mostTrillMoves
			how = fmt.Sprintf("a valve trill, %s and %s", bare(a), bare(b))
			if crossed {
				how = fmt.Sprintf("fingers cross, %s and %s", bare(a), bare(b))
			}
		}
	}
	if how == "" {
		return "out of reach", false
	}
	return how, ok
}

func trillCost(a, b brass.Way, moved int, crossed bool) float64 {
	cost := float64(moved) + fingersPerCents*(math.Abs(a.OffCents)+math.Abs(b.OffCents)) + partialFingers*float64(abs(a.Partial-b.Partial))
	if crossed {
		cost += crossFingers
	}
	return cost
}

// lipTrill finds the fingering with the fewest valves on which a horn trills between
// two pitches with the lip.
func (p *Page) lipTrill(low, high score.Pitch) (from, to brass.Way, ok bool) {
	if p.Path.Instrument.Family != brass.Horns {
		return from, to, false
	}
	for _, a := range p.ways(low) {
		for _, b := range p.ways(high) {
			trills := a.Valve == b.Valve && a.Partial >= lipTrillPartial && b.Partial == a.Partial+1
			if trills && (!ok || len(a.Valve) < len(from.Valve)) {
				from, to, ok = a, b, true
			}
		}
	}
	return from, to, ok
}
