package trial

import "math"

// Tolerances of mir_eval (C. Raffel et al., ISMIR 2014; its onset and
// transcription modules).
const (
	onsetWindow = 0.05 // s
	pitchWindow = 50.0 // cents
	endShare    = 0.2  // of the note's length
	endLeast    = 0.05 // s
)

// counts are what precision, recall and F are made of.
type counts struct{ hits, truth, found int }

func (c *counts) add(d counts) {
	c.hits, c.truth, c.found = c.hits+d.hits, c.truth+d.truth, c.found+d.found
}

// precision is the share of the found that is true; 1 when nothing was found
// that is false.
func (c counts) precision() float64 { return share(c.hits, c.found) }

// recall is the share of the true that was found; 1 when there was nothing to
// find.
func (c counts) recall() float64 { return share(c.hits, c.truth) }

// f is the harmonic mean of both.
func (c counts) f() float64 { return share(2*c.hits, c.truth+c.found) }

func share(part, whole int) float64 {
	if whole == 0 {
		return 1
	}
	return float64(part) / float64(whole)
}

// matching is the largest set of pairs with an item of each side at most once,
// for n true and m found items (H. W. Kuhn's augmenting paths; J. E. Hopcroft and R. M.
// Karp, SIAM J. Comput. 2, 1973, reach the same size). The result has the
// found item of each true one, -1 for none.
func matching(n, m int, fits func(i, j int) bool) []int {
	owner := make([]int, m)
	for j := range owner {
		owner[j] = -1
	}
	var seen []bool
	var place func(i int) bool
	place = func(i int) bool {
		for j := range m {
			if seen[j] || !fits(i, j) {
				continue
			}
			seen[j] = true
			if owner[j] < 0 || place(owner[j]) {
				owner[j] = i
				return true
			}
		}
		return false
	}
	out := make([]int, n)
	for i := range out {
		out[i] = -1
		seen = make([]bool, m)
		place(i)
	}
	for j, i := range owner {
		if i >= 0 {
			out[i] = j
		}
	}
	return out
}

func tally(pairs []int, found int) counts {
	c := counts{truth: len(pairs), found: found}
	for _, j := range pairs {
		if j >= 0 {
			c.hits++
		}
	}
	return c
}

// matchOnsets pairs onsets in seconds.
func matchOnsets(truth, found []float64) []int {
	return matching(len(truth), len(found), func(i, j int) bool {
		return math.Abs(truth[i]-found[j]) <= onsetWindow
	})
}

// matchNotes pairs notes, their ends included or not.
func matchNotes(truth, found []Heard, ends bool) []int {
	return matching(len(truth), len(found), func(i, j int) bool {
		a, b := truth[i], found[j]
		if rounded(a.Start-b.Start) > onsetWindow || math.Abs(cents(a.Hz, b.Hz)) > pitchWindow {
			return false
		}
		return !ends || rounded(a.End-b.End) <= max(endLeast, endShare*(a.End-a.Start))
	})
}

// rounded is a distance in seconds to four decimals, as mir_eval has it, so
// that what is written as 50 ms is within 50 ms.
func rounded(d float64) float64 { return math.Round(math.Abs(d)*1e4) / 1e4 }
