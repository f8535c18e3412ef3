package breath

import (
	"testing"

	"waterkey/score"
	"waterkey/score/scoretest"
)

// evidence is what speaks for a phrase end after note i of a part.
func evidence(t *testing.T, part *score.Part, i int) float64 {
	t.Helper()
	pf, err := part.ReadThrough(tempo)
	if err != nil {
		t.Fatal(err)
	}
	return solve(t, pf, Options{IgnorePrinted: true}).ground.places[i].evidence
}

// TestEvidence: each sign makes a phrase end after note 3 likelier than without it
// (common practice).
func TestEvidence(t *testing.T) {
	const rest = " G3/4 F3/4 G3/4 F3/4"
	const plain = "F3/4 G3/4 F3/4 G3/4" + rest
	for _, c := range []struct{ name, with, without string }{
		{"a rest", "F3/4 G3/4 F3/4 G3/8 r/8" + rest, plain},
		{"a breath mark", "F3/4 G3/4 F3/4 G3/4," + rest, plain},
		{"a fermata", "F3/4 G3/4 F3/4 G3/4!" + rest, plain},
		{"a long note", "F3/8 G3/8 F3/4 G3/2" + rest, plain},
		{"the end of a slur", "F3/4( G3/4( F3/4( G3/4" + rest, plain},
		{"a leap", "F3/4 G3/4 F3/4 G3/4 G4/4 F4/4 G4/4 F4/4", plain},
		{"a new level", "F3/4 G3/4 F3/4 G3/4 =p" + rest, plain},
		{"the place where the line began", plain, "r/8 F3/8 F3/4 G3/4 G3/4" + rest},
	} {
		with, without := evidence(t, scoretest.Part(t, common, 90, c.with), 3), evidence(t, scoretest.Part(t, common, 90, c.without), 3)
		if with <= without {
			t.Errorf("%s: evidence %g, without %g", c.name, with, without)
		}
	}
	section := scoretest.Part(t, common, 90, plain)
	section.Bars[1].RepeatStart = true
	if with, without := evidence(t, section, 3), evidence(t, scoretest.Part(t, common, 90, plain), 3); with <= without {
		t.Errorf("a repeat: evidence %g, without %g", with, without)
	}
}
