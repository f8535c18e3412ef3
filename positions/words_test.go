package positions

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"waterkey/brass"
	"waterkey/score"
	"waterkey/score/scoretest"
)

// How players say a position or a fingering (common practice).
func TestHow(t *testing.T) {
	for _, c := range []struct {
		way  brass.Way
		want string
	}{
		{brass.Way{Position: 6, Label: "6"}, "in 6"},
		{brass.Way{Position: 1, Valve: "F", Label: "T1"}, "in T1"},
		{brass.Way{Valve: "1+3", Label: "13"}, "with 13"},
		{brass.Way{Valve: "T", Label: "T0"}, "with T0"},
		{brass.Way{Label: "0"}, "open"},
	} {
		if got := How(c.way); got != c.want {
			t.Errorf("%+v: %q, want %q", c.way, got, c.want)
		}
	}
}

func TestOff(t *testing.T) {
	for cents, want := range map[float64]string{10: "10 cents sharp", 9.9: "", 0: "", -13.7: "14 cents flat", -9: ""} {
		if got := Off(cents); got != want {
			t.Errorf("%g cents: %q, want %q", cents, got, want)
		}
	}
}

// bFlatPart is a part for a B flat trumpet that sounds as the text says.
func bFlatPart(t *testing.T, text string) *score.Performance {
	t.Helper()
	part := scoretest.Part(t, common, 60, text)
	for i := range part.Notes {
		part.Notes[i].Written = part.Notes[i].Pitch.Transpose(1, 2)
	}
	pf, err := part.ReadThrough(score.Tempo{})
	if err != nil {
		t.Fatal(err)
	}
	return pf
}

// A trumpeter's low D, C sharp, G and fifth-partial E by their written names, with
// the third slide drawn for the sharp ones (published: the3rdhalf.com, "Tuning
// tendencies of brass instruments"; the amounts are calculated).
func TestWhyOnATrumpet(t *testing.T) {
	got := Solve(bFlatPart(t, "C4/4 B3/4 F4/4 D5/4"), horn(t, "trumpet-bb")).Why(0)
	want := []string{
		"Bar 1 goes in the usual fingering: D4 with 13, C♯4 with 123, G4 open, E5 open.",
		"Draw a valve slide for D4 with 13, 1.0 cm; C♯4 with 123, 2.4 cm.",
		"For the lip to bring into tune: E5 open, 14 cents flat.",
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}

// Errors name the note on the page, and valves in words.
func TestPinErrorsOnATrumpet(t *testing.T) {
	for name, want := range map[string]string{
		"1+2": "G4 in bar 1 cannot be played with valves 1 and 2: there is 0 (partial 3)",
		"2":   "G4 in bar 1 cannot be played with valve 2: there is 0 (partial 3)",
	} {
		pins := []Pin{{Note: 0, Valve: valve(name)}}
		if _, err := SolveWith(bFlatPart(t, "F4/1"), horn(t, "trumpet-bb"), Options{Pins: pins}); err == nil || !strings.HasPrefix(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
}
