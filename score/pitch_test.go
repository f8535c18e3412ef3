package score

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// slideChart is the chart of the straight B-flat trombone, first to seventh
// position, by partial: a reference (chart in "An overview of the trombone",
// chipbell4.github.io, 2025).
var slideChart = map[int][7]string{
	8: {"Bb4", "A4", "Ab4", "G4", "Gb4", "F4", "E4"},
	7: {"Ab4", "G4", "Gb4", "F4", "E4", "Eb4", "D4"},
	6: {"F4", "E4", "Eb4", "D4", "Db4", "C4", "B3"},
	5: {"D4", "Db4", "C4", "B3", "Bb3", "A3", "Ab3"},
	4: {"Bb3", "A3", "Ab3", "G3", "Gb3", "F3", "E3"},
	3: {"F3", "E3", "Eb3", "D3", "Db3", "C3", "B2"},
	2: {"Bb2", "A2", "Ab2", "G2", "Gb2", "F2", "E2"},
	1: {"Bb1", "A1", "Ab1", "G1", "Gb1", "F1", "E1"},
}

func pitch(t testing.TB, s string) Pitch {
	t.Helper()
	p, err := ParsePitch(s)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestPitchSlideChart(t *testing.T) {
	low := pitch(t, "Bb1").MIDI()
	for partial, row := range slideChart {
		for i, name := range row {
			want := low + int(math.Round(12*math.Log2(float64(partial)))) - i
			p := pitch(t, name)
			if p.MIDI() != want {
				t.Errorf("%s = MIDI %d, want %d", name, p.MIDI(), want)
			}
			if q := PitchFromMIDI(want); q.MIDI() != want || q != p && name[:2] != "Gb" {
				t.Errorf("PitchFromMIDI(%d) = %v, want %s", want, q, name)
			}
		}
	}
}

// TestPitchNumbers: middle C = 60 as the MIDI 1.0 Detailed Specification has
// it; 440 Hz is ISO 16:1975, the other frequencies are those of the list "Piano
// key frequencies" (Wikipedia; C8, A7 and G7 read there, the others from memory).
func TestPitchNumbers(t *testing.T) {
	for _, c := range []struct {
		name string
		midi int
		hz   float64
	}{
		{"A4", 69, 440}, {"C4", 60, 261.626}, {"C-1", 0, 8.176}, {"G9", 127, 12543.854},
		{"Bb1", 34, 58.270}, {"E2", 40, 82.407}, {"F3", 53, 174.614}, {"Bb3", 58, 233.082},
		{"D4", 62, 293.665}, {"Bb4", 70, 466.164}, {"Cb4", 59, 246.942}, {"B#3", 60, 261.626}, {"Abb4", 67, 391.995},
		{"C8", 108, 4186.01}, {"A7", 105, 3520}, {"G7", 103, 3135.96},
	} {
		const rounding = 0.006 // of the list's two decimals, in Hz
		p := pitch(t, c.name)
		if p.MIDI() != c.midi || math.Abs(p.Hz(440)-c.hz) > rounding {
			t.Errorf("%s: MIDI %d, %.4f Hz; want %d, %.3f Hz", c.name, p.MIDI(), p.Hz(440), c.midi, c.hz)
		}
	}
	quarterToneUp := Pitch{Step: 'A', Octave: 4, Cents: 50}
	if got, want := quarterToneUp.Hz(442), 442*math.Pow(2, 1.0/24); math.Abs(got-want) > 1e-9 {
		t.Errorf("a quarter tone above A4 at 442 Hz = %v, want %v", got, want)
	}
}

func TestPitchTranspose(t *testing.T) {
	for _, c := range []struct {
		from                string
		diatonic, chromatic int
		want                string
	}{
		{"C4", -1, -2, "Bb3"}, {"E4", -1, -2, "D4"}, {"F#4", -1, -2, "E4"}, {"F4", -4, -7, "Bb3"},
		{"C4", 1, 1, "Db4"}, {"C4", 0, 1, "C#4"}, {"B3", 0, 1, "B#3"}, {"Cb4", -7, -12, "Cb3"}, {"Gb3", 3, 5, "Cb4"},
	} {
		if got := pitch(t, c.from).Transpose(c.diatonic, c.chromatic).String(); got != c.want {
			t.Errorf("%s by %d, %d = %s, want %s", c.from, c.diatonic, c.chromatic, got, c.want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		p := anyPitch().Draw(t, "pitch")
		d, c := rapid.IntRange(-21, 21).Draw(t, "steps"), rapid.IntRange(-36, 36).Draw(t, "semitones")
		q := p.Transpose(d, c)
		if q.MIDI() != p.MIDI()+c || q.Transpose(-d, -c) != p {
			t.Fatalf("%v by %d, %d = %v", p, d, c, q)
		}
	})
}

func anyPitch() *rapid.Generator[Pitch] {
	return rapid.Custom(func(t *rapid.T) Pitch {
		return Pitch{Step: rapid.SampledFrom([]byte(steps)).Draw(t, "step"),
			Alter: rapid.IntRange(-3, 3).Draw(t, "alter"), Octave: rapid.IntRange(-2, 12).Draw(t, "octave")}
	})
}

func TestPitchText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPitch().Draw(t, "pitch")
		text, _ := p.MarshalText()
		var q Pitch
		if err := q.UnmarshalText(text); err != nil || q != p {
			t.Fatalf("%v read back as %v, %v", p, q, err)
		}
	})
	for _, bad := range []string{"B", "b2", "H3", "Bb", "Bbbbb3", "B3b", "C13", "C-3", "4"} {
		if p, err := ParsePitch(bad); err == nil {
			t.Errorf("ParsePitch(%q) = %v, want an error", bad, p)
		}
	}
	if s := (Pitch{}).String(); s != "" {
		t.Errorf("no pitch is written %q", s)
	}
	if n := pitch(t, "Bb-1").Name(); n != "Bb" {
		t.Errorf("name of Bb-1 = %q", n)
	}
}
