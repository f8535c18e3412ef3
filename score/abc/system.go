package abc

import (
	"slices"
	"sort"

	"waterkey/score"
)

// takeSystem copies from the first voice of a tune what is written there once
// for all: tempo marks and the signs that lead through the tune. What the voice
// itself says goes first. (Fields "should be repeated in every voice to which
// they apply", 7.3; in the wild tempos are not.)
func (r *reader) takeSystem(top *score.Part) {
	for i := range min(len(r.out.Bars), len(top.Bars)) {
		b := top.Bars[i]
		jump{b.Segno, b.Coda, b.Fine, b.ToCoda, b.DaCapo, b.DalSegno}.put(&r.out.Bars[i])
	}
	for _, t := range top.Tempos {
		at, ok := r.sameMoment(top, t)
		own := slices.ContainsFunc(r.out.Tempos, func(o score.TempoMark) bool { return o.At == at })
		if ok && !own {
			t.At = at
			r.out.Tempos = append(r.out.Tempos, t)
		}
	}
	sort.SliceStable(r.out.Tempos, func(i, j int) bool { return r.out.Tempos[i].At.Less(r.out.Tempos[j].At) })
}

// sameMoment finds the moment of a mark by its place in the bar; ok is false
// where this voice has no such moment.
func (r *reader) sameMoment(top *score.Part, t score.TempoMark) (at score.Time, ok bool) {
	if t.Bar >= len(r.out.Bars) || t.Bar >= len(top.Bars) {
		return score.Time{}, false
	}
	at = r.out.Bars[t.Bar].Start.Add(t.At.Sub(top.Bars[t.Bar].Start))
	return at, !r.out.Bars[t.Bar].End().Less(at)
}
