package reading

import (
	"strings"
	"testing"

	"waterkey/finding"
	"waterkey/score"
	"waterkey/score/scoretest"
)

func texts(fs []finding.Finding) string {
	var says []string
	for _, f := range fs {
		says = append(says, f.Says)
	}
	return strings.Join(says, " ")
}

// TestLevels: where it is loud and soft, and how much, by counting bars; that p
// and below are soft and f and above loud is common practice.
func TestLevels(t *testing.T) {
	bars := func(n int) string { return strings.Repeat("F3/1 ", n) }
	for _, c := range []struct {
		name, text string
		wedges     []score.Wedge
		want       string
	}{
		{"no level", bars(4), nil, "No dynamic stands on the page."},
		{"one level", "=f " + bars(4), nil, "It starts f and no other level is printed."},
		{"one level and a hairpin", "=f " + bars(4), []score.Wedge{wedge(0, 4, true)}, "It starts f; no other level is printed, only hairpins move away from it."},
		{"half and half", "=f " + bars(4) + "=pp " + bars(4), nil,
			"It starts f; softest is pp (bar 5), loudest f (bar 1). About half of the playing is loud (f and more), in bars 1 to 4; about half of it is soft (p and less), in bars 5 to 8."},
		{"mostly soft", "=p " + bars(6) + "=ff " + bars(2) + "=mf " + bars(1), nil,
			"It starts p; softest is p (bar 1), loudest ff (bar 7). Most of the playing is soft (p and less), in bars 1 to 6; a quarter of it is loud (f and more), in bars 7 to 8."},
		{"between", "=mp " + bars(2) + "=mf " + bars(2), nil, "It starts mp; softest is mp (bar 1), loudest mf (bar 3). All of it lies around mf."},
		{"a late first level", bars(2) + "=f " + bars(2) + "=mf " + bars(2), nil,
			"It starts without a level; the first is f (bar 3); softest is mf (bar 5), loudest f (bar 3). A third of the playing is loud (f and more), in bars 3 to 4."},
		{"a short step down between", "=f F3/1 F3/2 =mf F3/4 =f F3/4 F3/1", nil,
			"It starts f; softest is mf (bar 2), loudest f (bar 1). Nearly all of the playing is loud (f and more), in bars 1 to 3."},
		{"many places", strings.Repeat("=f "+bars(2)+"=p "+bars(1), 9), nil,
			"It starts f; softest is p (bar 3), loudest f (bar 1). Most of the playing is loud (f and more), mainly in bars 1 to 2, 4 to 5, 7 to 8, 10 to 11, 13 to 14 and 16 to 17; a third of it is soft (p and less), mainly in bars 3, 6, 9, 12, 15 and 18."},
	} {
		part := scoretest.Part(t, common, 60, c.text)
		part.Wedges = c.wedges
		if got := texts(levels(page(t, "tenor", part))); got != c.want {
			t.Errorf("%s:\n%q, want\n%q", c.name, got, c.want)
		}
	}
}

// TestQuietPlaces: long stretches without a mark, long soft notes and registers
// at their hard levels, at one quarter note a second.
func TestQuietPlaces(t *testing.T) {
	bars := func(n int, note string) string { return strings.Repeat(note+" ", n) }
	for _, c := range []struct {
		name string
		kind func(*Page) []finding.Finding
		text string
		want string
	}{
		{"no new level", silence, "=f " + bars(8, "F3/2 F3/2"), "No new dynamic in bars 1 to 8, 32 seconds of playing at f."},
		{"soon a new level", silence, "=f " + bars(4, "F3/1") + "=p " + bars(4, "F3/1"), ""},
		{"mostly rests", silence, "=f " + bars(8, "F3/4 r/2."), ""},
		{"no level at all", silence, bars(9, "F3/1"), ""}, // said by levels
		{"two stretches", silence, "=f " + bars(8, "F3/1") + "=p " + bars(9, "F3/1"), "No new dynamic for long in bars 1 to 8 (32 s at f) and bars 9 to 17 (36 s at p)."},

		{"a long soft note", longSoft, "=pp F3/1! F3/1", "Long soft note in bar 1: F3, 6 s."},
		{"long and loud", longSoft, "=f F3/1! F3/1", ""},
		{"soft and short", longSoft, "=pp F3/2 F3/2 F3/1", ""},
		{"soft, long and low", longSoft, "=pp F2/1!", ""}, // said by soft-and-low
		{"several", longSoft, "=p F3/1! r/1 r/1 G3/1!", "Long soft notes in bars 1 and 4; the longest is F3 in bar 1, 6 s."},

		{"soft and low", softAndLow, "=p F2/1", "Soft and low, at p, in bar 1."},
		{"softer", softAndLow, "=p F2/1 =pp F2/1", "Soft and low, down to pp, in bars 1 to 2."},
		{"loud and low", softAndLow, "=f F2/1", ""},
		{"loud and high", loudAndHigh, "=f F4/1", "Loud and high, at f, in bar 1."},
		{"louder", loudAndHigh, "=fff G4/1", "Loud and high, up to fff, in bar 1."},
		{"soft and high", loudAndHigh, "=p F4/1", ""},
		{"loud in the middle", loudAndHigh, "=ff F3/1", ""},
	} {
		if got := texts(c.kind(page(t, "tenor", scoretest.Part(t, common, 60, c.text)))); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// TestSilenceEndsAtHairpins: a hairpin in the middle says something.
func TestSilenceEndsAtHairpins(t *testing.T) {
	part := scoretest.Part(t, common, 60, "=f "+strings.Repeat("F3/1 ", 10))
	part.Wedges = []score.Wedge{wedge(20, 22, true)}
	if got := texts(silence(page(t, "tenor", part))); got != "" {
		t.Errorf("%q", got)
	}
}

// TestForced: accents by dynamics, those that drop to piano apart.
func TestForced(t *testing.T) {
	part := scoretest.Part(t, common, 60, "=f F3/4 F3/4 F3/2 F3/1 F3/1")
	if got := forced(page(t, "tenor", part)); len(got) != 0 {
		t.Errorf("none: %+v", got)
	}
	part.Notes[0].Attack, part.Notes[2].Attack, part.Notes[3].Attack = "sfz", "sf", "fp"
	got := forced(page(t, "tenor", part))
	if texts(got) != "sfz and sf in bar 1. fp in bar 2." {
		t.Errorf("%q", texts(got))
	}
	if len(got) == 2 && (!strings.Contains(got[0].Do, "back at once") || !strings.Contains(got[1].Do, "let go at once")) {
		t.Errorf("advice %q and %q", got[0].Do, got[1].Do)
	}
}

// TestSeveritiesGrow: farther from the middle weighs more.
func TestSeveritiesGrow(t *testing.T) {
	weight := func(kind func(*Page) []finding.Finding, text string) float64 {
		got := kind(page(t, "tenor", scoretest.Part(t, common, 60, text)))
		if len(got) != 1 {
			t.Fatalf("%s: %+v", text, got)
		}
		return got[0].Weight
	}
	if a, b := weight(softAndLow, "=p F2/1"), weight(softAndLow, "=ppp F2/1"); a >= b {
		t.Errorf("p weighs %g, ppp %g", a, b)
	}
	if a, b := weight(loudAndHigh, "=f F4/1"), weight(loudAndHigh, "=fff F4/1"); a >= b {
		t.Errorf("f weighs %g, fff %g", a, b)
	}
}
