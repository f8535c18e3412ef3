package musicxml

import (
	"os"
	"runtime"
	"testing"

	"waterkey/score"
)

// BenchmarkReadPart reads a long cello part, 750 kB, from its bytes.
func BenchmarkReadPart(b *testing.B) {
	benchmarkRead(b, "scores/haydn-op20no5-violoncello.musicxml", score.Selection{})
}

// BenchmarkReadFullScore reads one part out of a packed full score of 19
// parts.
func BenchmarkReadFullScore(b *testing.B) {
	benchmarkRead(b, "scores/Beethoven_Op.68_5.mxl", score.Selection{Part: "Alto Trombone"})
}

func benchmarkRead(b *testing.B, file string, sel score.Selection) {
	data, err := os.ReadFile(sharedFile(b, file))
	if err != nil {
		b.Fatal(err)
	}
	bars, text := 0, 0
	var held uint64
	for b.Loop() {
		d, err := Parse(file, data)
		if err != nil {
			b.Fatal(err)
		}
		p := part(b, d, sel)
		bars, text = len(p.Bars)*len(d.parts), len(d.src.text)
		if held == 0 {
			held = heldBytes(d)
		}
	}
	seconds := b.Elapsed().Seconds() / float64(b.N)
	b.ReportMetric(float64(bars)/seconds, "bars/s")
	b.ReportMetric(float64(text)/seconds/1e6, "MB/s")
	b.ReportMetric(float64(held)/1e6, "MB-held")
}

// heldBytes is the memory that a document keeps.
func heldBytes(d *Document) uint64 {
	var with, without runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&with)
	runtime.KeepAlive(d)
	*d = Document{}
	runtime.GC()
	runtime.ReadMemStats(&without)
	return max(with.HeapAlloc, without.HeapAlloc) - without.HeapAlloc
}
