package reading

import (
	"strings"
	"testing"

	"waterkey/score/scoretest"
)

// TestSlurAdvice: which slurs need the tongue on the usual positions
// (trombone.org, "Playing Legato on the Trombone: A Primer": lip, natural, tongued
// and valve slurs).
func TestSlurAdvice(t *testing.T) {
	for _, c := range []struct {
		name, instrument, text string
		want                   string // "" for no finding
	}{
		{"none", "tenor", "F3/2 G3/2", ""},
		{"few and natural", "tenor", "Bb3/2( C4/2", ""},
		{"all natural", "tenor", "Bb3/4( C4/4( Bb3/4( C4/4( Bb3/1", "All 4 slurs from note to note go without the tongue on these positions."},
		{"all tongued", "tenor", "A3/2( Bb3/2 A3/2( Bb3/2", "Every slur from note to note wants a legato tongue, in bars 1 to 2. The widest smear would be A3 to B♭3 in bar 1, 8 cm of slide."},
		{"mixed", "tenor", "Bb3/2( C4/2 A3/2( Bb3/2 Bb2/2( F3/2", "Of 3 slurs from note to note, one wants a legato tongue, in bar 2; the rest go by themselves, 1 natural and 1 on the lip."},
		{"with the valve", "tenor-f", "Bb2/2( C3/2 A3/2( Bb3/2", "1 with the valve"},
		{"against the grain is no smear", "tenor", "D3/2( Bb3/2", "Every slur from note to note wants a legato tongue, in bar 1."},
		{"a repeated note is no smear", "tenor", "F3/2( F3/2", "Every slur from note to note wants a legato tongue, in bar 1."},
	} {
		says := ""
		for _, f := range slurs(page(t, c.instrument, scoretest.Part(t, common, 60, c.text))) {
			says += f.Says
		}
		if c.want == "" && says != "" || !strings.Contains(says, c.want) || strings.Contains(c.name, "no smear") && says != c.want {
			t.Errorf("%s: %q, want %q", c.name, says, c.want)
		}
	}
}
