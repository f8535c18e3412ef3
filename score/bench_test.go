package score

import (
	"strconv"
	"testing"
)

// longPart has 10,000 bars of four quarter notes, a dynamic and a hairpin in
// every second bar, a tempo word in every fourth, a fermata in every tenth:
// more of everything than the longest real part.
func longPart() *Part {
	const bars = 10_000
	m := Meter{Beats: 4, Unit: 4}
	p := &Part{Meters: []MeterMark{{Meter: m}}}
	for i := range bars {
		start := Frac(int64(i), 1)
		p.Bars = append(p.Bars, Bar{Number: strconv.Itoa(i + 1), Start: start, Length: Frac(1, 1), Meter: m})
		for k := range int64(4) {
			at := start.Add(Frac(k, 4))
			n := Note{Bar: i, Onset: at, Duration: Frac(1, 4), Pitch: Pitch{Step: 'F', Octave: 3},
				Pieces: []Piece{{Bar: i, Onset: at, Duration: Frac(1, 4)}}}
			if i%10 == 0 && k == 3 {
				n.Marks = Fermata
			}
			p.Notes = append(p.Notes, n)
		}
		if i%2 == 0 {
			p.Dynamics = append(p.Dynamics, DynamicMark{At: start, Bar: i, Mark: []string{"p", "sfz", "f"}[i/2%3]})
			p.Wedges = append(p.Wedges, Wedge{From: start, To: start.Add(Frac(3, 2)), FromBar: i, ToBar: i + 1, Grow: i%4 == 0})
		}
		if i%4 == 0 {
			p.Tempos = append(p.Tempos, TempoMark{At: start, Bar: i, Text: []string{"Allegro", "Andante"}[i/4%2]})
		}
	}
	return p
}

func BenchmarkPerform(b *testing.B) {
	p := longPart()
	for b.Loop() {
		if _, err := p.Perform(Tempo{}); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/1000/float64(b.N), "ms/part")
}

func BenchmarkLevelLine(b *testing.B) {
	p := longPart()
	for b.Loop() {
		line := p.LevelLine()
		for _, n := range p.Notes {
			line.At(n.Onset)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/1000/float64(b.N), "ms/part")
}

func BenchmarkLevel(b *testing.B) {
	p := longPart()
	for b.Loop() {
		for _, n := range p.Notes {
			p.Level(n.Onset)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/1000/float64(b.N), "ms/part")
}
