package reading

import (
	"cmp"
	"fmt"
	"slices"

	"waterkey/finding"
)

// spot is one of several like places, and how much it matters among them.
type spot struct {
	place
	size float64
}

// mainPlaces keeps the largest of many, as many as a sentence names, in the order
// of the page.
func mainPlaces[T any](all []T, size func(T) float64) []T {
	if len(all) <= maxPlaces+1 {
		return all // leaving out one would say no less
	}
	at := make([]int, len(all))
	for i := range at {
		at[i] = i
	}
	slices.SortStableFunc(at, func(a, b int) int { return cmp.Compare(size(all[b]), size(all[a])) })
	at = at[:maxPlaces]
	slices.Sort(at)
	kept := make([]T, len(at))
	for k, i := range at {
		kept[k] = all[i]
	}
	return kept
}

// together says a single place by itself and several in one sentence that opens
// with many; of very many it names the largest. Places has them all.
func (p *Page) together(kind string, severity float64, spots []spot, many, do string) []finding.Finding {
	if len(spots) == 0 {
		return nil
	}
	if len(spots) == 1 {
		return []finding.Finding{p.finding(kind, severity, spots[0].from, spots[0].to, spots[0].says, do)}
	}
	kept := mainPlaces(spots, func(s spot) float64 { return s.size })
	var parts []string
	for _, s := range kept {
		parts = append(parts, s.short)
	}
	if left := len(spots) - len(kept); left > 0 {
		parts = append(parts, fmt.Sprintf("%d more places", left))
	}
	f := p.finding(kind, severity, spots[0].from, spots[0].to, many+" "+joinAnd(parts)+".", do)
	for _, s := range spots {
		f.Places = append(f.Places, p.bars(s.from, s.to))
	}
	return []finding.Finding{f}
}
