package breath

import (
	"math"
	"testing"

	"waterkey/score"
)

func solve(t testing.TB, pf *score.Performance, o Options) *Breathing {
	t.Helper()
	b, err := Solve(pf, o)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// tiny is what sums of costs may differ by, in proportion: lacking air costs a
// million for each liter.
const tiny = 1e-9

// certify checks a plan without the solver: the cost is that of its terms, the air
// keeps between reserve and full, room and shortening are what the page gives.
func certify(t testing.TB, b *Breathing) {
	t.Helper()
	total := 0.0
	for k := range b.spans {
		for _, c := range b.Terms(k) {
			total += c.Cost
		}
	}
	if math.Abs(total-b.Cost) > tiny*(1+b.Cost) {
		t.Errorf("cost %g, terms add up to %g", b.Cost, total)
	}
	lacking := map[int]bool{}
	for _, l := range b.Lacking() {
		lacking[l.Last] = true
	}
	for _, pt := range b.Curve() {
		if pt.Liters > b.Lungs.FullLiters()+tiny {
			t.Errorf("%.3f L at %.2f s, above full", pt.Liters, pt.At)
		}
	}
	for k, br := range b.Breaths {
		if br.AirBefore < b.Lungs.ReserveLiters()-tiny && !lacking[br.After] {
			t.Errorf("%.3f L before breath %d, below the reserve, and not named", br.AirBefore, k)
		}
		n, next := b.Performance.Notes[br.After], b.Performance.Notes[br.After+1]
		left := float64(next.Start - br.Room - n.Start)
		if sounds := sounded(b.Performance, br.After) - float64(br.Shortened); math.Abs(left-sounds) > 1e-6 && br.Shortened > 0 {
			t.Errorf("breath %d: the note sounds %.3f s, up to the breath there are %.3f", k, sounds, left)
		}
		if br.Shortened < 0 || float64(br.Shortened) > mostTaken*sounded(b.Performance, br.After)+tiny {
			t.Errorf("breath %d takes %.2f s of the note", k, br.Shortened)
		}
	}
}
