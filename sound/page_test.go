package sound

import (
	"testing"

	"waterkey/score"
)

// written is a note or rest of a test page: a pitch name, "" for a rest, its
// length in quarter notes, and what else is on it.
type written struct {
	pitch    string
	quarters int64
	edit     func(*score.Note)
}

// page lays notes end to end in bars of four quarters at a tempo of 60, one
// second to a quarter. Bars are as many as the notes need.
func page(t testing.TB, notes ...written) *score.Part {
	t.Helper()
	p := &score.Part{Tempos: []score.TempoMark{{BPM: 60, Unit: score.Frac(1, 4)}}}
	meter := score.Meter{Beats: 4, Unit: 4}
	var at score.Time
	for _, w := range notes {
		length := score.Frac(w.quarters, 4)
		bar := int(at.Float())
		if w.pitch != "" {
			pitch, err := score.ParsePitch(w.pitch)
			if err != nil {
				t.Fatal(err)
			}
			n := score.Note{
				Bar: bar, Onset: at, Duration: length, Pitch: pitch, Written: pitch,
				Pieces: []score.Piece{{Bar: bar, Onset: at, Duration: length}},
			}
			if w.edit != nil {
				w.edit(&n)
			}
			if n.Grace {
				length = score.Time{}
				n.Duration, n.Pieces[0].Duration = length, length
			}
			p.Notes = append(p.Notes, n)
		}
		at = at.Add(length)
	}
	for start := (score.Time{}); start.Less(at); start = start.Add(meter.Length()) {
		p.Bars = append(p.Bars, score.Bar{Start: start, Length: meter.Length(), Meter: meter})
	}
	return p
}

// perform plays a page at its own tempo.
func perform(t testing.TB, p *score.Part) *score.Performance {
	t.Helper()
	pf, err := p.Perform(score.Tempo{})
	if err != nil {
		t.Fatal(err)
	}
	return pf
}

// play renders a page and returns its samples.
func play(t testing.TB, p *score.Part, o Options) []float64 {
	t.Helper()
	return Render(Tones(perform(t, p), o), o).Channels[0]
}

func slur(from, to bool) func(*score.Note) {
	return func(n *score.Note) { n.SlurFrom, n.SlurTo = from, to }
}

func marked(m score.Mark) func(*score.Note) {
	return func(n *score.Note) { n.Marks = m }
}
