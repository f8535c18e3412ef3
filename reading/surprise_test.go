package reading

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// TestEstimatorBlocks holds the product of the chances of a row of marks to
// published block probabilities of the Krichevsky-Trofimov estimator, all as quoted
// in the tests of the public repository a-robu/ctw (ctw_spec.js): 5/2048 for four
// and three from the paper on context-tree weighting, 1/2, 1/8 and 9/2048
// from the table in D. Salomon, "Data Compression: The Complete Reference",
// and 3/8 from a worked prediction.
func TestEstimatorBlocks(t *testing.T) {
	for _, c := range []struct {
		row  string
		want float64
	}{
		{"0100110", 5.0 / 2048}, {"0001011", 5.0 / 2048}, // order does not matter
		{"0", 1.0 / 2}, {"1", 1.0 / 2}, {"01", 1.0 / 8}, {"00", 3.0 / 8}, {"0011111", 9.0 / 2048},
	} {
		e, block := newEstimator(2), 1.0
		count := make([]int, 2)
		for _, r := range c.row {
			m := int(r - '0')
			block *= e.chance(m)
			e.see(m, 1)
			count[m]++
		}
		if math.Abs(block/c.want-1) > 1e-12 {
			t.Errorf("%s: %g, want %g", c.row, block, c.want)
		}
		bits := newCoder(2, len(c.row)).bits(func(m int) int { return count[m] }, 2)
		if math.Abs(bits+math.Log2(c.want)) > 1e-12 {
			t.Errorf("%s: code of %g bits, want %g", c.row, bits, -math.Log2(c.want))
		}
	}
}

// TestCoderAgainstGamma: the code length in closed form, by the gamma function of
// the standard library (the Dirichlet-categorical distribution with one half for
// each mark).
func TestCoderAgainstGamma(t *testing.T) {
	gamma := func(x float64) float64 { v, _ := math.Lgamma(x); return v }
	rapid.Check(t, func(t *rapid.T) {
		count := rapid.SliceOfN(rapid.IntRange(0, 500), 2, 9).Draw(t, "count")
		n, k := 0, float64(len(count))
		want := gamma(k/2) - k*gamma(0.5)
		for _, c := range count {
			n += c
			want += gamma(float64(c) + 0.5)
		}
		want = -(want - gamma(float64(n)+k/2)) / math.Ln2
		got := newCoder(len(count), n).bits(func(m int) int { return count[m] }, len(count))
		if math.Abs(got-want) > 1e-8*(1+want) {
			t.Fatalf("%v: %g bits, want %g", count, got, want)
		}
	})
}

// TestCoderRedundancy: for two marks the code exceeds the entropy of the row by at
// most half the logarithm of its length and one bit (Willems, Shtarkov and
// Tjalkens, "The Context-Tree Weighting Method: Basic Properties", IEEE Trans.
// Information Theory 41, 1995, lemma 1; the bound from memory).
func TestCoderRedundancy(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		count := []int{rapid.IntRange(0, 2000).Draw(t, "a"), rapid.IntRange(1, 2000).Draw(t, "b")}
		n, entropy := float64(count[0]+count[1]), 0.0
		for _, c := range count {
			if c > 0 {
				entropy -= float64(c) * math.Log2(float64(c)/n)
			}
		}
		over := newCoder(2, int(n)).bits(func(m int) int { return count[m] }, 2) - entropy
		if over < 0 || over > 0.5*math.Log2(n)+1+1e-9 {
			t.Fatalf("%v: %g bits over the entropy", count, over)
		}
	})
}

// TestSurprises compares the moving window with a count afresh at every note.
func TestSurprises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const alphabet = 4
		marks := rapid.SliceOfN(rapid.IntRange(0, alphabet-1), 1, 90).Draw(t, "marks")
		entry := make([]int, len(marks))
		for i := 1; i < len(marks); i++ {
			entry[i] = entry[i-1]
			if rapid.IntRange(0, 19).Draw(t, "rest") == 0 {
				entry[i] = i
			}
		}
		got := surprises(marks, alphabet, entry)
		for i, m := range marks {
			near, page := newEstimator(alphabet), newEstimator(alphabet)
			for j, other := range marks {
				if j == i {
					continue
				}
				page.see(other, 1)
				if entry[j] == entry[i] && j >= i-surroundings && j <= i+surroundings {
					near.see(other, 1)
				}
			}
			if want := min(near.surprise(m), page.surprise(m)); math.Abs(got[i]-want) > 1e-12 {
				t.Fatalf("note %d of %v: %g bits, want %g", i, marks, got[i], want)
			}
		}
	})
}
