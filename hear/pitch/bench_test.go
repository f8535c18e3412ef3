package pitch

import (
	"math/rand/v2"
	"testing"
)

func BenchmarkTrack(b *testing.B) {
	const seconds = 10
	noise, r := make([]float64, seconds*Rate), rand.New(rand.NewPCG(1, 2))
	for i := range noise {
		noise[i] = 0.01 * r.NormFloat64()
	}
	for name, x := range map[string][]float64{
		"silence": make([]float64, seconds*Rate),
		"noise":   noise,
		"58Hz":    noisy(tone(seconds, constant(58.27), timbres["harmonics of 1/k"]), 40),
		"117Hz":   noisy(tone(seconds, constant(116.5), timbres["harmonics of 1/k"]), 40),
		"233Hz":   noisy(tone(seconds, constant(233.1), timbres["harmonics of 1/k"]), 40),
		"466Hz":   noisy(tone(seconds, constant(466.2), timbres["harmonics of 1/k"]), 40),
	} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for range b.N {
				Track(x, nil)
			}
			b.ReportMetric(seconds*float64(b.N)/b.Elapsed().Seconds(), "x-realtime")
		})
	}
}

// BenchmarkError reports the largest error in cents over every semitone from
// B flat 0 to F6.
func BenchmarkError(b *testing.B) {
	for name, amp := range timbres {
		b.Run(name, func(b *testing.B) {
			worst := 0.0
			for range b.N {
				for midi := 22.0; midi <= 89; midi++ {
					hz := midiHz(midi)
					errs, _ := offs(Track(tone(0.4, constant(hz), amp), nil), constant(hz))
					_, w := meanAndWorst(errs)
					worst = max(worst, w)
				}
			}
			b.ReportMetric(worst, "cents")
		})
	}
}

func BenchmarkDescribe(b *testing.B) {
	frames := Track(tone(1.6, constant(233.1), timbres["harmonics of 1/k"]), nil)
	for range b.N {
		Describe(frames)
	}
	b.ReportMetric(1.6*float64(b.N)/b.Elapsed().Seconds(), "x-realtime")
}
