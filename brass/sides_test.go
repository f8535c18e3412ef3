package brass

import (
	"math"
	"testing"
)

// offers says whether in has the note as a partial of a side in a position, and
// how it is labeled.
func offers(t *testing.T, in *Instrument, note, valve string, partial, position int) (label string, ok bool) {
	t.Helper()
	for _, w := range in.Ways(pitch(t, note)) {
		if w.Valve == valve && w.Partial == partial && w.Position == position {
			return w.Label, true
		}
	}
	return "", false
}

func TestPositionChartOfEveryHorn(t *testing.T) {
	// The open side of every horn is the tenor's chart (see chart); an alto's lies a
	// fourth up: musicsavvy.com, "Alto trombone position chart", which ends on A2 in
	// seventh as this does.
	for _, name := range []string{"alto", "tenor-f", "bass", "bass-dependent"} {
		in := named(t, name)
		for partial, row := range chart {
			for i, note := range row {
				p := pitch(t, note)
				if name == "alto" {
					p = p.Transpose(3, 5)
				}
				_, got := offers(t, in, p.String(), "", partial, i+1)
				if want := partial != 7 || i != 0; got != want { // see TestEveryEntryOfThePositionChart
					t.Errorf("%s: %s as partial %d in position %d: %v, want %v", name, p, partial, i+1, got, want)
				}
			}
		}
	}
	if low := named(t, "alto").Lowest().String(); low != "A2" {
		t.Errorf("the alto ends on %s", low)
	}
}

func TestEveryEntryOfTheValveSides(t *testing.T) {
	// F side: six positions, published (playingbrass.com, "Trombone trigger", 2020;
	// Wikibooks, "Trombone/Slide Positions"); that its partial 2 goes to C2:
	// published there, the rest calculated. G flat and D sides: calculated from their
	// tubes, five positions on D and six on G flat.
	for _, side := range []struct {
		horns   []string
		valve   string
		prefix  string
		partial int
		notes   []string
	}{
		{[]string{"tenor-f", "bass", "bass-dependent"}, "F", "T", 2, []string{"F2", "E2", "Eb2", "D2", "Db2", "C2"}},
		{[]string{"tenor-f", "bass", "bass-dependent"}, "F", "T", 3, []string{"C3", "B2", "Bb2", "A2", "Ab2", "G2"}},
		{[]string{"tenor-f", "bass", "bass-dependent"}, "F", "T", 4, []string{"F3", "E3", "Eb3", "D3", "Db3", "C3"}},
		{[]string{"bass"}, "F+Gb", "TM", 2, []string{"D2", "Db2", "C2", "B1", "Bb1"}},
		{[]string{"bass-dependent"}, "F+D", "TM", 2, []string{"D2", "Db2", "C2", "B1", "Bb1"}},
		{[]string{"bass"}, "Gb", "M", 2, []string{"Gb2", "F2", "E2", "Eb2", "D2", "Db2"}},
		{[]string{"bass"}, "Gb", "M", 3, []string{"Db3", "C3", "B2", "Bb2", "A2", "Ab2"}},
	} {
		for _, horn := range side.horns {
			in := named(t, horn)
			for i, note := range side.notes {
				label, ok := offers(t, in, note, side.valve, side.partial, i+1)
				if want := side.prefix + string(rune('1'+i)); !ok || label != want {
					t.Errorf("%s: %s as partial %d in %s: offered %v as %q", horn, note, side.partial, want, ok, label)
				}
			}
			past := pitch(t, side.notes[len(side.notes)-1]).Transpose(-1, -1).String()
			if label, ok := offers(t, in, past, side.valve, side.partial, len(side.notes)+1); ok {
				t.Errorf("%s: %s in %s is past the end of the slide", horn, past, label)
			}
		}
	}
}

// usualLow are the first choices below the tenor's chart. With one valve: published
// (as above; C3 B2 F2 E2 take the valve: Wikibooks). That players of a bass trombone
// use both valves from D2 down is from memory; the positions are calculated.
var usualLow = map[string]map[string]string{
	"tenor-f":        {"C3": "T1", "B2": "T2", "F2": "T1", "E2": "T2", "Eb2": "T3", "D2": "T4", "Db2": "T5", "C2": "T6"},
	"bass":           {"C3": "T1", "B2": "T2", "F2": "T1", "E2": "T2", "Eb2": "T3", "D2": "TM1", "Db2": "TM2", "C2": "TM3", "B1": "TM4", "Bb1": "1"},
	"bass-dependent": {"C3": "T1", "B2": "T2", "F2": "T1", "E2": "T2", "Eb2": "T3", "D2": "TM1", "Db2": "TM2", "C2": "TM3", "B1": "TM4", "Bb1": "1"},
}

func TestFirstChoicesWithValves(t *testing.T) {
	for name, low := range usualLow {
		in := named(t, name)
		for note, position := range firstChoices {
			want, ok := low[note]
			if !ok {
				want = string(rune('0' + position))
			}
			if got := plain(in.Ways(pitch(t, note))[0].Label); got != want {
				t.Errorf("%s %s: %s first, want %s", name, note, got, want)
			}
		}
		for note, want := range low {
			if got := in.Ways(pitch(t, note))[0].Label; got != want {
				t.Errorf("%s %s: %s first, want %s", name, note, got, want)
			}
		}
	}
	alto := named(t, "alto")
	for note, position := range firstChoices {
		p := pitch(t, note).Transpose(3, 5)
		if got := alto.Ways(p)[0].Position; got != position {
			t.Errorf("alto %s: %d first, want %d", p, got, position)
		}
	}
}

// plain is a label without the sign of a raised position.
func plain(label string) string {
	if r := []rune(label); len(r) == 2 && (r[0] == '♯' || r[0] == '♭') {
		return string(r[1])
	}
	return label
}

// TestPartialsOfAHorn sets the fifth and sixth partials as different sources hear
// them, and looks where the slide goes.
func TestPartialsOfAHorn(t *testing.T) {
	for _, c := range []struct {
		source   string
		partial  int
		cents    float64 // against theory
		note     string
		position int
		outward  bool // whether the slide goes out, or in as far as it can
	}{
		{"published: 5th partial \"rather flat on most trombones\", shorten (wonder.eclipse.co.uk, slide trombone)", 5, 0, "Db4", 2, false},
		{"published: C#4 in 2nd \"actually sharp\" on many current models (eyebulb.com, chromatic scale)", 5, 20, "Db4", 2, true},
		{"published: the same of D4 in 1st", 5, 20, "D4", 1, true},
		{"published: D4 in 4th, the 6th partial, is sharp (the same)", 6, 15, "D4", 4, true},
		{"published: Eb4 in 3rd, the 6th partial, is sharp, move out (indiana.edu, ToneInto)", 6, 15, "Eb4", 3, true},
	} {
		in := named(t, "tenor")
		in.PartialCents = map[int]float64{c.partial: c.cents}
		for _, w := range in.Ways(pitch(t, c.note)) {
			if w.Partial != c.partial {
				continue
			}
			if w.Position != c.position || (w.LeanCM > 0) != c.outward || math.Abs(w.OffCents) > 1e-6 {
				t.Errorf("%s: %+v", c.source, w)
			}
		}
	}
	// By theory D4 in first lies 13.7 cents flat and the slide cannot help it.
	if w := named(t, "tenor").Ways(pitch(t, "D4"))[0]; w.LeanCM != 0 || math.Abs(w.OffCents+13.7) > 0.05 {
		t.Errorf("D4 in first: %+v", w)
	}
}
