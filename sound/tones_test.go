package sound

import (
	"math"
	"testing"

	"waterkey/score"
)

func TestOneToneForEachPlayedNote(t *testing.T) {
	p := page(t, written{pitch: "Bb3", quarters: 4}, written{pitch: "C4", quarters: 2}, written{pitch: "D4", quarters: 2})
	p.Bars[0].RepeatEnd = 2
	pf := perform(t, p)
	tones := Tones(pf, Options{LeadIn: 1})
	if len(tones) != len(pf.Notes) || len(tones) != 4 {
		t.Fatalf("%d tones for %d played notes, want 4", len(tones), len(pf.Notes))
	}
	for i, tone := range tones {
		if tone.Note != i || tone.Start != 1+pf.Notes[i].Start || tone.Connects {
			t.Errorf("tone %d: note %d at %g, connects %t; want %d at %g, false",
				i, tone.Note, tone.Start, tone.Connects, i, 1+pf.Notes[i].Start)
		}
	}
}

func TestHowTonesFollowEachOther(t *testing.T) {
	rest := written{quarters: 1}
	gliss := func(n *score.Note) { n.GlissTo = true }
	for _, c := range []struct {
		name     string
		notes    []written
		attack   Attack
		connects bool
	}{
		{"tongued", []written{{"Bb3", 1, nil}, {"C4", 1, nil}}, Tongued, false},
		{"tenuto", []written{{"Bb3", 1, marked(score.Tenuto)}, {"C4", 1, nil}}, Tongued, true},
		{"slurred", []written{{"Bb3", 1, slur(false, true)}, {"C4", 1, slur(true, false)}}, Slurred, true},
		{"slurred, repeated", []written{{"Bb3", 1, slur(false, true)}, {"Bb3", 1, slur(true, false)}}, Legato, true},
		{"after a glissando", []written{{"Bb3", 1, gliss}, {"C4", 1, nil}}, Slurred, true},
		{"accented", []written{{"Bb3", 1, nil}, {"C4", 1, marked(score.Accent)}}, Accented, false},
		{"after a rest", []written{{"Bb3", 1, marked(score.Tenuto)}, rest, {"C4", 1, nil}}, Tongued, false},
	} {
		tones := Tones(perform(t, page(t, c.notes...)), Options{})
		if got := tones[len(tones)-1]; got.Attack != c.attack || got.Connects != c.connects {
			t.Errorf("%s: attack %d, connects %t; want %d, %t", c.name, got.Attack, got.Connects, c.attack, c.connects)
		}
	}
}

// A slur into a first ending does not join the note that the repeat goes back
// to.
func TestSlurDoesNotReachAcrossAJump(t *testing.T) {
	p := page(t, written{"Bb3", 2, slur(true, true)}, written{"C4", 2, slur(true, true)}, written{"D4", 4, slur(true, false)})
	p.Bars[0].RepeatEnd = 2
	tones := Tones(perform(t, p), Options{})
	want := []Attack{Tongued, Slurred, Tongued, Slurred, Slurred}
	for i, tone := range tones {
		if tone.Attack != want[i] {
			t.Errorf("tone %d: attack %d, want %d", i, tone.Attack, want[i])
		}
	}
}

func TestGraceNoteSoundsAsTimed(t *testing.T) {
	p := page(t, written{"Bb3", 2, nil}, written{"C4", 1, func(n *score.Note) { n.Grace, n.SlurTo = true, true }},
		written{"D4", 2, slur(true, false)})
	pf := perform(t, p)
	tones := Tones(pf, Options{})
	grace := tones[1]
	if grace.Start != pf.Notes[1].Start || grace.End != pf.Notes[1].End || math.Abs(float64(grace.End-grace.Start-score.GraceSeconds)) > 1e-9 {
		t.Errorf("grace note from %g to %g, want %g to %g", grace.Start, grace.End, pf.Notes[1].Start, pf.Notes[1].End)
	}
	if tones[2].Attack != Slurred || !tones[2].Connects {
		t.Errorf("the note after has attack %d, connects %t; want slurred on", tones[2].Attack, tones[2].Connects)
	}
}

// In F major a trill on A goes to B flat.
func TestTrillTakesTheNoteOfTheKey(t *testing.T) {
	p := page(t, written{"A3", 2, marked(score.Trill)})
	p.Bars[0].Key = score.Key{Fifths: -1}
	tones := Tones(perform(t, p), Options{})
	if len(tones) != 23 { // 1.92 s at 6 turns a second, and the last main note
		t.Fatalf("%d tones, want 23", len(tones))
	}
	for k, tone := range tones {
		want := 220.0
		if k%2 == 1 {
			want = 233.0819 // Bb3
		}
		if math.Abs(cents(tone.Hz, want)) > 0.01 || tone.Note != 0 {
			t.Errorf("tone %d of note %d: %.3f Hz, want %.3f", k, tone.Note, tone.Hz, want)
		}
	}
}
