package sound

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"waterkey/score"
)

// LevelPoint is a point of a curve of level over the performance.
type LevelPoint struct {
	At score.Seconds // on the clock of the performance
	DB float64       // beside the marks of the page; more than MostShapeDB is cut
}

// MostShapeDB keeps a curve from being taken for a marking, which is 4 dB
// (estimate).
const MostShapeDB = 1.5

// Arc is a phrase on the clock of the performance: where it begins, leads to and
// ends.
type Arc struct{ From, Top, To score.Seconds }

// Arcs draws a curve that rises to the high point of each phrase and falls away
// from it, the most at the end (common practice; the amounts are estimates).
func Arcs(arcs []Arc) []LevelPoint {
	const begin, end = -0.5, -MostShapeDB // dB
	var out []LevelPoint
	for _, a := range arcs {
		if !(a.From < a.To) {
			continue
		}
		top := min(max(a.Top, a.From), a.To)
		if top > a.From {
			out = append(out, LevelPoint{a.From, begin})
		}
		out = append(out, LevelPoint{top, MostShapeDB})
		if top < a.To {
			out = append(out, LevelPoint{a.To, end})
		}
	}
	slices.SortStableFunc(out, func(a, b LevelPoint) int { return cmp.Compare(a.At, b.At) })
	return out
}

// shapeAt reads the curve, even in dB between its points and level outside them.
func shapeAt(curve []LevelPoint, at score.Seconds) float64 {
	if len(curve) == 0 {
		return 0
	}
	i := sort.Search(len(curve), func(i int) bool { return curve[i].At > at })
	switch i {
	case 0:
		return withinShape(curve[0].DB)
	case len(curve):
		return withinShape(curve[i-1].DB)
	}
	a, b := curve[i-1], curve[i]
	return mix(withinShape(a.DB), withinShape(b.DB), float64((at-a.At)/(b.At-a.At)))
}

func withinShape(db float64) float64 { return min(max(db, -MostShapeDB), MostShapeDB) }

// bend lays the curve over the level of a tone that is still on the clock of the
// performance.
func bend(t *Tone, curve []LevelPoint) {
	if len(curve) == 0 {
		return
	}
	start, changes := shapeAt(curve, t.Start), t.Swell != nil
	t.Level += start
	swell := make([]float64, swellPoints+1)
	for k := range swell {
		u := float64(k) / swellPoints
		more := shapeAt(curve, t.Start+score.Seconds(u)*(t.End-t.Start)) - start
		swell[k] = swellAt(t.Swell, u) + more
		changes = changes || math.Abs(more) > swellLeast
	}
	if changes {
		t.Swell = swell
	}
}
