package audio

import (
	"math"
	"testing"
)

// TestGatingBlocksOverlapByThreeQuarters: a burst as long as a block of 400 ms, alone in
// silence, is met by seven blocks, a quarter to the whole of it in each, and every one
// lies above both gates: 4/7 of its power. By hand after ITU-R BS.1770-4 (2015), annex 1:
// blocks overlap by 75 %, gates at -70 LUFS and at 10 LU below what passes that.
func TestGatingBlocksOverlapByThreeQuarters(t *testing.T) {
	const power = 0.01
	for _, start := range []int{110, 120, 200} { // steps of 10 ms, on the grid of blocks
		var l loudness
		for step := range 400 {
			if step >= start && step < start+momentarySteps {
				l.add(power)
			} else {
				l.add(0)
			}
		}
		want := -0.691 + 10*math.Log10(power*4/7)
		if got := l.integrated(); math.Abs(got-want) > 1e-6 {
			t.Errorf("a burst from %d ms on: %.4f LUFS, want %.4f", 10*start, got, want)
		}
	}
}
