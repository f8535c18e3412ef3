package reading

import (
	"strings"
	"testing"

	"waterkey/score"
	"waterkey/score/scoretest"
)

// TestTrills: B flat to C in the staff is virtually impossible on a slide, an
// octave higher both notes lie in first as a lip trill (encyclopedia article
// "Trombone", from memory); with the attachment C4 lies in first on the F side. The others from
// the position chart: the same position on neighboring partials.
func TestTrills(t *testing.T) {
	for _, c := range []struct {
		instrument string
		fifths     int
		note, says string
	}{
		{"tenor", -2, "Bb3", "Trill B♭3 to C4 in bar 1: by the slide only"},
		{"tenor", -2, "Bb4", "Trill B♭4 to C5 in bar 1: a lip trill in 1."},
		{"tenor", 0, "G4", "Trill G4 to A4 in bar 1: a lip trill in 4."}, // partials 8 and 9
		{"tenor", -1, "F4", "Trill F4 to G4 in bar 1: a lip trill in 6."},
		{"tenor-f", -2, "Bb3", "Trill B♭3 to C4 in bar 1: with the valve, 1 and T1."},
		{"tenor", -1, "A3", "Trill A3 to B♭3 in bar 1: by the slide only"},
		{"tenor", 0, "Db4", "Trill D♭4 to E♭4 in bar 1"},
		{"tenor", 0, "E#3", "Trill E♯3 to F♯3 in bar 1"},
		{"tenor", 3, "G#3", "Trill G♯3 to A3 in bar 1: by the slide only"},
	} {
		part := scoretest.Part(t, common, 60, c.note+"/1")
		part.Notes[0].Marks |= score.Trill
		part.Bars[0].Key = score.Key{Fifths: c.fifths}
		got := ornament(page(t, c.instrument, part))
		if len(got) != 1 || got[0].Says != c.says && !strings.HasPrefix(got[0].Says, c.says) {
			t.Errorf("trill on %s, %d fifths, %s: %+v, want %q", c.note, c.fifths, c.instrument, got, c.says)
		}
	}
}

func TestOrnamentsByName(t *testing.T) {
	for name, c := range map[string]struct {
		edit func(n []score.Note)
		want string
	}{
		"none":           {func([]score.Note) {}, ""},
		"stroke":         {func(n []score.Note) { n[1].Grace, n[1].Slashed = true, true }, "Grace note in bar 1: G3 before A3."},
		"without stroke": {func(n []score.Note) { n[1].Grace = true }, "Grace note in bar 1: G3 before A3."},
		"two of them":    {func(n []score.Note) { n[0].Grace, n[1].Grace = true, true }, "Grace note in bar 1: two notes before A3."},
		"at the end":     {func(n []score.Note) { n[3].Grace = true }, "Grace note in bar 1: B♭3 at the end."},
		"turn":           {func(n []score.Note) { n[2].Marks |= score.OtherOrnament }, "Turn or mordent on A3 in bar 1."},
		"tremolo":        {func(n []score.Note) { n[2].Marks |= score.Tremolo }, "Tremolo strokes on A3 in bar 1."},
		"fall":           {func(n []score.Note) { n[3].Marks |= score.Falloff }, "Scoop or fall on B♭3 in bar 1."},
	} {
		part := scoretest.Part(t, common, 60, "F3/4 G3/4 A3/4 Bb3/4")
		c.edit(part.Notes)
		says := ""
		for _, f := range ornament(page(t, "tenor", part)) {
			says += f.Says
		}
		if says != c.want {
			t.Errorf("%s: %q, want %q", name, says, c.want)
		}
	}
	part := scoretest.Part(t, common, 60, "F3/4 G3/4 A3/4 Bb3/4")
	part.Notes[1].Grace, part.Notes[1].Slashed = true, true
	if got := ornament(page(t, "tenor", part)); len(got) != 1 || !strings.Contains(got[0].Do, "just before the beat") {
		t.Errorf("with a stroke: %+v", got)
	}
}
