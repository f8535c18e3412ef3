package brass

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"waterkey/score"
)

// table is a fingering chart: notes as the chart writes them, with the fingering.
type table []struct{ note, keys string }

// chartOf reads "F#3 123, G3 13".
func chartOf(t *testing.T, text string) table {
	t.Helper()
	var out table
	for _, entry := range strings.Split(text, ",") {
		f := strings.Fields(entry)
		if len(f) != 2 {
			t.Fatalf("entry %q of a chart", entry)
		}
		out = append(out, struct{ note, keys string }{f[0], f[1]})
	}
	return out
}

// moved shifts a chart by diatonic steps and semitones.
func (c table) moved(t *testing.T, steps, semitones int) table {
	t.Helper()
	out := make(table, len(c))
	for i, e := range c {
		out[i] = e
		out[i].note = pitch(t, e.note).Transpose(steps, semitones).String()
	}
	return out
}

// trumpetChart is in written pitch, a major second above sounding. Published:
// codegolf.stackexchange.com, answer 69581 (sounding-pitch table), which agrees with
// the rule "smallest valve drop from partials 2, 3, 4, 5, 6, 8, 10, 12".
const trumpetChart = `F#3 123, G3 13, G#3 23, A3 12, Bb3 1, B3 2, C4 0, C#4 123, D4 13, Eb4 23, E4 12,
	F4 1, F#4 2, G4 0, Ab4 23, A4 12, Bb4 1, B4 2, C5 0, C#5 12, D5 1, Eb5 2, E5 0, F5 1, F#5 2, G5 0,
	Ab5 23, A5 12, Bb5 1, B5 2, C6 0`

// euphoniumChart is four valves compensating, sounding. Published: the same table.
const euphoniumChart = `Bb1 0, B1 1234, C2 134, C#2 234, D2 124, Eb2 14, E2 24, F2 4, Gb2 23, G2 12, Ab2 1,
	A2 2, Bb2 0, B2 24, C3 4, Db3 23, D3 12, Eb3 1, E3 2, F3 0, Gb3 23, G3 12, Ab3 1, A3 2, Bb3 0, B3 12,
	C4 1, Db4 2, D4 0, Eb4 1, E4 2, F4 0, Gb4 23, G4 12, Ab4 1, A4 2, Bb4 0`

// tubaLow are the notes below partial 2 on a B flat tuba that does not compensate.
// Published: the tuba column of the same table; there is no B0.
const tubaLow = "Bb0 0, C1 1234, C#1 134, D1 234, Eb1 14"

// hornChart is in written pitch, a fifth above sounding: the F half. Published: the
// same table; that the F half ends on G4: jonathanhornthoughts.blogspot.com, July 2009.
const hornChart = `C3 0, C#3 123, D3 13, Eb3 23, E3 12, F3 1, F#3 2, G3 0, Ab3 23, A3 12, Bb3 1, B3 2, C4 0,
	C#4 12, D4 1, Eb4 2, E4 0, F4 1, F#4 2, G4 0`

// hornThumbChart is the B flat half, in written pitch: from memory, supported by the
// same blog (no fifth partials, A with 12, A flat with 23).
const hornThumbChart = `G#4 T23, A4 T12, Bb4 T1, B4 T2, C5 T0, C#5 T23, D5 T12, Eb5 T1, E5 T2, F5 T0, F#5 T2,
	G5 T0, Ab5 T23, A5 T12, Bb5 T1, B5 T2, C6 T0`

func checkChart(t *testing.T, name string, c table) {
	t.Helper()
	in := named(t, name)
	for _, e := range c {
		ways := in.Ways(pitch(t, e.note))
		if len(ways) == 0 || ways[0].Label != e.keys || ways[0].Position != 0 || ways[0].ExtensionCM != 0 {
			t.Errorf("%s %s: %s, want %s first", name, e.note, labels(ways), e.keys)
		}
	}
}

func labels(ways []Way) string {
	var out []string
	for _, w := range ways {
		out = append(out, fmt.Sprintf("%s (partial %d, %+.0f c)", w.Label, w.Partial, w.LeanCents))
	}
	return "[" + strings.Join(out, ", ") + "]"
}

func TestUsualFingerings(t *testing.T) {
	euphonium := chartOf(t, euphoniumChart)
	const below = 7 // entries of the chart from B1 to F2 and the pedal stand below or aside of three valves
	checkChart(t, "trumpet-bb", chartOf(t, trumpetChart).moved(t, -1, -2))
	checkChart(t, "euphonium", euphonium)
	checkChart(t, "horn-f-bb", append(chartOf(t, hornChart), chartOf(t, hornThumbChart)...).moved(t, -4, -7))
	// A compensating tuba in E flat: the euphonium's chart a fifth down (calculated).
	checkChart(t, "tuba-eb", euphonium.moved(t, -4, -7))
	// Three valves: 4 becomes 13, 24 becomes 123 (the same source).
	three := append(table{euphonium[0]}, euphonium[below-1:]...)
	for i := range three {
		three[i].keys = map[string]string{"4": "13", "24": "123"}[three[i].keys]
		if three[i].keys == "" {
			three[i].keys = append(table{euphonium[0]}, euphonium[below-1:]...)[i].keys
		}
	}
	checkChart(t, "euphonium-3", three)
	checkChart(t, "baritone", three)
	// Tubas that do not compensate: an octave down, the low notes shifted; C and F
	// tubas by the same rule (calculated).
	tuba := append(chartOf(t, tubaLow), euphonium[below-1:].moved(t, -7, -12)...)
	checkChart(t, "tuba-bb", tuba)
	checkChart(t, "tuba-c", tuba.moved(t, 1, 2))
	checkChart(t, "tuba-f", tuba.moved(t, 4, 7))
}

func TestNotesThatValvesLeaveOut(t *testing.T) {
	// The same source: nothing between E2 and pedal B flat 1 with three valves, no
	// low B on a tuba that does not compensate.
	for name, missing := range map[string][]string{
		"euphonium-3": {"B1", "C2", "Db2", "D2", "Eb2"}, "baritone": {"B1", "C2", "Db2", "D2", "Eb2"},
		"tuba-bb": {"B0"}, "trumpet-bb": {"Eb3", "Bb2"}, // that a trumpet has no pedal is from memory
	} {
		for _, note := range missing {
			if ways := named(t, name).Ways(pitch(t, note)); len(ways) > 0 {
				t.Errorf("%s: %s is offered: %s", name, note, labels(ways))
			}
		}
	}
}

// TestFingeringsOfferedBesideTheUsual keeps out what no player takes: the seventh and
// eleventh partials (published: the rule of the table) and fingerings further from
// pitch than a lip goes, unless the note has no better.
func TestFingeringsOfferedBesideTheUsual(t *testing.T) {
	for _, name := range Names() {
		in := named(t, name)
		if in.Slide() {
			continue
		}
		for midi := range 128 {
			p := pitchOf(midi)
			for i, w := range in.Ways(p) {
				if w.Partial == 7 || w.Partial == 11 {
					t.Errorf("%s %s: partial %d is offered", name, p, w.Partial)
				}
				if i > 0 && math.Abs(w.OffCents) > lipCents {
					t.Errorf("%s %s: %s is offered, %+.0f cents off", name, p, w.Label, w.OffCents)
				}
			}
		}
	}
}

func TestEndsOfTheRange(t *testing.T) {
	// Calculated: from partial 2 down as far as the valves reach without a gap, on
	// into the pedals where they join; partial 12 on top.
	for name, want := range map[string][2]string{
		"trumpet-bb": {"E3", "F6"}, "horn-f-bb": {"B0", "F5"}, "euphonium": {"E1", "F5"},
		"euphonium-3": {"E2", "F5"}, "baritone": {"E2", "F5"}, "tuba-bb": {"C1", "F4"},
		"tenor": {"E2", "F5"}, "tenor-f": {"C2", "F5"},
	} {
		in := named(t, name)
		if lo, hi := in.Lowest().String(), in.Highest().String(); lo != want[0] || hi != want[1] {
			t.Errorf("%s: %s to %s, want %s to %s", name, lo, hi, want[0], want[1])
		}
		if len(in.Ways(in.Highest())) == 0 || len(in.Ways(score.PitchFromMIDI(in.Highest().MIDI()+1))) > 0 {
			t.Errorf("%s: %s is not the highest note", name, in.Highest())
		}
	}
}
