package reading

import "math"

// How a part is cut into passages of one manner of articulation each. A passage
// costs the length of its Krichevsky-Trofimov code, a cut what it takes to say
// where it is; the cutting with the least sum is taken (minimum description length:
// J. Rissanen, "Modeling by Shortest Data Description", Automatica 14, 1978; from memory). It is
// found exactly by dynamic programming over the bars (R. Bellman, "Dynamic Programming", 1957).
const (
	// clearBits is what a cut must save beyond its own cost to be called a clear
	// change (estimate).
	clearBits = 4.0
	// leastPassage is the fewest notes of a passage: two bars of quarter notes; less
	// is a figure (estimate).
	leastPassage = 8
	// mostBars bounds one passage and so the work on very long parts; neighbors of
	// the same manner are joined afterwards (estimate: longer than any passage).
	mostBars = 200
)

// cutter finds passages in a row of marks.
type cutter struct {
	coder  *coder
	places []int   // notes at which a passage may begin, and the end of the row
	counts [][]int // of each mark before each place
	cost   float64 // bits of one cut
}

// newCutter takes marks numbered from 0 below alphabet, at least one; mayCut says
// whether a passage may begin at a note.
func newCutter(marks []int, alphabet int, mayCut func(i int) bool) *cutter {
	c := &cutter{coder: newCoder(alphabet, len(marks))}
	count := make([]int, alphabet)
	for i, m := range marks {
		if i == 0 || mayCut(i) {
			c.add(i, count)
		}
		count[m]++
	}
	c.cost = math.Log2(float64(len(c.places))) + clearBits
	c.add(len(marks), count)
	return c
}

func (c *cutter) add(place int, count []int) {
	c.places = append(c.places, place)
	c.counts = append(c.counts, append([]int(nil), count...))
}

// passages returns the notes at which passages begin, 0 first, in order.
func (c *cutter) passages() []int {
	last := len(c.places) - 1
	least := make([]float64, last+1) // bits up to a place, each passage with the cost of a cut
	back := make([]int, last+1)
	for to := 1; to <= last; to++ {
		least[to] = math.Inf(1)
		for from := to - 1; from >= max(to-mostBars, 0); from-- {
			if bits := least[from] + c.passage(from, to) + c.cost; bits < least[to] {
				least[to], back[to] = bits, from
			}
		}
	}
	var starts []int
	for to := last; to > 0; to = back[to] {
		starts = append([]int{c.places[back[to]]}, starts...)
	}
	return starts
}

// passage is the code length of the notes between two places, infinite when
// they are too few, unless they are all there is.
func (c *cutter) passage(from, to int) float64 {
	if whole := from == 0 && to == len(c.places)-1; !whole && c.places[to]-c.places[from] < leastPassage {
		return math.Inf(1)
	}
	before, after := c.counts[from], c.counts[to]
	return c.coder.bits(func(m int) int { return after[m] - before[m] }, len(after))
}
