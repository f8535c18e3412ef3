package breath

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"waterkey/score"
	"waterkey/score/scoretest"
)

// BenchmarkSolve is one plan: over random parts, over sixteenths without a rest,
// over soft high notes that take little air, and over slurs that nothing parts.
func BenchmarkSolve(b *testing.B) {
	const notes = 10_000
	texts := map[string]string{
		"random":     randomText(rand.New(rand.NewPCG(3, 4)), notes),
		"sixteenths": strings.Repeat("F3/16 G3/16 A3/16 Bb3/16 ", notes/4),
		"soft":       "=pp " + strings.Repeat("F4/4 G4/8 A4/8 F4/4. G4/8 ", notes/5),
		"slurred":    strings.Repeat("F3/16( G3/16( A3/16( Bb3/16( ", notes/4),
	}
	for name, text := range texts {
		pf, err := scoretest.Part(b, common, 100, text).ReadThrough(score.Tempo{})
		if err != nil {
			b.Fatal(err)
		}
		b.Run(fmt.Sprint(name, "/", notes), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				solve(b, pf, Options{})
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/notes, "ns/note")
			b.ReportMetric(b.Elapsed().Seconds()*1e3/float64(b.N), "ms/part")
		})
	}
}

// BenchmarkSlowestTempo is one question about 200 notes.
func BenchmarkSlowestTempo(b *testing.B) {
	part := scoretest.Part(b, common, 100, randomText(rand.New(rand.NewPCG(3, 4)), 200))
	for b.Loop() {
		if _, err := SlowestTempo(part, 3, 8, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
