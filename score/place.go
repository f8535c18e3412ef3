package score

import (
	"cmp"
	"slices"
	"sort"
)

// BarAt is the index of the bar that a moment of the written part lies in; the
// last one after the end, 0 for a part without bars.
func (p *Part) BarAt(at Time) int {
	i := sort.Search(len(p.Bars), func(i int) bool { return at.Less(p.Bars[i].Start) })
	return max(i-1, 0)
}

// BarBefore is the index of the bar that a span up to a moment ends in.
func (p *Part) BarBefore(at Time) int {
	i := sort.Search(len(p.Bars), func(i int) bool { return !p.Bars[i].Start.Less(at) })
	return max(i-1, 0)
}

// PlaceMarks brings every list of marks into the order of the part and gives each
// mark the bar that its moment lies in. Readers call it when all bars are known.
func (p *Part) PlaceMarks() {
	for i := range p.Keys {
		p.Keys[i].Bar = p.BarAt(p.Keys[i].At)
	}
	for i := range p.Meters {
		p.Meters[i].Bar = p.BarAt(p.Meters[i].At)
	}
	for i := range p.Clefs {
		p.Clefs[i].Bar = p.BarAt(p.Clefs[i].At)
	}
	for i := range p.Tempos {
		p.Tempos[i].Bar = p.BarAt(p.Tempos[i].At)
	}
	for i := range p.Dynamics {
		p.Dynamics[i].Bar = p.BarAt(p.Dynamics[i].At)
	}
	for i := range p.Words {
		p.Words[i].Bar = p.BarAt(p.Words[i].At)
	}
	for i := range p.Wedges {
		p.Wedges[i].FromBar, p.Wedges[i].ToBar = p.BarAt(p.Wedges[i].From), p.BarBefore(p.Wedges[i].To)
	}
	slices.SortStableFunc(p.Keys, func(a, b KeyMark) int { return a.At.Cmp(b.At) })
	slices.SortStableFunc(p.Meters, func(a, b MeterMark) int { return a.At.Cmp(b.At) })
	slices.SortStableFunc(p.Clefs, func(a, b ClefMark) int { return a.At.Cmp(b.At) })
	slices.SortStableFunc(p.Tempos, func(a, b TempoMark) int { return a.At.Cmp(b.At) })
	slices.SortStableFunc(p.Dynamics, func(a, b DynamicMark) int { return a.At.Cmp(b.At) })
	slices.SortStableFunc(p.Words, func(a, b Words) int { return a.At.Cmp(b.At) })
	slices.SortStableFunc(p.Wedges, func(a, b Wedge) int { return cmp.Or(a.From.Cmp(b.From), a.To.Cmp(b.To)) })
}
