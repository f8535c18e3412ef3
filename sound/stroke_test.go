package sound

import (
	"math"
	"slices"
	"testing"

	"waterkey/audio/fourier"
)

// The noise of the tongue is a puff, not a click: nothing of it lies far above its
// band, also where it goes round, and there is little below.
func TestTongueNoiseKeepsToItsBand(t *testing.T) {
	const topHz, lowHz = 12_000.0, 100.0
	noise := strokeNoise()
	plan := fourier.NewReal(strokeSize)
	lines := make([]complex128, strokeSize/2+1)
	for _, turn := range []int{0, strokeSize / 2} { // the seam at the ends, or in the middle
		x := slices.Concat(noise[turn:], noise[:turn])
		for i := range x {
			x[i] *= 0.5 - 0.5*math.Cos(2*math.Pi*float64(i)/strokeSize)
		}
		plan.Forward(lines, x)
		all, above, below := 0.0, 0.0, 0.0
		for k, c := range lines {
			power, hz := real(c)*real(c)+imag(c)*imag(c), float64(k)*strokeRate/strokeSize
			all += power
			if hz > topHz {
				above += power
			}
			if hz < lowHz {
				below += power
			}
		}
		t.Logf("turned by %d: %.1f dB above %g Hz, %.1f dB below %g Hz", turn, 10*math.Log10(above/all), topHz, 10*math.Log10(below/all), lowHz)
		if db := 10 * math.Log10(above/all); db > -40 {
			t.Errorf("turned by %d: %.1f dB of the noise lies above %g Hz, want at most -40", turn, db, topHz)
		}
		if db := 10 * math.Log10(below/all); db > -20 {
			t.Errorf("turned by %d: %.1f dB of the noise lies below %g Hz, want at most -20", turn, db, lowHz)
		}
	}
}
