package reading

import "math"

// estimator is the Krichevsky-Trofimov estimator over an alphabet of marks (R.
// Krichevsky and V. Trofimov, "The Performance of Universal Encoding", IEEE Trans.
// Information Theory 27, 1981): after seeing mark a n(a) times among n, the chance
// that a comes next is (n(a) + 1/2) / (n + k/2), k being the size of the alphabet.
// It is the mean of a Dirichlet prior of one half for each mark; the order in which
// the marks were seen does not matter, so that what stands after a note can teach
// the estimator as well as what stands before it.
type estimator struct {
	count []int // by mark
	total int
}

func newEstimator(marks int) *estimator { return &estimator{count: make([]int, marks)} }

// see counts a mark so many times; a negative number takes it back.
func (e *estimator) see(mark, times int) {
	e.count[mark] += times
	e.total += times
}

// chance is the probability of a mark, above 0 and at most 1.
func (e *estimator) chance(mark int) float64 {
	return (float64(e.count[mark]) + 0.5) / (float64(e.total) + float64(len(e.count))/2)
}

// surprise is the information content of a mark in bits, -log2 of its chance.
func (e *estimator) surprise(mark int) float64 { return -math.Log2(e.chance(mark)) }

// coder gives the length in bits of the Krichevsky-Trofimov code of a stretch of
// marks: the sum of their surprises, each mark being learned as it comes. The sum
// depends on the counts alone and is read from two tables.
type coder struct {
	mark  []float64 // by count n: the sum of log2(i + 1/2) for i below n
	total []float64 // by length n: the sum of log2(i + k/2) for i below n
}

// newCoder makes tables for an alphabet of so many marks and stretches of up to
// so many notes.
func newCoder(marks, notes int) *coder {
	table := func(plus float64) []float64 {
		sums := make([]float64, notes+1)
		for i := range notes {
			sums[i+1] = sums[i] + math.Log2(float64(i)+plus)
		}
		return sums
	}
	return &coder{mark: table(0.5), total: table(float64(marks) / 2)}
}

// bits is the code length of a stretch with these counts by mark.
func (c *coder) bits(count func(mark int) int, marks int) float64 {
	n, sum := 0, 0.0
	for m := range marks {
		k := count(m)
		n += k
		sum += c.mark[k]
	}
	return c.total[n] - sum
}

// surroundings is how many notes before and after a note its mark is compared
// with: about what the eye takes in around it, two lines of quarter notes
// (estimate).
const surroundings = 16

// surprises gives every note the bits of surprise that its mark is, between the
// notes around it and on the page as a whole: the smaller of the two, so that a
// mark must be rare in both. Marks are numbered from 0; a note looks no further
// than the ends of its entry, given by the index of its first note.
func surprises(marks []int, alphabet int, entry []int) []float64 {
	page := newEstimator(alphabet)
	for _, m := range marks {
		page.see(m, 1)
	}
	near := newEstimator(alphabet)
	from, to := 0, 0 // what near has seen
	out := make([]float64, len(marks))
	for i, m := range marks {
		for to < len(marks) && to <= i+surroundings && entry[to] == entry[i] {
			near.see(marks[to], 1)
			to++
		}
		for from < max(i-surroundings, entry[i]) {
			near.see(marks[from], -1)
			from++
		}
		near.see(m, -1)
		page.see(m, -1)
		out[i] = min(near.surprise(m), page.surprise(m))
		near.see(m, 1)
		page.see(m, 1)
	}
	return out
}
