package reading

import (
	"strings"
	"testing"

	"waterkey/score"
	"waterkey/score/scoretest"
)

// TestEvidence: each sign makes a phrase end after note 3 likelier than without
// it. What counts as a sign is common practice.
func TestEvidence(t *testing.T) {
	const rest = " G3/4 F3/4 G3/4 F3/4"
	for _, c := range []struct{ name, with, without string }{
		{"a rest", "F3/4 G3/4 F3/4 G3/8 r/8" + rest, "F3/4 G3/4 F3/4 G3/4" + rest},
		{"a longer rest", "F3/4 G3/4 F3/8 G3/8 r/4" + rest, "F3/4 G3/4 F3/8 G3/4 r/8" + rest},
		{"a breath mark", "F3/4 G3/4 F3/4 G3/4," + rest, "F3/4 G3/4 F3/4 G3/4" + rest},
		{"a fermata", "F3/4 G3/4 F3/4 G3/4!" + rest, "F3/4 G3/4 F3/4 G3/4" + rest},
		{"a long note", "F3/8 G3/8 F3/4 G3/2" + rest, "F3/4 G3/4 F3/4 G3/4" + rest},
		{"the end of a slur", "F3/4( G3/4( F3/4( G3/4" + rest, "F3/4 G3/4 F3/4 G3/4" + rest},
		{"no slur over the place", "F3/4 G3/4 F3/4 G3/4" + rest, "F3/4 G3/4 F3/4 G3/4(" + rest},
		{"no glissando over the place", "F3/4 G3/4 F3/4 G3/4" + rest, "F3/4 G3/4 F3/4 G3/4~" + rest},
		{"a leap", "F3/4 G3/4 F3/4 G3/4 G4/4 F4/4 G4/4 F4/4", "F3/4 G3/4 F3/4 G3/4" + rest},
	} {
		with, without := evidenceAfter(t, c.with, 3), evidenceAfter(t, c.without, 3)
		if with <= without {
			t.Errorf("%s: evidence %g, without %g", c.name, with, without)
		}
	}
	const even = "r/4 F3/4 F3/4 F3/4 F3/4 F3/4 F3/4 F3/4"
	if at, off := evidenceAfter(t, even, 3), evidenceAfter(t, even, 2); at <= off {
		t.Errorf("the place in the bar where the line began: evidence %g, a beat before %g", at, off)
	}
}

func evidenceAfter(t *testing.T, text string, i int) float64 {
	t.Helper()
	l := newLine(page(t, "tenor", scoretest.Part(t, common, 90, text)))
	return l.evidence(lineSpan{0, len(l.notes) - 1})[i]
}

// TestLongNoteOutweighsRhythmAlone: the constants for a long note and for the place in
// the bar count beside the profile.
func TestLongNoteOutweighsRhythmAlone(t *testing.T) {
	l := newLine(page(t, "tenor", scoretest.Part(t, common, 90, "F3/4 F3/4 F3/2 F3/4 F3/4 F3/4 F3/4")))
	e := lineSpan{0, len(l.notes) - 1}
	profile := l.melody(e).Profile()
	want := profile[2] + longEvidence + parallelEvidence
	if got := l.evidence(e)[2]; got != want {
		t.Errorf("evidence %g, want %g", got, want)
	}
}

// TestLongLinesAreDivided: a line of twenty seconds is divided at a weak sign; at
// twice the tempo it is carried in one.
func TestLongLinesAreDivided(t *testing.T) {
	const bar = "F3/4 G3/4 F3/4 G3/4 "
	text := bar + bar + "F3/4( G3/4( F3/4( G3/4 " + bar + bar + bar
	for bpm, want := range map[float64]string{60: "1-3 4-6", 120: "1-6"} {
		p := page(t, "tenor", scoretest.Part(t, common, bpm, text))
		if got := barsOf(p, Phrases(p)); got != want {
			t.Errorf("at %g: phrases %s, want %s", bpm, got, want)
		}
	}
}

// TestPlaceInBar: a pickup is counted from the end of its bar.
func TestPlaceInBar(t *testing.T) {
	part := scoretest.Part(t, common, 90, "F3/4 G3/4 F3/4 G3/4 F3/1")
	for i := range part.Notes { // the first bar becomes a pickup of one quarter
		part.Notes[i].Onset = part.Notes[i].Onset.Sub(score.Frac(3, 4))
	}
	part.Bars[0].Length, part.Bars[0].Implicit = score.Frac(1, 4), true
	part.Bars[1].Start = score.Frac(1, 4)
	l := newLine(page(t, "tenor", part))
	last := len(l.notes) - 1
	l.notes = l.notes[last-1:] // the last quarter, in the pickup, and the whole note
	if got := l.placeInBar(0); got != score.Frac(3, 4) {
		t.Errorf("the pickup stands at %s, want 3/4", got)
	}
	if got := l.placeInBar(1); got.Sign() != 0 {
		t.Errorf("the downbeat stands at %s", got)
	}
}

// TestWeightOfNotes: each of these makes note 3 heavier than without it (common
// practice).
func TestWeightOfNotes(t *testing.T) {
	const rest = " E3/4 E3/4 E3/4 E3/4"
	for _, c := range []struct{ name, with, without string }{
		{"a downbeat", "r/4 E3/4 E3/4 E3/4 E3/4" + rest, "E3/4 E3/4 E3/4 E3/4" + rest},
		{"the middle of the bar", "E3/8 E3/8 E3/4 E3/4 E3/4" + rest, "E3/4 E3/4 E3/4 E3/4" + rest},
		{"a beat", "E3/4 E3/4 E3/4 E3/4" + rest, "E3/4 E3/4 E3/8 E3/8 E3/4" + rest},
		{"length", "E3/8 E3/8 E3/4 E3/2" + rest, "E3/8 E3/8 E3/4 E3/4 E3/4" + rest},
		{"a turn", "E3/4 E3/4 E3/4 F3/4" + rest, "E3/4 E3/4 E3/4 E3/4" + rest},
		{"an accent", "E3/4 E3/4 E3/4 E3/4>" + rest, "E3/4 E3/4 E3/4 E3/4" + rest},
		{"tenuto", "E3/4 E3/4 E3/4 E3/4-" + rest, "E3/4 E3/4 E3/4 E3/4" + rest},
		{"leaning", "C3/4 D3/8 E3/8 A3/4( G3/4" + rest, "C3/4 D3/8 E3/8 A3/4 G3/4" + rest},
	} {
		with, without := weightOf(t, c.with, 3), weightOf(t, c.without, 3)
		if with <= without {
			t.Errorf("%s: weight %g, without %g", c.name, with, without)
		}
	}
}

func weightOf(t *testing.T, text string, i int) float64 {
	t.Helper()
	l := newLine(page(t, "tenor", scoretest.Part(t, common, 90, text)))
	e := lineSpan{0, len(l.notes) - 1}
	return l.weight(i, e, l.middleLength(e))
}

// TestCrescendoArrives: the note at the tip of a hairpin is heavier, and named so when
// a long part leads there.
func TestCrescendoArrives(t *testing.T) {
	part := scoretest.Part(t, common, 90, strings.Repeat("E3/4 E3/4 F3/4 E3/4 D3/4 E3/4 D3/4 r/4 ", 4))
	part.Wedges = []score.Wedge{{From: part.Bars[2].Start, To: part.Bars[3].Start, FromBar: 2, ToBar: 3, Grow: true}}
	p := page(t, "tenor", part)
	if !newLine(p).arrivals[11] {
		t.Error("the crescendo does not arrive on note 11, the downbeat of bar 4")
	}
	if got := says(Walk(p), "weight"); !strings.Contains(got, "the D3 in bar 4, where the crescendo arrives") {
		t.Errorf("%q, want the arrival in bar 4", got)
	}
}
