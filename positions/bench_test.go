package positions

import (
	"fmt"
	"math/rand/v2"
	"runtime"
	"testing"

	"waterkey/score"
	"waterkey/score/scoretest"
)

// longPart is a seeded part of so many notes at 120.
func longPart(b testing.TB, notes int) *score.Performance {
	b.Helper()
	return perform(b, common, 120, randomText(rand.New(rand.NewPCG(3, 4)), notes))
}

// BenchmarkSolveK is the five best paths on a bass trombone. Time and memory grow
// with the notes.
func BenchmarkSolveK(b *testing.B) {
	in := horn(b, "bass")
	for _, notes := range []int{1_000, 10_000, 100_000} {
		pf := longPart(b, notes)
		b.Run(fmt.Sprint(notes), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := SolveK(pf, in, Options{}, 5); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(b.Elapsed().Seconds()*1e9/float64(b.N)/float64(notes), "ns/note")
			b.ReportMetric(heldBytes(func() any {
				ps, _ := SolveK(pf, in, Options{}, 5)
				return ps
			})/float64(notes), "held-B/note")
		})
	}
}

// heldBytes is the memory that a result keeps.
func heldBytes(make func() any) float64 {
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	kept := make()
	runtime.GC()
	runtime.ReadMemStats(&after)
	runtime.KeepAlive(kept)
	return float64(after.HeapAlloc) - float64(before.HeapAlloc)
}

// BenchmarkRepin is solving 1,000 notes again after one pin.
func BenchmarkRepin(b *testing.B) {
	pf, in := longPart(b, 1_000), horn(b, "bass")
	open := ""
	for b.Loop() {
		if _, err := SolveWith(pf, in, Options{Pins: []Pin{{Note: 500, Valve: &open}}}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkComfortTempo is one question about 16 bars of a long part.
func BenchmarkComfortTempo(b *testing.B) {
	part := scoretest.Part(b, common, 120, randomText(rand.New(rand.NewPCG(3, 4)), 1_000))
	in := horn(b, "bass")
	for b.Loop() {
		if _, err := ComfortTempo(part, 10, 25, in, 1, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
