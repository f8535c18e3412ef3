package align

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"waterkey/hear/onset"
)

// place is where a path stands in the search of all paths.
type place struct {
	resting, ended bool
	head           *head // nil before the beginning, at rest and at the end
	note, sound    int
}

// everyPath is the best score of all paths from sound k on, found by trying
// every one.
func everyPath(s *search, cents float64, tempo []float64, k int, at place) float64 {
	last := len(s.page.notes) - 1
	best := math.Inf(-1)
	try := func(v float64) { best = max(best, v) }
	if at.head != nil {
		end := 0.0
		if at.note < last {
			end = -earlyEnd
		}
		try(end + everyPath(s, cents, tempo, k, place{ended: true}))
		try(-stopCost + everyPath(s, cents, tempo, k, place{resting: true}))
	}
	if k == len(s.sounds) {
		if at.ended {
			return max(best, 0)
		}
		return best
	}
	v := &s.sounds[k]
	enter := func(i int, paid float64, only bool) {
		n := &s.page.notes[i]
		gain, right := matchGain(n, v, cents)
		if only && !right {
			return
		}
		h := head{right: right}
		if right {
			h.covered = filled(n, v.End-v.Start, tempo[k])
			gain += fillGain * h.covered
		}
		try(gain - paid + everyPath(s, cents, tempo, k+1, place{head: &h, note: i, sound: k}))
	}
	begin := func(first bool) {
		for i := range s.page.notes {
			paid := s.page.notes[i].begin
			if first && i > 0 {
				paid += lateBegin
			}
			if !first {
				paid += beginAt(v)
			}
			enter(i, paid, true)
		}
	}
	switch {
	case at.ended:
		try(-outsideLoss + everyPath(s, cents, tempo, k+1, at))
	case at.resting:
		try(-outsideLoss + everyPath(s, cents, tempo, k+1, at))
		begin(false)
	case at.head == nil:
		try(-outsideLoss + everyPath(s, cents, tempo, k+1, at))
		begin(true)
	default:
		n := &s.page.notes[at.note]
		h := *at.head
		more, covered, _ := s.passing(&h, n, v, cents, tempo[at.sound])
		h.covered = covered
		try(more + everyPath(s, cents, tempo, k+1, place{head: &h, note: at.note, sound: at.sound}))
		late := func(i int, cut float64) float64 {
			return untimely(v.Start-s.sounds[at.sound].Start, (s.page.notes[i].start-n.start-cut)*tempo[at.sound], 0)
		}
		skipped := 0.0
		for i := at.note + 1; i <= last; i++ {
			enter(i, skipped+late(i, 0), false)
			skipped += missCost(&s.page.notes[i])
		}
		for _, l := range s.page.leaps[at.note] {
			enter(l.to, l.cost+late(l.to, l.cut), false)
		}
	}
	return best
}

// On small seeded cases the search finds the best of all paths: with faults, a
// stop and a new beginning, and sounds of no note among them.
func TestTheBestOfAllPathsIsFound(t *testing.T) {
	const cases, tolerance = 150, 1e-9
	for seed := range uint64(cases) {
		r := rand.New(rand.NewPCG(seed, 1))
		pf := melody(t, tune[:3+r.IntN(3)]...)
		sounds := heard(pf, 1, 0)
		if r.IntN(3) == 0 { // once more from somewhere
			from := r.IntN(len(sounds))
			for _, v := range slices.Clone(sounds[from:]) {
				v.Start, v.End = v.Start+4, v.End+4
				sounds = append(sounds, v)
			}
		}
		for i := range sounds {
			sounds[i].Start += 0.1 * r.NormFloat64()
			if r.IntN(4) == 0 {
				sounds[i].Cents += 100 * float64(r.IntN(5)-2)
			}
			if r.IntN(4) == 0 {
				sounds[i].Rise, sounds[i].Dip = 2, 2
			}
		}
		if r.IntN(2) == 0 {
			k := r.IntN(len(sounds))
			sounds = slices.Delete(sounds, k, k+1)
		}
		slices.SortFunc(sounds, func(a, b onset.Sound) int { return int(math.Copysign(1, a.Start-b.Start)) })
		sounds = sounds[:min(len(sounds), 6)]
		s := &search{page: newPage(pf, 440), sounds: sounds}
		tempo := make([]float64, len(sounds))
		for i := range tempo {
			tempo[i] = 0.9 + 0.2*r.Float64()
		}
		got := s.run(transposition{}, tempo)
		want := everyPath(s, 0, tempo, 0, place{})
		if math.Abs(got.score-want) > tolerance && !(math.IsInf(want, -1) && math.IsInf(got.score, -1)) {
			t.Errorf("seed %d: score %.6f, the best of all paths has %.6f", seed, got.score, want)
		}
	}
}
