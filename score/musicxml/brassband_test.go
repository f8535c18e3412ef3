package musicxml

import (
	"testing"

	"waterkey/score"
)

// TestBrassBandTrebleClef: a B flat trombone in a brass band reads treble clef a
// major ninth above what sounds (common practice); tenor and alto clef stand at
// concert pitch.
func TestBrassBandTrebleClef(t *testing.T) {
	treble := "<attributes><transpose><diatonic>-8</diatonic><chromatic>-14</chromatic></transpose></attributes>"
	for _, c := range []struct{ attributes, written, sounds string }{
		{treble, "C5", "Bb3"}, {treble, "G4", "F3"}, {treble, "E5", "D4"},
		{"<attributes><clef><sign>C</sign><line>4</line></clef></attributes>", "Bb3", "Bb3"},
		{"<attributes><clef><sign>C</sign><line>3</line></clef></attributes>", "D4", "D4"},
	} {
		d := parse(t, doc(c.attributes+note(c.written, 4)))
		n := part(t, d, score.Selection{}).Notes[0]
		if n.Pitch.String() != c.sounds || n.Written.String() != c.written {
			t.Errorf("written %s sounds %s and is kept as %s, want %s", c.written, n.Pitch, n.Written, c.sounds)
		}
	}
}
