package reading

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"waterkey/score"
)

// none stands for a note that is not syncopated.
const none = -1

// TestMetricWeights: the weights of Longuet-Higgins and Lee, Music Perception
// 1(4), 1984, as listed with the implementation of their measure by H. Honing
// (2002), for the meters it lists; reference.
func TestMetricWeights(t *testing.T) {
	for _, c := range []struct {
		meter score.Meter
		grid  score.Time
		want  []int
	}{
		{score.Meter{Beats: 3, Unit: 4}, score.Frac(1, 8), []int{0, -2, -1, -2, -1, -2}},
		{common, score.Frac(1, 8), []int{0, -3, -2, -3, -1, -3, -2, -3}},
		{score.Meter{Beats: 6, Unit: 8}, score.Frac(1, 8), []int{0, -2, -2, -1, -2, -2}},
		{score.Meter{Beats: 9, Unit: 8}, score.Frac(1, 8), []int{0, -2, -2, -1, -2, -2, -1, -2, -2}},
		{score.Meter{Beats: 12, Unit: 8}, score.Frac(1, 8), []int{0, -3, -3, -2, -3, -3, -1, -3, -3, -2, -3, -3}},
		{score.Meter{Beats: 3, Unit: 2}, score.Frac(1, 8), []int{0, -3, -2, -3, -1, -3, -2, -3, -1, -3, -2, -3}},
	} {
		tree := pulsesOf(c.meter, nil)
		var got []int
		for k := range c.want {
			got = append(got, tree.weight(c.grid.Scale(int64(k), 1)))
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: weights %v, want %v", c.meter, got, c.want)
		}
	}
}

// TestMetricWeightsOfOurOwn: the two additions to the measure, uneven groups and
// moments inside a tuplet.
func TestMetricWeightsOfOurOwn(t *testing.T) {
	five := pulsesOf(score.Meter{Beats: 5, Unit: 8}, []int{3, 2})
	for k, want := range []int{0, -2, -2, -1, -2} {
		if got := five.weight(score.Frac(int64(k), 8)); got != want {
			t.Errorf("3+2/8: eighth %d weighs %d, want %d", k+1, got, want)
		}
	}
	if got := pulsesOf(common, nil).weight(score.Frac(1, 12)); got != -3 {
		t.Errorf("4/4: the second of three on a beat weighs %d, want -3", got)
	}
}

// TestSyncopationStrength: worked examples. The first five are figure 9 of the
// paper, the sixth its example 4(b), with the strengths that Honing's
// implementation gives for them; the others are examples that L. Smith (2005)
// lists with the same implementation. One more of his, durations 5 and 3 in
// eighths of 4/4, is left out: the list printed for it contradicts the program
// beside it. Reference.
func TestSyncopationStrength(t *testing.T) {
	three, six := score.Meter{Beats: 3, Unit: 4}, score.Meter{Beats: 6, Unit: 8}
	for _, c := range []struct {
		meter     score.Meter
		unit      int64 // of the durations, as a part of a whole note
		durations []int64
		want      []int
	}{
		{common, 4, []int64{1, 3}, []int{none, 1}},
		{common, 8, []int64{2, 1, 3, 2}, []int{none, none, 2, none}},
		{common, 4, []int64{3, 1}, []int{none, none}},
		{three, 4, []int64{2, 1}, []int{none, none}},
		{three, 4, []int64{1, 2}, []int{none, 0}},
		{six, 8, []int64{3, 1, 2}, []int{none, none, 0}},
		{common, 4, []int64{1, 2, 1}, []int{none, 1, none}},
		{common, 8, []int64{1, 2, 1, 1, 3}, []int{none, 1, none, none, 1}},
		{common, 8, []int64{1, 4, 3}, []int{none, 2, 1}},
		{common, 8, []int64{1, 2, 2, 2, 1}, []int{none, 1, 2, 1, none}},
	} {
		tree := pulsesOf(c.meter, nil)
		var got []int
		var at score.Time
		for _, d := range c.durations {
			next := at.Add(score.Frac(d, c.unit))
			s, ok := tree.syncopates(at, next, c.meter.Length())
			if !ok {
				s = none
			}
			got, at = append(got, s), next
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s, %v: strengths %v, want %v", c.meter, c.durations, got, c.want)
		}
	}
}

// TestSyncopationByScan: the strength found level by level is the one that a look
// at every moment in between gives.
func TestSyncopationByScan(t *testing.T) {
	meters := []score.Meter{common, cut, {Beats: 3, Unit: 4}, {Beats: 6, Unit: 8}, {Beats: 9, Unit: 8}, {Beats: 3, Unit: 2}, {Beats: 2, Unit: 4}}
	rapid.Check(t, func(t *rapid.T) {
		m := rapid.SampledFrom(meters).Draw(t, "meter")
		const grid = 32
		bar := floor(m.Length(), score.Frac(1, grid))
		from := rapid.Int64Range(0, bar-1).Draw(t, "from")
		to := rapid.Int64Range(from+1, 2*bar).Draw(t, "to")
		tree := pulsesOf(m, nil)
		want := none
		for k := from + 1; k < to; k++ {
			w := tree.weight(score.Frac(k%bar, grid)) - tree.weight(score.Frac(from, grid))
			want = max(want, w)
		}
		got, ok := tree.syncopates(score.Frac(from, grid), score.Frac(to, grid), m.Length())
		if !ok {
			got = none
		}
		if got != want {
			t.Fatalf("%s, from %d to %d of %d: strength %d, want %d", m, from, to, grid, got, want)
		}
	})
}
