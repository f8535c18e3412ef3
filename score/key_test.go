package score

import (
	"strings"
	"testing"
)

// TestKeyCircle is the circle of fifths as every theory primer prints it
// (common practice).
func TestKeyCircle(t *testing.T) {
	for _, c := range []struct {
		fifths       int
		major, minor string
		altered      string
	}{
		{-7, "Cb", "Ab", "Bb Eb Ab Db Gb Cb Fb"}, {-6, "Gb", "Eb", "Bb Eb Ab Db Gb Cb"}, {-5, "Db", "Bb", "Bb Eb Ab Db Gb"},
		{-4, "Ab", "F", "Bb Eb Ab Db"}, {-3, "Eb", "C", "Bb Eb Ab"}, {-2, "Bb", "G", "Bb Eb"}, {-1, "F", "D", "Bb"},
		{0, "C", "A", ""}, {1, "G", "E", "F#"}, {2, "D", "B", "F# C#"}, {3, "A", "F#", "F# C# G#"},
		{4, "E", "C#", "F# C# G# D#"}, {5, "B", "G#", "F# C# G# D# A#"}, {6, "F#", "D#", "F# C# G# D# A# E#"},
		{7, "C#", "A#", "F# C# G# D# A# E# B#"},
	} {
		for mode, tonic := range map[string]string{"major": c.major, "minor": c.minor} {
			k := Key{Fifths: c.fifths, Mode: mode}
			if want := tonic + " " + mode; k.Name() != want {
				t.Errorf("%d fifths: %q, want %q", c.fifths, k.Name(), want)
			}
			if got := strings.Join(k.Altered(), " "); got != c.altered {
				t.Errorf("%d fifths alter %q, want %q", c.fifths, got, c.altered)
			}
		}
		if got := (Key{Fifths: c.fifths}).Name(); got != c.major+" major" {
			t.Errorf("%d fifths without a mode: %q", c.fifths, got)
		}
	}
}

// TestKeyModes: the white notes from each tonic (common practice).
func TestKeyModes(t *testing.T) {
	for mode, tonic := range map[string]string{"ionian": "C", "dorian": "D", "phrygian": "E", "lydian": "F",
		"mixolydian": "G", "aeolian": "A", "locrian": "B"} {
		if got := (Key{Mode: mode}).Name(); got != tonic+" "+mode {
			t.Errorf("white notes in %s: %q, want %s", mode, got, tonic)
		}
	}
}

func TestKeyAlteration(t *testing.T) {
	odd := Key{Other: []string{"F#", "Bb"}}
	for _, c := range []struct {
		key  Key
		step byte
		want int
	}{
		{Key{Fifths: -2}, 'E', -1}, {Key{Fifths: -2}, 'A', 0}, {Key{Fifths: 1}, 'F', 1},
		{odd, 'B', -1}, {odd, 'F', 1}, {odd, 'C', 0},
		// Fb major is Fb Gb Ab Bbb Cb Db Eb, D# major D# E# F## G# A# B# C##
		// (common practice).
		{Key{Fifths: -8}, 'B', -2}, {Key{Fifths: -8}, 'E', -1}, {Key{Fifths: 9}, 'C', 2}, {Key{Fifths: 9}, 'G', 1},
	} {
		if got := c.key.Alteration(c.step); got != c.want {
			t.Errorf("%v alters %c by %d, want %d", c.key.Altered(), c.step, got, c.want)
		}
	}
	if odd.Name() != "non-traditional" {
		t.Errorf("name %q", odd.Name())
	}
}
