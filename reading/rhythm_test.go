package reading

import (
	"fmt"
	"strings"
	"testing"

	"waterkey/finding"
	"waterkey/score"
	"waterkey/score/scoretest"
)

var (
	waltz = score.Meter{Beats: 3, Unit: 4}
	six8  = score.Meter{Beats: 6, Unit: 8}
)

// rhythmPart builds a part as scoretest does, with two signs more: an underscore
// after a note ties it to the next, and a value that three divides is read
// as a triplet.
func rhythmPart(t *testing.T, meter score.Meter, bpm float64, text string) *score.Part {
	t.Helper()
	part := scoretest.Part(t, meter, bpm, strings.ReplaceAll(text, "_", ""))
	var tied []int
	note := 0
	for _, tok := range strings.Fields(text) {
		if strings.HasPrefix(tok, "r/") || strings.HasPrefix(tok, "=") {
			continue
		}
		if strings.HasSuffix(tok, "_") {
			tied = append(tied, note)
		}
		note++
	}
	for k := len(tied) - 1; k >= 0; k-- {
		a, b := &part.Notes[tied[k]], part.Notes[tied[k]+1]
		a.Pieces, a.Duration = append(a.Pieces, b.Pieces...), a.Duration.Add(b.Duration)
		part.Notes = append(part.Notes[:tied[k]+1], part.Notes[tied[k]+2:]...)
	}
	for i := range part.Notes {
		for k := range part.Notes[i].Pieces {
			if piece := &part.Notes[i].Pieces[k]; piece.Duration.Den()%3 == 0 {
				piece.Tuplet, piece.Value = score.Ratio{Actual: 3, Normal: 2}, piece.Duration.Scale(3, 2)
			}
		}
	}
	for i := range part.Rests {
		if r := &part.Rests[i]; r.Duration.Den()%3 == 0 {
			r.Tuplet, r.Value = score.Ratio{Actual: 3, Normal: 2}, r.Duration.Scale(3, 2)
		}
	}
	return part
}

// said joins what the findings of a kind say.
func said(fs []finding.Finding, kind string) string {
	var out []string
	for _, f := range find(fs, kind) {
		out = append(out, f.Says)
	}
	return strings.Join(out, " ")
}

// TestRhythmKinds holds each rhythm to what is said of it; "" where nothing is.
// What counts as such a figure is common practice.
func TestRhythmKinds(t *testing.T) {
	for _, c := range []struct {
		name, kind string
		meter      score.Meter
		bpm        float64
		text, want string
	}{
		{"rests of two values", "short-rest", common, 90, "F3/2. r/4 F3/4. r/8 F3/2",
			"Short rests after longer notes are easily swallowed: the quarter rest in bar 1; the eighth rest in bar 2."},
		{"a rest of more than a second", "short-rest", common, 50, "F3/2. r/4 F3/1", ""},
		{"a rest after a note as long", "short-rest", common, 90, "F3/4 r/4 F3/2", ""},
		{"a rest at the end", "short-rest", common, 90, "F3/2. r/4", ""},

		{"two dotted figures", "dotted", common, 90, "F3/4. G3/8 F3/8. G3/16 F3/8. G3/16",
			"Dotted figures: dotted eighth and sixteenth in bar 1; dotted quarter and eighth in bar 1."},
		{"with two short notes", "dotted", common, 90, "F3/4. G3/16 A3/16 F3/2", "Dotted figures: dotted quarter and two sixteenths in bar 1."},
		{"short note first", "dotted", common, 90, "F3/16 G3/8. F3/4 F3/2", "Dotted figures: sixteenth before dotted eighth in bar 1."},
		{"slow", "dotted", common, 90, "F3/2. G3/4", ""},
		{"the beat of 6/8", "dotted", six8, 60, "F3/4. G3/8 A3/8 Bb3/8", ""},
		{"a siciliano", "dotted", six8, 60, "F3/8. G3/16 A3/8 F3/4.", "Dotted figures: dotted eighth and sixteenth in bar 1."},
		{"a dotted note before another", "dotted", common, 90, "F3/4. G3/4 r/4.", ""},

		{"quarter, half, quarter", "syncopation", common, 90, "F3/4 G3/2 F3/4", "Syncopation in bar 1: notes begin before a stronger beat and hold across it."},
		{"a late dotted half", "syncopation", common, 90, "r/4 G3/2. F3/1", ""},
		{"a half on two of 3/4", "syncopation", waltz, 90, "F3/4 G3/2", ""},
		{"an eighth over the bar line", "syncopation", common, 90, "F3/2. F3/8 G3/8_ G3/4 F3/2.",
			"Syncopation in bar 1: notes begin before a stronger beat and hold across it, across the bar line."},
		{"in sixteenths", "syncopation", common, 80, "F3/16 G3/8 F3/16 F3/2.", "Syncopation in bar 1: notes begin before a stronger beat and hold across it."},
		{"a reversed dotted figure", "syncopation", common, 90, "F3/16 G3/8. F3/4 F3/2", ""},
		{"in 6/8", "syncopation", six8, 60, "F3/8 F3/8 G3/4 F3/4", "Syncopation in bar 1: notes begin before a stronger beat and hold across it."},
		{"a long second part of a beat in 6/8", "syncopation", six8, 60, "F3/8 F3/4 G3/4.", ""},
		{"long notes on the beats", "syncopation", common, 90, "F3/2 G3/2_ G3/1", ""},
		{"a note into a rest", "syncopation", common, 90, "r/8 G3/8 r/4 F3/2", ""},
		{"afterbeats", "syncopation", cut, 90, "r/4 F3/4 r/4 F3/4 r/4 F3/4 r/4 F3/4", "Afterbeats in bars 1 to 2: the beat is silent and you play after it."},
		{"two notes after beats", "syncopation", cut, 90, "r/4 F3/4 r/4 F3/4 F3/1", ""},

		{"triplets", "tuplet", common, 90, "F3/12 G3/12 A3/12 F3/2.", "Eighth-note triplets in bar 1."},
		{"a long and a short one", "tuplet", common, 90, "F3/6 G3/12 F3/2.", "Eighth-note triplets in bar 1."},
		{"a rest and a long one", "tuplet", common, 90, "r/12 G3/6 F3/2.", "Eighth-note triplets in bar 1."},
		{"across beats", "tuplet", common, 90, "F3/6 G3/6 A3/6 F3/2", "Quarter-note triplets in bar 1."},
		{"beside even notes", "tuplet", common, 90, "F3/8 G3/8 F3/12 G3/12 A3/12 F3/2",
			"Eighth-note triplets in bar 1. The beat turns between even notes and tuplets there."},
		{"beside even notes in one of two bars", "tuplet", common, 90, "F3/12 G3/12 A3/12 F3/2. F3/8 G3/8 F3/12 G3/12 A3/12 F3/2",
			"Eighth-note triplets in bars 1 to 2. The beat turns between even notes and tuplets in bar 2."},
		{"none", "tuplet", common, 90, "F3/8 G3/8 F3/2.", ""},

		{"a tie that is left on two", "tie-over-bar", common, 90, "F3/2 F3/2_ F3/4 G3/2.", "Ties across the bar line from bar 1."},
		{"a tie that is left between beats", "tie-over-bar", common, 90, "F3/2 F3/2_ F3/8 r/8 G3/2.", "Ties across the bar line from bar 1."},
		{"a tie of whole bars", "tie-over-bar", common, 90, "F3/1_ F3/1", ""},
		{"a tie into a whole bar", "tie-over-bar", common, 90, "F3/2 F3/2_ F3/1", ""},
		{"a tie that rests on a beat", "tie-over-bar", common, 90, "F3/2 F3/2_ F3/4 r/2.", ""},
		{"a tie that is left late", "tie-over-bar", common, 90, "F3/2 F3/2_ F3/2. G3/4", ""},
	} {
		got := said(Walk(page(t, "tenor-f", rhythmPart(t, c.meter, c.bpm, c.text))), c.kind)
		if got != c.want {
			t.Errorf("%s, %s: %q, want %q", c.kind, c.name, got, c.want)
		}
	}
}

// TestTieInOne: a bar of one beat is a whole bar all the same.
func TestTieInOne(t *testing.T) {
	part := rhythmPart(t, waltz, 112, "F3/4 G3/2_ G3/2. F3/2.")
	part.Tempos = []score.TempoMark{{BPM: 60, Unit: score.Frac(3, 4)}}
	if got := tieOverBar(page(t, "tenor-f", part)); got != nil {
		t.Errorf("a tie into a whole bar: %+v", got)
	}
}

// TestSubdivision: a few fine notes among coarse ones are named, a page full of
// them is not, nor slow ones, nor one alone.
func TestSubdivision(t *testing.T) {
	long := strings.Repeat("F3/4 G3/4 A3/4 G3/4 ", 4)
	fine := "F3/16 G3/16 A3/16 G3/16 F3/2. "
	for name, c := range map[string]struct {
		bpm        float64
		text, want string
	}{
		"a few":       {90, long + fine, "The beat is suddenly divided in sixteenths in bar 5, 0.17 s each."},
		"mostly":      {90, "F3/2. G3/4 " + strings.Repeat(fine, 4), ""},
		"slow":        {60, long + fine, ""},
		"one by one":  {90, long + "F3/8. G3/16 F3/2.", ""},
		"with a rest": {90, long + "F3/16 G3/16 r/16 G3/16 F3/2.", ""},
	} {
		p := page(t, "tenor-f", rhythmPart(t, common, c.bpm, c.text))
		got := ""
		for _, f := range subdivision(p) {
			got += f.Says
		}
		if got != c.want {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
	}
}

// TestRhythmWeights: the same figure weighs more when it is quicker, and when it
// comes more often.
func TestRhythmWeights(t *testing.T) {
	weight := func(kind string, bpm float64, text string) float64 {
		got := find(Walk(page(t, "tenor-f", rhythmPart(t, common, bpm, text))), kind)
		if len(got) != 1 {
			t.Fatalf("%s in %q: %d findings", kind, text, len(got))
		}
		return got[0].Weight
	}
	for kind, text := range map[string]string{
		"dotted":       "F3/8. G3/16 F3/2. ",
		"syncopation":  "F3/8 G3/4 F3/8 F3/2 ",
		"tuplet":       "F3/12 G3/12 A3/12 F3/2. ",
		"short-rest":   "F3/4. r/8 F3/2 ",
		"tie-over-bar": "F3/2 F3/2_ F3/4 G3/2. ",
	} {
		slow, quick, often := weight(kind, 62, text), weight(kind, 130, text), weight(kind, 62, strings.Repeat(text, 8))
		if !(slow < quick && slow < often) {
			t.Errorf("%s weighs %g slow, %g quick, %g often", kind, slow, quick, often)
		}
	}
}

// TestRhythmInBritishTerms: no American word slips in.
func TestRhythmInBritishTerms(t *testing.T) {
	p := page(t, "tenor-f", rhythmPart(t, common, 90, "F3/4. G3/8 F3/12 G3/12 A3/12 r/4 F3/8 G3/4 F3/8 F3/4. r/8 F3/1"))
	p.Terms = score.British
	for _, f := range Walk(p) {
		if f.Stage != finding.Rhythm {
			continue
		}
		for _, word := range []string{"quarter", "eighth", "half note", "-note", "sixteenth"} {
			if strings.Contains(f.Says+f.Do, word) {
				t.Errorf("%q in %q %q", word, f.Says, f.Do)
			}
		}
	}
	if got := said(Walk(p), "tuplet"); !strings.HasPrefix(got, "Quaver triplets") {
		t.Errorf("triplets are called %q", got)
	}
}

// BenchmarkRhythm walks a part of 10,000 bars through the rhythm stage.
func BenchmarkRhythm(b *testing.B) {
	part := &score.Part{}
	eighth := score.Frac(1, 8)
	for i := range 10_000 {
		m := score.Meter{Beats: 3 + i%3, Unit: 4}
		var start score.Time
		if i > 0 {
			start = part.Bars[i-1].End()
		}
		part.Bars = append(part.Bars, score.Bar{Number: fmt.Sprint(i + 1), Start: start, Length: m.Length(), Meter: m})
		part.Meters = append(part.Meters, score.MeterMark{At: start, Bar: i, Meter: m})
		part.Tempos = append(part.Tempos, score.TempoMark{At: start, Bar: i, Text: []string{"Allegro", "Andante"}[i%2]})
		part.Words = append(part.Words, score.Words{At: start, Bar: i, Text: "rit."})
		for k, at := 0, start; k < 4; k++ {
			d := []score.Time{eighth, eighth.Scale(2, 1), eighth.Scale(3, 2), eighth.Scale(1, 2)}[k]
			part.Notes = append(part.Notes, score.Note{Bar: i, Onset: at, Duration: d, Pitch: score.Pitch{Step: 'F', Octave: 3},
				Pieces: []score.Piece{{Bar: i, Onset: at, Duration: d, Value: d}}})
			at = at.Add(d)
		}
	}
	pf, err := part.ReadThrough(score.Tempo{})
	if err != nil {
		b.Fatal(err)
	}
	p := &Page{Part: part, Through: pf}
	for b.Loop() {
		for _, kind := range []func(*Page) []finding.Finding{meter, subdivision, meterChange, barSum, shortRest, dotted, syncopation, tuplet, tieOverBar, tempoChange} {
			kind(p)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Milliseconds())/float64(b.N), "ms/10,000-bars")
}
