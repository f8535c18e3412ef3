package reading

import (
	"testing"

	"waterkey/score"
)

// TestHemiola: six pulses in twos against a meter in threes (common practice).
func TestHemiola(t *testing.T) {
	over := "Hemiola in bars 1 to 2: two bars of three are grouped as three twos."
	within := "Hemiola in bar 1: the six eighths are grouped in three twos, not in two threes."
	for _, c := range []struct {
		name       string
		meter      score.Meter
		text, want string
	}{
		{"halves across the bar line", waltz, "F3/2 G3/4_ G3/4 A3/2", over},
		{"in 3/2", score.Meter{Beats: 3, Unit: 2}, "F3/1 G3/2_ G3/2 A3/1", over},
		{"a dotted rhythm three times", waltz, "F3/4. G3/8 A3/4_ A3/8 G3/8 F3/4. G3/8", over},
		{"with rests", waltz, "F3/4 r/4 F3/4 r/4 F3/4 r/4", over},
		{"by accents", waltz, "F3/4> G3/4 A3/4> G3/4 F3/4> G3/4", over},
		{"by slurs", waltz, "F3/4( G3/4 A3/4( G3/4 F3/4( G3/4", over},
		{"in one bar of 6/8", six8, "F3/4 G3/4 A3/4", within},

		{"even quarters", waltz, "F3/4 G3/4 A3/4 F3/4 G3/4 A3/4", ""},
		{"halves and quarters", waltz, "F3/2 G3/4 F3/2 G3/4", ""},
		{"a plain tie", waltz, "F3/4 G3/4 A3/4_ A3/4 G3/4 F3/4", ""},
		{"accents on the downbeats", waltz, "F3/4> G3/4 A3/4 F3/4> G3/4 A3/4", ""},
		{"one bar", waltz, "F3/2 G3/4", ""},
		{"two dotted quarters in 6/8", six8, "F3/4. G3/4.", ""},
		{"halves in 4/4", common, "F3/2 G3/2 F3/2 G3/2", ""},
	} {
		fs := Walk(page(t, "tenor-f", rhythmPart(t, c.meter, 112, c.text)))
		if got := said(fs, "syncopation"); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
		if c.want != "" && len(find(fs, "tie-over-bar")) > 0 {
			t.Errorf("%s: its tie is named again", c.name)
		}
	}
}
