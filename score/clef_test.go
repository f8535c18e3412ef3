package score

import "testing"

// TestClefNames: the usual names of the clefs (common practice).
func TestClefNames(t *testing.T) {
	for clef, want := range map[Clef]string{
		{"F", 4, 0}: "bass", {"C", 4, 0}: "tenor", {"C", 3, 0}: "alto", {"G", 2, 0}: "treble", {"C", 1, 0}: "soprano",
		{"F", 3, 0}: "baritone", {"G", 2, -1}: "treble (octave down)", {"F", 4, 1}: "bass (octave up)",
		{"F", 1, 0}: "F (line 1)", {"none", 0, 0}: "none",
	} {
		if got := clef.String(); got != want {
			t.Errorf("%+v: %q, want %q", clef, got, want)
		}
	}
}
