package reading

import (
	"strings"
	"testing"

	"waterkey/brass"
	"waterkey/score"
	"waterkey/score/scoretest"
)

// written makes a part transpose: what it sounds stays, what stands on the page
// goes up by an interval.
func written(p *score.Part, steps, semitones int) *score.Part {
	for i := range p.Notes {
		p.Notes[i].Written = p.Notes[i].Pitch.Transpose(steps, semitones)
	}
	return p
}

// TestAsWritten: how parts are written (common practice): B flat trumpet, horn in
// F, the treble clef of brass bands for euphonium and B flat bass, trombones at
// concert pitch; and what a player of another transposition reads (common practice
// of orchestral trumpets and horns: a B flat trumpet reads C parts a tone up, F
// parts a fifth up; an F horn reads E flat parts a tone down, low C parts a fourth
// down).
func TestAsWritten(t *testing.T) {
	for _, c := range []struct {
		instrument       string
		steps, semitones int
		want             string
	}{
		{"tenor-f", 0, 0, ""},
		{"tuba-f", 0, 0, ""},
		{"tenor-f", 8, 14, "Notes are named as written, a major ninth above their sound."},
		{"euphonium", 8, 14, "Notes are named as written, a major ninth above their sound."},
		{"tuba-bb", 15, 26, "Notes are named as written, two octaves and a major second above their sound."},
		{"tuba-eb", 12, 21, "Notes are named as written, an octave and a major sixth above their sound."},
		{"trumpet-bb", 1, 2, "Notes are named as written, a major second above their sound."},
		{"trumpet-bb", 0, 0, "The part is not written for the trumpet in B flat: read each note a major second higher."},
		{"trumpet-bb", -3, -5, "Notes are named as written, a perfect fourth below their sound. The part is not written for the trumpet in B flat: read each note a perfect fifth higher."},
		{"horn-f-bb", 4, 7, "Notes are named as written, a perfect fifth above their sound."},
		{"horn-f-bb", 5, 9, "Notes are named as written, a major sixth above their sound. The part is not written for the double horn in F and B flat: read each note a major second lower."},
		{"horn-f-bb", 7, 12, "Notes are named as written, an octave above their sound. The part is not written for the double horn in F and B flat: read each note a perfect fourth lower."},
	} {
		in, err := brass.Named(c.instrument)
		if err != nil {
			t.Fatal(err)
		}
		if got := AsWritten(written(scoretest.Part(t, common, 60, "F3/2 Bb3/2"), c.steps, c.semitones), in); got != c.want {
			t.Errorf("%s: %q, want %q", c.instrument, got, c.want)
		}
	}
	changing := scoretest.Part(t, common, 60, "F3/2 Bb3/2")
	changing.Notes[1].Written = changing.Notes[1].Pitch.Transpose(1, 2)
	in, _ := brass.Named("trumpet-bb")
	if got := AsWritten(changing, in); !strings.Contains(got, "changes its transposition") {
		t.Errorf("a part that changes: %q", got)
	}
	if got := AsWritten(&score.Part{}, in); got != "" {
		t.Errorf("a part without notes: %q", got)
	}
}

// The names of the intervals up to two octaves, by steps and semitones (music
// theory).
func TestIntervals(t *testing.T) {
	for _, c := range []struct {
		steps, semitones int
		want             string
	}{
		{1, 1, "a minor second"}, {2, 3, "a minor third"}, {2, 4, "a major third"}, {3, 5, "a perfect fourth"},
		{3, 6, "an augmented fourth"}, {4, 6, "a diminished fifth"}, {5, 8, "a minor sixth"}, {6, 10, "a minor seventh"},
		{7, 12, "an octave"}, {8, 13, "a minor ninth"}, {9, 16, "an octave and a major third"}, {14, 24, "two octaves"},
	} {
		if got := interval(c.steps, c.semitones); got != c.want {
			t.Errorf("%d steps, %d semitones: %q, want %q", c.steps, c.semitones, got, c.want)
		}
	}
}

// Articles go by the sound of the name (English usage).
func TestArticles(t *testing.T) {
	for words, want := range map[string]string{"F tuba": "an F tuba", "E flat tuba": "an E flat tuba", "B flat tuba": "a B flat tuba", "C tuba": "a C tuba",
		"euphonium": "a euphonium", "alto trombone": "an alto trombone", "trumpet in B flat": "a trumpet in B flat"} {
		if got := WithArticle(words); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// Sentences name notes as a transposing part shows them, limits of the player's range
// too: sounding G5, C6 and F3 are A5, D6 and G3 on a B flat trumpet's page (common
// practice).
func TestSentencesNameWrittenNotes(t *testing.T) {
	p := page(t, "trumpet-bb", written(scoretest.Part(t, common, 60, "F4/2 Bb4/2 C5/2~ Eb5/2 G5/1 A5/1( C6/1 =pp G3/1 F3/1 Ab3/2 E3/2"), 1, 2))
	says := ""
	for _, f := range Walk(p) {
		says += f.Says + " " + f.Do + "\n"
	}
	for _, want := range []string{"High notes in bars 3 to 5: A5, B5 and D6; D6 lies above what level 4 usually plays (to C6)", "Low notes in bars 6 to 8: F♯3, G3, A3 and B♭3", "Glissando D5 to F5 in bar 2"} {
		if !strings.Contains(says, want) {
			t.Errorf("no %q in\n%s", want, says)
		}
	}
}

// The key's two notes are letters of the page, the fingerings those of the sound: on a
// B flat trumpet in written D major C sharp has 12, C has none, G none, G sharp 23
// (published: every fingering chart of the trumpet).
func TestKeyAdviceOnATransposingPart(t *testing.T) {
	part := written(scoretest.Part(t, common, 60, "C5/2 F4/2 B4/2 E4/2"), 1, 2) // D5 G4 C♯5 F♯4
	part.Bars[0].Key, part.Bars[1].Key = score.Key{Fifths: 2}, score.Key{Fifths: 2}
	p := page(t, "trumpet-bb", part)
	if got, want := p.keyAdvice(score.Key{Fifths: 2}, 0, p.notes()), "Every C is sharp: C♯5 with 12, not open; every G is natural: G4 open, not with 23."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
