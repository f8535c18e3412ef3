package reading

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"waterkey/score/scoretest"
)

// TestCutterAgainstBruteForce tries every cutting of short rows.
func TestCutterAgainstBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const alphabet, beat = 3, 4
		var marks []int
		for range rapid.IntRange(1, 10).Draw(t, "bars") {
			m := rapid.IntRange(0, alphabet-1).Draw(t, "mark")
			for range beat {
				marks = append(marks, m)
			}
		}
		if k := rapid.IntRange(0, len(marks)-1).Draw(t, "odd"); k > 0 {
			marks[k] = rapid.IntRange(0, alphabet-1).Draw(t, "instead")
		}
		c := newCutter(marks, alphabet, func(i int) bool { return i%beat == 0 })
		got := cutBits(c, c.passages())
		best := math.Inf(1)
		inner := len(c.places) - 2
		for set := range 1 << inner {
			starts := []int{0}
			for k := range inner {
				if set>>k&1 == 1 {
					starts = append(starts, c.places[k+1])
				}
			}
			best = min(best, cutBits(c, starts))
		}
		if math.Abs(got-best) > 1e-9 {
			t.Fatalf("%v: %g bits, the best cutting has %g", marks, got, best)
		}
	})
}

// cutBits is what a cutting costs.
func cutBits(c *cutter, starts []int) float64 {
	place := map[int]int{}
	for k, p := range c.places {
		place[p] = k
	}
	sum := 0.0
	for k, from := range starts {
		to := len(c.places) - 1
		if k+1 < len(starts) {
			to = place[starts[k+1]]
		}
		sum += c.passage(place[from], to) + c.cost
	}
	return sum
}

// TestArticulationChanges: parts that change and parts that do not, as a reader
// would say (common practice).
func TestArticulationChanges(t *testing.T) {
	bar := func(sign string) string { return strings.Repeat("F3/4"+sign+" ", 4) }
	bars := func(n int, sign string) string { return strings.Repeat(bar(sign), n) }
	march := strings.Repeat("F3/4> G3/4' A3/4' G3/4' ", 16)
	for _, c := range []struct {
		name, text string
		says       []string // none for no finding
	}{
		{"one manner", bars(12, "'"), nil},
		{"a mixed figure that goes on", march, nil},
		{"more accents, but staccato still prevails", bars(8, "'") + strings.Repeat("F3/4> G3/4' A3/4' G3/4> F3/4' ", 8), nil},
		{"a passage of two manners", bars(8, "'") + strings.Repeat("F3/4> G3/4^ A3/4- ", 8),
			[]string{"From bar 9 on most notes are accented or marcato, after staccato ones."}},
		{"one bar of another kind", bars(6, "'") + bar("-") + bars(6, "'"), nil},
		{"one change", bars(6, "'") + bars(6, "^"), []string{"From bar 7 on most notes are marcato, after staccato ones."}},
		{"there and back", bars(6, "'") + bars(4, "-") + bars(6, "'"),
			[]string{"bars 1 to 6 (staccato), bars 7 to 10 (tenuto) and bars 11 to 16 (staccato)"}},
		{"many", strings.Repeat(bars(4, "'")+bars(5, ">"), 6),
			[]string{"changes often", "bars 5 to 9 (accented)", "bars 50 to 54 (accented)"}},
	} {
		got := find(articulationChange(page(t, "tenor", scoretest.Part(t, common, 90, c.text))), "articulation-change")
		if len(got) != min(len(c.says), 1) {
			t.Errorf("%s: %+v, want %d findings", c.name, got, min(len(c.says), 1))
			continue
		}
		for _, want := range c.says {
			if !strings.Contains(got[0].Says, want) {
				t.Errorf("%s: %q does not say %q", c.name, got[0].Says, want)
			}
		}
	}
}
