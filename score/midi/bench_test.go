package midi

import (
	"testing"

	"waterkey/score"
)

// BenchmarkRead reads a part of 100,000 notes, 60 times the longest real one.
func BenchmarkRead(b *testing.B) {
	keys := make([]uint8, 100_000)
	for i := range keys {
		keys[i] = uint8(48 + i*7%17)
	}
	data := tones(b, []event{keyAt(0, -2)}, row(quarter/2, 0.85, keys...)...)
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		if p := only(b, data); len(p.Notes) != len(keys) {
			b.Fatalf("%d notes", len(p.Notes))
		}
	}
	b.ReportMetric(float64(len(keys)*b.N)/b.Elapsed().Seconds(), "notes/s")
}

// BenchmarkTempos reads as many changes of tempo as are allowed, for which the
// library's time grows with the square.
func BenchmarkTempos(b *testing.B) {
	var events []event
	for i := range int64(maxTempos) {
		events = append(events, tempoAt(60*i, 80+float64(i%50)))
	}
	data := tones(b, events, row(quarter, 1, 60, 62)...)
	for b.Loop() {
		if _, err := parsed(b, data).Part(score.Selection{}); err != nil {
			b.Fatal(err)
		}
	}
}
