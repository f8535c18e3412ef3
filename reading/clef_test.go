package reading

import (
	"strings"
	"testing"

	"waterkey/score"
	"waterkey/score/scoretest"
)

// TestClef: a part in another clef than its player expects says so with its key. The
// lines of C4 are those of the C clefs (common practice, any rudiments of music).
func TestClef(t *testing.T) {
	alto, tenor, bass, treble := score.Clef{Sign: "C", Line: 3}, score.Clef{Sign: "C", Line: 4}, score.Clef{Sign: "F", Line: 4}, score.Clef{Sign: "G", Line: 2}
	for _, c := range []struct {
		instrument string
		clefs      []score.Clef // from bars 1, 3
		says       string       // "" for nothing
	}{
		{"tenor", []score.Clef{bass}, ""},
		{"tenor", []score.Clef{tenor}, "Tenor clef throughout: the fourth line is C4."},
		{"bass", []score.Clef{alto, bass}, "Alto clef up to bar 3: the middle line is C4."},
		{"alto", []score.Clef{alto}, ""},
		{"alto", []score.Clef{bass}, "Bass clef throughout."},
		{"tenor", []score.Clef{treble}, ""},
		{"euphonium", []score.Clef{tenor}, ""},
	} {
		part := scoretest.Part(t, score.Meter{Beats: 4, Unit: 4}, 96, "F3/4 A3/4 C4/4 F4/4 F4/1 Eb4/1 D4/1")
		part.Clefs = nil
		for i, clef := range c.clefs {
			part.Clefs = append(part.Clefs, score.ClefMark{Bar: 2 * i, At: part.Bars[2*i].Start, Clef: clef})
		}
		got := find(Walk(page(t, c.instrument, part)), "clef")
		switch {
		case c.says == "" && len(got) > 0:
			t.Errorf("%s, %v: %q", c.instrument, c.clefs, got[0].Says)
		case c.says != "" && (len(got) != 1 || got[0].Says != c.says || !strings.Contains(got[0].Do, "The first note is F3, in")):
			t.Errorf("%s, %v: %+v, want %q", c.instrument, c.clefs, got, c.says)
		}
	}
}
