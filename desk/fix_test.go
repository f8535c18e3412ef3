package desk

import (
	"path/filepath"
	"strings"
	"testing"

	"waterkey/brass"
)

func prepared(t *testing.T, file, horn string, fixes ...Fix) (*Prepared, error) {
	t.Helper()
	in, err := brass.Named(horn)
	if err != nil {
		t.Fatal(err)
	}
	return Prepare(Request{Path: filepath.Join("../demo/season", file), Horn: in, Fixes: fixes})
}

// labels are the ways of a bar.
func labels(p *Prepared, bar string) string {
	var out []string
	for _, n := range p.Mark().Notes {
		if n.Bar == bar {
			out = append(out, n.Choice.Label)
		}
	}
	return strings.Join(out, " ")
}

// Bar 14 of the march is the figure F3 C3 F2 C3 in eighths: with the valve in
// first, or all in sixth without it (common practice).
func TestFixesBendThePath(t *testing.T) {
	for _, c := range []struct {
		fixes []Fix
		want  string
	}{
		{nil, "T1 T1 T1 T1 T1 T1 T1 T1"},
		{[]Fix{{"14", "T", true}}, "6 6 6 6 6 6 6 6"},
		{[]Fix{{"13-15", "open", false}}, "6 6 6 6 6 6 6 6"},
		{[]Fix{{"14.1", "1", false}}, "1 T1 T1 T1 T1 T1 T1 T1"},
		{[]Fix{{"14.2-3", "1", false}}, ""},
	} {
		p, err := prepared(t, "harbor-parade.musicxml", "tenor-f", c.fixes...)
		if c.want == "" {
			if err == nil {
				t.Errorf("%v: no error", c.fixes)
			}
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		if got := labels(p, "14"); got != c.want {
			t.Errorf("%v: %s, want %s", c.fixes, got, c.want)
		}
	}
}

// Only what is fixed is pinned, and a note's id names it too.
func TestPinnedNotesSaySo(t *testing.T) {
	free, err := prepared(t, "harbor-parade.musicxml", "tenor-f")
	if err != nil {
		t.Fatal(err)
	}
	id := free.Mark().Notes[1].ID
	p, err := prepared(t, "harbor-parade.musicxml", "tenor-f", Fix{id, "6", false})
	if err != nil {
		t.Fatal(err)
	}
	for i, n := range p.Mark().Notes {
		if n.Pinned != (i == 1) || i == 1 && n.Choice.Label != "6" {
			t.Errorf("note %d: pinned %v, %s", i, n.Pinned, n.Choice.Label)
		}
	}
}

func TestFixErrorsSayWhatWorks(t *testing.T) {
	for _, c := range []struct{ where, way, want string }{
		{"99", "1", "there is no bar 99; the part has bars 1 to 32"},
		{"4.9", "1", `there is no note "9" in bar 4; it has notes 1 to 2`},
		{"4.1", "1", "G3 in bar 4 cannot be played with position 1, the open horn: there is 4 (partial 4)"},
		{"4", "8", `"8" is no way to play on tenor trombone with F attachment; write a position from 1 to 7, T1; or open`},
		{"9-4", "1", "bars 9-4 run backward; write 4-9"},
	} {
		_, err := prepared(t, "harbor-parade.musicxml", "tenor-f", Fix{c.where, c.way, false})
		if err == nil || !strings.HasPrefix(err.Error(), c.want) {
			t.Errorf("%s=%s: %v, want %s", c.where, c.way, err, c.want)
		}
	}
	for _, text := range []string{"", "=6", "12=", " = "} {
		if _, err := ParseFix(text, false); err == nil {
			t.Errorf("%q is taken", text)
		}
	}
	if f, err := ParseFix(" 12.3 = T1", true); err != nil || f != (Fix{"12.3", "T1", true}) {
		t.Errorf("%+v, %v", f, err)
	}
}

// Labels are read as players write them.
func TestLabelsAsWritten(t *testing.T) {
	in, err := brass.Named("bass")
	if err != nil {
		t.Fatal(err)
	}
	for text, want := range map[string]struct {
		position int
		valve    string
	}{
		"6": {6, ""}, "♯2": {2, ""}, "#2": {2, ""}, "b3": {3, ""}, "♭3": {3, ""}, "T1": {1, "F"}, "t♭6": {6, "F"}, "T": {0, "F"},
		"Gb2": {2, "Gb"}, "G♭2": {2, "Gb"}, "gb": {0, "Gb"}, "D1": {1, "F+Gb"}, "TM1": {1, "F+Gb"}, "tm": {0, "F+Gb"}, "M♭2": {2, "Gb"}, "D": {0, "F+Gb"}, "open": {0, ""},
	} {
		pin, err := wayPin(text, in)
		if err != nil || pin.Position != want.position || pin.Valve == nil || *pin.Valve != want.valve {
			t.Errorf("%s: %+v, %v; want %+v", text, pin, err, want)
		}
	}
	for _, text := range []string{"8", "0", "T9", "x", "1+2", ""} {
		if pin, err := wayPin(text, in); err == nil && text != "" {
			t.Errorf("%s: %+v", text, pin)
		}
	}
}
