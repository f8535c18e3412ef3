package reading

import (
	"math"
	"slices"
	"strings"
	"testing"

	"waterkey/finding"
	"waterkey/player"
	"waterkey/score"
	"waterkey/score/scoretest"
)

// inKey sets the signature of a whole part.
func inKey(part *score.Part, fifths int) *score.Part {
	for i := range part.Bars {
		part.Bars[i].Key.Fifths = fifths
	}
	part.Keys = []score.KeyMark{{Key: score.Key{Fifths: fifths}}}
	return part
}

// sign prints an accidental before some notes.
func sign(part *score.Part, accidental string, notes ...int) *score.Part {
	for _, n := range notes {
		part.Notes[n].Accidental = accidental
	}
	return part
}

// one returns the only finding of a kind.
func one(t *testing.T, fs []finding.Finding, kind string) finding.Finding {
	t.Helper()
	got := find(fs, kind)
	if len(got) != 1 {
		t.Fatalf("%d findings of kind %s: %+v", len(got), kind, got)
	}
	return got[0]
}

// TestAccidentalsHold: an accidental holds to the bar line, in its octave
// (standard notation), so the second F sharp of bar 1 has no sign, and the F of
// bar 2 is natural again.
func TestAccidentalsHold(t *testing.T) {
	part := scoretest.Part(t, common, 90, "F#3/4 G3/4 F#3/4 G3/4 F3/4 G3/4 A3/2")
	f := one(t, Walk(page(t, "tenor", sign(part, "sharp", 0))), "accidental")
	for _, want := range []string{"Accidentals on F♯3 in bar 1", "still in force without a sign on F♯3 in bar 1"} {
		if !strings.Contains(f.Says, want) {
			t.Errorf("%q lacks %q", f.Says, want)
		}
	}
	if !strings.Contains(f.Do, "the key's own F3 is back in bar 2") {
		t.Errorf("%q does not say that the key is back", f.Do)
	}
	part = scoretest.Part(t, common, 90, "Bb3/4 A3/4 Bb3/4 A3/4")
	if got := find(Walk(page(t, "tenor", inKey(part, -1))), "accidental"); len(got) != 0 {
		t.Errorf("the key's own flats are called accidentals: %+v", got)
	}
}

// TestHomeKeyReturns: three flats, six flats, three flats.
func TestHomeKeyReturns(t *testing.T) {
	part := inKey(scoretest.Part(t, common, 90, "Eb3/1 Eb3/1 Eb3/1"), -3)
	for _, k := range []struct{ bar, fifths int }{{1, -6}, {2, -3}} {
		part.Bars[k.bar].Key.Fifths = k.fifths
		part.Keys = append(part.Keys, score.KeyMark{At: part.Bars[k.bar].Start, Bar: k.bar, Key: score.Key{Fifths: k.fifths}})
	}
	f := one(t, Walk(page(t, "tenor", part)), "key-change")
	if want := "The key changes: bar 2 (six flats) and bar 3 (three flats, the home key again)."; f.Says != want {
		t.Errorf("%q, want %q", f.Says, want)
	}
	if want := [][]string{{"2", "2"}, {"3", "3"}}; !slices.EqualFunc(f.Places, want, slices.Equal) {
		t.Errorf("%v, want %v", f.Places, want)
	}
}

// TestLeapsInPartials: the partials are those of the position chart.
func TestLeapsInPartials(t *testing.T) {
	f := one(t, Walk(page(t, "tenor", scoretest.Part(t, common, 90, "Bb2/4 Bb3/4 F3/2"))), "leap")
	if !strings.Contains(f.Says, "12 semitones and past one partial") {
		t.Errorf("B♭2 to B♭3, partials 2 and 4: %q", f.Says)
	}
	f = one(t, Walk(page(t, "tenor", scoretest.Part(t, common, 90, "Bb2/4 F4/4 F4/2"))), "leap")
	if !strings.Contains(f.Says, "19 semitones and past three partials") {
		t.Errorf("B♭2 to F4, partials 2 and 6: %q", f.Says)
	}
	f = one(t, Walk(page(t, "tenor", scoretest.Part(t, common, 90, "D4/2 Bb4/2"))), "leap")
	if !strings.Contains(f.Says, "8 semitones and past two partials") {
		t.Errorf("D4 to B♭4, partials 5 and 8: %q", f.Says)
	}
	if got := find(Walk(page(t, "tenor", scoretest.Part(t, common, 90, "Bb2/2 r/1 r/2 Bb3/1"))), "leap"); len(got) != 0 {
		t.Errorf("a new entrance after a bar's rest is called a leap: %+v", got)
	}
}

// TestRangeDependsOnLevel: the public curriculum behind package player ends
// level 1 on B flat 3 and level 3 on E flat 4.
func TestRangeDependsOnLevel(t *testing.T) {
	for _, c := range []struct {
		level player.Level
		says  string
	}{
		{1, "C4, D4 and E4 lie above what level 1 usually plays (to B♭3)"},
		{3, "E4 lies above what level 3 usually plays (to E♭4)"},
		{4, ""},
	} {
		pg := page(t, "tenor", scoretest.Part(t, common, 60, "C4/1 D4/1 E4/1"))
		pg.Level = c.level
		got := find(Walk(pg), "high")
		if c.says == "" {
			if len(got) != 0 {
				t.Errorf("%s: %+v", c.level, got)
			}
			continue
		}
		if len(got) != 1 || !strings.Contains(got[0].Says, c.says) {
			t.Errorf("%s: %+v, want %q", c.level, got, c.says)
		}
	}
}

// TestWeightsFallWithLevel: what a beginner misses a professional may not.
func TestWeightsFallWithLevel(t *testing.T) {
	last := 1.0
	for level := player.First; level <= player.Professional; level++ {
		pg := page(t, "tenor", inKey(scoretest.Part(t, common, 60, "E3/1"), -2))
		pg.Level = level
		w := one(t, Walk(pg), "key").Weight
		if w >= last {
			t.Errorf("%s: weight %.2f, the level below had %.2f", level, w, last)
		}
		last = w
	}
}

func TestEveryKindIsOnTheScale(t *testing.T) {
	for kind, o := range scale {
		if o.mild <= 0 || o.mild > o.severe || o.severe > 1 || o.heard <= 0 || o.heard > 1 {
			t.Errorf("%s: %+v", kind, o)
		}
	}
}

// TestTessitura counts by hand: two seconds F3, one second B flat 3, one C4.
func TestTessitura(t *testing.T) {
	pf, err := scoretest.Part(t, common, 60, "F3/2 Bb3/4 C4/4").ReadThrough(score.Tempo{})
	if err != nil {
		t.Fatal(err)
	}
	got := TessituraOf(pf)
	if got.Low.String() != "F3" || got.Middle.String() != "F3" || got.High.String() != "C4" {
		t.Errorf("%s, %s, %s, want F3, F3, C4", got.Low, got.Middle, got.High)
	}
	sum := 0.0
	for _, p := range got.Seconds {
		sum += p.Seconds
	}
	if len(got.Seconds) != 3 || got.Seconds[0].Seconds != 2 || math.Abs(sum-4) > 1e-9 {
		t.Errorf("%+v", got.Seconds)
	}
}

// TestAttachmentSpares: low B natural beside B flat is seventh to first without a
// valve, second to first with it.
func TestAttachmentSpares(t *testing.T) {
	f := one(t, Walk(page(t, "tenor", scoretest.Part(t, common, 120, "Bb2/8 B2/8 Bb2/8 B2/8 Bb2/8 B2/8 Bb2/8 B2/8"))), "slide-trap")
	if !strings.Contains(f.Do, "An F attachment would spare") {
		t.Errorf("%q", f.Do)
	}
}

// TestSlideTrapUnderASlur: the slide cannot arrive before a tongue that moves with it
// (common practice, no source).
func TestSlideTrapUnderASlur(t *testing.T) {
	for text, want := range map[string]string{
		"B2/16 Bb2/16 B2/16 Bb2/16 B2/2.":     "Let the slide arrive before the tongue",
		"B2/16( Bb2/16( B2/16( Bb2/16( B2/2.": "Under the slur slide and tongue go together",
	} {
		if f := one(t, Walk(page(t, "tenor", scoretest.Part(t, common, 150, text))), "slide-trap"); !strings.HasPrefix(f.Do, want) {
			t.Errorf("%s: %q, want %q", text, f.Do, want)
		}
	}
}
