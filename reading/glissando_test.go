package reading

import (
	"strings"
	"testing"

	"waterkey/score/scoretest"
)

// TestGlissandos checks judgment and advice against the position chart ("An
// overview of the trombone", public blog post with table, 2025; F side: partial n
// of the F series, six positions) and the rule of one harmonic throughout
// (encyclopedia article "Trombone").
func TestGlissandos(t *testing.T) {
	for _, c := range []struct {
		instrument, from, to string
		says, do             string
	}{
		// On one partial.
		{"tenor", "C3", "F3", "on partial 3, 6 to 1, 48 cm", ""},
		{"tenor", "F3", "B2", "on partial 3, 1 to 7, 59 cm", ""}, // a tritone, the widest there is
		{"tenor", "E3", "Bb3", "on partial 4, 7 to 1", ""},
		{"tenor", "E2", "Bb2", "on partial 2, 7 to 1", ""},
		{"tenor", "Bb3", "A3", "on partial 4, 1 to 2, 8 cm", ""},
		{"tenor", "F4", "B3", "on partial 6, 1 to 7", ""},
		{"tenor-f", "G3", "C4", "on partial 6, T6 to T1", ""},
		{"tenor-f", "C2", "F2", "on partial 2, T6 to T1", ""},
		// No partial holds both: the nearest.
		{"tenor", "D3", "G3", "no partial within reach", "from D3 (4) to F3 (1); agree on that and step to G3"},
		{"tenor", "G3", "C4", "no partial within reach", "into C4 (3) from A♭3 (7); agree on that and step from G3"},
		{"tenor", "Bb3", "F3", "on partial 4, 1 to 6", ""},
		{"tenor", "Bb3", "D3", "no partial within reach", "from B♭3 (1) to E3 (7); agree on that and step to D3"},
		{"tenor", "F3", "Bb2", "no partial within reach", "from F3 (1) to B2 (7); agree on that and step to B♭2"},
		{"tenor", "E2", "E3", "no partial within reach", "from E2 (7) to B♭2 (1)"},
		{"tenor", "A2", "B2", "no partial within reach", "from A2 (2) to B♭2 (1); agree on that and step to B2"},
		{"tenor", "Bb2", "B2", "no partial within reach", "Play B♭2 and B2 without the slide between"},
		{"tenor", "Eb2", "G2", "E♭2 is not on a tenor trombone", "Settle that note first"},
	} {
		got := glissando(page(t, c.instrument, scoretest.Part(t, common, 90, c.from+"/2~ "+c.to+"/2")))
		kind := "glissando"
		if c.do != "" {
			kind = "glissando-impossible"
		}
		if len(got) != 1 || got[0].Kind != kind || !strings.Contains(got[0].Says, c.says) || !strings.Contains(got[0].Do, c.do) {
			t.Errorf("%s to %s on %s: %+v, want %s that says %q and %q", c.from, c.to, c.instrument, got, kind, c.says, c.do)
		}
	}
}

// TestGlissandoToItself: a file may join a note to one of the same pitch; there
// is nothing to judge.
func TestGlissandoToItself(t *testing.T) {
	if got := glissando(page(t, "tenor", scoretest.Part(t, common, 90, "F3/2~ F3/2"))); len(got) != 0 {
		t.Errorf("%+v", got)
	}
}

// TestGlissandosInARow: C3 to F3 lies on partial 3 and F3 to B flat 3 on partial 4,
// so that F3 must be touched twice.
func TestGlissandosInARow(t *testing.T) {
	got := find(glissando(page(t, "tenor", scoretest.Part(t, common, 90, "C3/4~ F3/4~ Bb3/2"))), "glissando-impossible")
	if len(got) != 1 || !strings.Contains(got[0].Says, "by itself it runs from") || got[0].Do != "Touch F3 again in its new position between the two." {
		t.Errorf("%+v", got)
	}
}

// TestManyGlissandos: a few are told apart, more in one sentence.
func TestManyGlissandos(t *testing.T) {
	for _, c := range []struct {
		text string
		want []string
	}{
		{"C3/2~ F3/2 D3/2~ F3/2", []string{"Glissandi, each on one partial: C3 to F3 (bar 1, 6 to 1) and D3 to F3 (bar 2, 4 to 1)."}},
		{"G3/2~ D4/2 F3/2~ Bb2/2", []string{"Glissando G3 to D4 in bar 1: no partial within reach holds both.", "Glissando F3 to B♭2 in bar 2: no partial within reach holds both."}},
		{strings.Repeat("G3/2~ D4/2 ", 9), []string{"Glissandi whose ends no partial within reach holds both: G3 to D4 (bar 1), G3 to D4 (bar 2), G3 to D4 (bar 3), G3 to D4 (bar 4), " +
			"G3 to D4 (bar 5), G3 to D4 (bar 6) and 3 more places."}},
	} {
		got := glissando(page(t, "tenor", scoretest.Part(t, common, 90, c.text)))
		if texts(got) != strings.Join(c.want, " ") || len(got) != len(c.want) {
			t.Errorf("%s: %q, want %q", c.text, texts(got), c.want)
		}
	}
}
