package abc

import (
	"strings"
	"testing"

	"waterkey/score"
)

// BenchmarkPart parses and reads a long tune of 4,096 bars and reports bars a
// second.
func BenchmarkPart(b *testing.B) {
	line := "!mf! (c>d) .e.f ^g2 [CEG]2- | [CEG]2 (3abc {/g}Ta4 |\n"
	text := []byte(tune4(strings.Repeat(line, 2048)))
	bars := 0
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		d, err := Parse("long.abc", text)
		if err != nil {
			b.Fatal(err)
		}
		p, err := d.Part(score.Selection{})
		if err != nil {
			b.Fatal(err)
		}
		bars += len(p.Bars)
	}
	b.ReportMetric(float64(bars)/b.Elapsed().Seconds(), "bars/s")
}
