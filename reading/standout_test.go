package reading

import (
	"strings"
	"testing"

	"waterkey/score/realparts"
	"waterkey/score/scoretest"
)

// TestStandsOut: what a reader would circle and what not (common practice).
func TestStandsOut(t *testing.T) {
	row := func(n int, sign string) string { return strings.Repeat("F3/4"+sign+" ", n) }
	rest := strings.Repeat("r/1 ", 6)
	for _, c := range []struct {
		name, text string
		says       []string
	}{
		{"one line among dots", row(9, "'") + "G3/4- " + row(10, "'"), []string{"Everything around it is staccato, but G3 on beat 2 of bar 3 is tenuto."}},
		{"one dot among notes without marks", row(9, "") + "G3/4' " + row(10, ""), []string{"unmarked, but G3 on beat 2 of bar 3 is staccato"}},
		{"a pair", row(14, "'") + "G3/4- G3/4- " + row(14, "'"), []string{"the two notes from beat 3 of bar 4 are tenuto"}},
		{"a mixed figure around it", strings.Repeat("F3/4> F3/4' F3/4' F3/4' ", 4) + "F3/4> F3/4' G3/4- F3/4' " + strings.Repeat("F3/4> F3/4' F3/4' F3/4' ", 4),
			[]string{"Most notes around it are staccato, but G3 on beat 3 of bar 5 is tenuto."}},
		{"one note without a mark", row(9, "'") + "G3/4 " + row(10, "'"), nil},
		{"all alike", row(40, "'"), nil},
		{"a regular accent", strings.Repeat("F3/4> F3/4' F3/4' F3/4' ", 10), nil},
		{"a passage of its own", row(16, "'") + row(16, "-"), nil},
		{"three in a row", row(16, "'") + row(3, "-") + row(17, "'"), nil},
		{"too few notes to compare", row(3, "'") + "G3/4- " + row(2, "'"), nil},
		{"alone after a long rest", row(12, "'") + rest + "G3/4- r/2. " + rest + row(12, "'"), nil},
		{"many of a kind", strings.Repeat(row(23, "'")+"G3/4- ", 6) + row(20, "'"), []string{"Tenuto notes stand alone in bars 6, 12, 18, 24, 30 and 36."}},
	} {
		got := find(standsOut(page(t, "tenor", scoretest.Part(t, common, 90, c.text))), "stands-out")
		if len(got) != len(c.says) {
			t.Errorf("%s: %+v, want %d findings", c.name, got, len(c.says))
			continue
		}
		for i, want := range c.says {
			if !strings.Contains(got[i].Says, want) {
				t.Errorf("%s: %q does not say %q", c.name, got[i].Says, want)
			}
		}
	}
}

// TestStandsOutInTheDemo: the march of the demo season has one tenuto among its
// staccato notes.
func TestStandsOutInTheDemo(t *testing.T) {
	got := find(standsOut(filePage(t, "../demo/season/harbor-parade.musicxml")), "stands-out")
	if len(got) == 0 || !strings.Contains(got[0].Says, "C4 on beat 2 of bar 7 is tenuto") {
		t.Errorf("%+v, want the tenuto in bar 7 first", got)
	}
}

// TestStandsOutSeldom: on real parts there are at most three words about marks
// that stand out.
func TestStandsOutSeldom(t *testing.T) {
	for _, path := range realparts.Files(t, realparts.Trombones) {
		if got := standsOut(filePage(t, path)); len(got) > mostStandOuts {
			t.Errorf("%s: %d findings", path, len(got))
		}
	}
}

func filePage(t *testing.T, path string) *Page {
	t.Helper()
	return page(t, "tenor-f", realparts.Read(t, path))
}
