package desk

import (
	"bytes"
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"gitlab.com/gomidi/midi/v2/smf"

	"waterkey/sound"
)

func march(t *testing.T) *Prepared {
	t.Helper()
	p, err := prepared(t, "harbor-parade.musicxml", "tenor-f")
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// Closed form: equal steps from 60 to 96 of at most 12 % are ln(1.6)/ln(1.12) = 4.15,
// so 5 steps; three runs have their middle at the geometric mean.
func TestRungs(t *testing.T) {
	for _, c := range []struct {
		q    Playing
		want []float64
	}{
		{Playing{SlowFrom: 60}, []float64{60, 65.91, 72.41, 79.55, 87.39, 96}},
		{Playing{SlowFrom: 60, Runs: 3}, []float64{60, 75.89, 96}},
		{Playing{SlowShare: 0.5, Runs: 2}, []float64{48, 96}},
		{Playing{SlowFrom: 60, SlowTo: 66}, []float64{60, 66}},
	} {
		got, err := rungs(c.q, 96)
		for i := range got {
			got[i] = round(got[i], 2)
		}
		if diff := cmp.Diff(c.want, got); err != nil || diff != "" {
			t.Errorf("%+v: %v (-want +got):\n%s", c.q, err, diff)
		}
	}
}

// The bars of a passage, by their printed numbers: those between are all there, with
// the turn of a repeat in them.
func TestPassages(t *testing.T) {
	p := march(t)
	for _, c := range []struct{ from, to, first, last string }{
		{"", "", "1", "32"}, {"5", "6", "5", "6"}, {"9", "16", "9", "16"}, {"12", "12", "12", "12"}, {"30", "", "30", "32"}, {"", "2", "1", "2"},
	} {
		s, err := p.Sound(Playing{From: c.from, To: c.to})
		if err != nil {
			t.Fatal(err)
		}
		d := s.Timeline()
		if first, last := d.Bars[0].Bar, d.Bars[len(d.Bars)-1].Bar; first != c.first || last != c.last || d.Bars[0].StartS != 0 {
			t.Errorf("%s-%s: bars %s to %s from %g s, want %s to %s from 0", c.from, c.to, first, last, d.Bars[0].StartS, c.first, c.last)
		}
		if d.Notes[0].StartS < 0 || d.Notes[len(d.Notes)-1].StartS > d.Seconds {
			t.Errorf("%s-%s: a note outside the passage", c.from, c.to)
		}
	}
}

// A breath takes the same share of the beat in a slow run as in a fast one.
func TestSlowRunsBreatheInTheSamePlaces(t *testing.T) {
	p := march(t)
	runs, err := p.runs(Playing{SlowFrom: 48, Runs: 2})
	if err != nil {
		t.Fatal(err)
	}
	slow, fast := runs[0].Options.Breaths, runs[1].Options.Breaths
	if len(fast) == 0 || len(slow) != len(fast) {
		t.Fatalf("%d and %d breaths", len(slow), len(fast))
	}
	for i := range slow {
		if slow[i].After != fast[i].After || math.Abs(float64(slow[i].Room/fast[i].Room)-2) > 1e-6 {
			t.Errorf("breath %d: %+v at half of the tempo, %+v at it", i, slow[i], fast[i])
		}
	}
}

// Both the drone and the ladder reach to the end of the last bar.
func TestDroneLastsAsLongAsTheLadder(t *testing.T) {
	p := march(t)
	s, err := p.Sound(Playing{From: "1", To: "4", SlowFrom: 60, Drone: "Bb2 F3", Just: true})
	if err != nil {
		t.Fatal(err)
	}
	var held []sound.Tone
	for _, tone := range s.Tones {
		if tone.Line > 0 {
			held = append(held, tone)
		}
	}
	if len(held) != 2 || math.Abs(held[1].Hz/held[0].Hz-1.5) > 1e-12 || math.Abs(float64(held[0].End)-s.Timeline().Seconds) > 0.2 {
		t.Errorf("drone %+v, want two tones a just fifth apart to %.2f s", held, s.Timeline().Seconds)
	}
	if d := s.Document(); len(d.Runs) != 6 || d.Runs[5].TempoBPM != 96 || math.Abs(d.Runs[0].TempoBPM-60) > 0.01 {
		t.Errorf("runs %+v, want six from 60 to 96", d.Runs)
	}
}

func TestWishesThatCannotBeMet(t *testing.T) {
	p := march(t)
	for field, c := range map[string]struct {
		q    Playing
		says string
	}{
		"style":       {Playing{Style: "loud"}, "try light"},
		"bars":        {Playing{From: "9", To: "99"}, "bars 1 to 32"},
		"count-in":    {Playing{CountIn: 9}, "such as 1"},
		"divide":      {Playing{Divide: 3}, "add a click"},
		"accents":     {Playing{Click: true, Accents: []int{0}}, "1 to 2 work"},
		"inner":       {Playing{Inner: []int{1}}, "such as 1,1"},
		"slow-from":   {Playing{SlowFrom: 96}, "such as 67"},
		"slow-to":     {Playing{SlowTo: 60}, "add slow-from"},
		"runs":        {Playing{SlowFrom: 60, Runs: 99}, "such as 4"},
		"drone":       {Playing{Drone: "C9"}, "Bb2 works"},
		"just":        {Playing{Just: true}, "such as Bb2 F3"},
		"drone pitch": {Playing{Drone: "1 2 3 4 5 6 7"}, "at most 6"},
	} {
		_, err := p.Sound(c.q)
		var wrong *PlayingError
		if !errors.As(err, &wrong) || wrong.Field != strings.Fields(field)[0] || !strings.Contains(wrong.Text, c.says) || !errors.Is(err, ErrInvalid) {
			t.Errorf("%s: %v; want it to say %q", field, err, c.says)
		}
	}
}

// midiOf reads the MIDI file of a style: how many semitones keys are bent at most, and
// how many ticks all notes sound together.
func midiOf(t *testing.T, p *Prepared, style string) (bent map[uint8]float64, sounding int64) {
	t.Helper()
	var b bytes.Buffer
	if err := p.PlayMIDI(&b, style); err != nil {
		t.Fatal(err)
	}
	file, err := smf.ReadFrom(&b)
	if err != nil {
		t.Fatal(err)
	}
	bent = map[uint8]float64{}
	now, begun, last := int64(0), map[uint8]int64{}, uint8(0)
	for _, e := range file.Tracks[1] {
		now += int64(e.Delta)
		var channel, key, velocity uint8
		var relative int16
		var absolute uint16
		switch {
		case e.Message.GetNoteStart(&channel, &key, &velocity):
			begun[key], last = now, key
		case e.Message.GetNoteEnd(&channel, &key):
			sounding += now - begun[key]
		case e.Message.GetPitchBend(&channel, &relative, &absolute):
			if semitones := float64(relative) * 12 / 8192; semitones > 0.05 { // less is the lean of the slide within one position
				bent[last] = max(bent[last], round(semitones, 1))
			}
		}
	}
	return bent, sounding
}

// Of the two glissandi of the march only the one from C3 (48) lies on a partial: the
// slide cannot go from D3 to G3. Notes are as long as the style has them.
func TestMIDIGoesAsThePathAndTheStyle(t *testing.T) {
	p := march(t)
	bent, light := midiOf(t, p, "light")
	if diff := cmp.Diff(map[uint8]float64{48: 5}, bent); diff != "" {
		t.Errorf("keys with a bend (-want +got):\n%s", diff)
	}
	_, plain := midiOf(t, p, "")
	_, broad := midiOf(t, p, "broad")
	if !(light < plain && plain < broad) {
		t.Errorf("notes sound for %d ticks light, %d plain, %d broad; want them to grow", light, plain, broad)
	}
	if err := p.PlayMIDI(&bytes.Buffer{}, "loud"); !errors.Is(err, ErrInvalid) {
		t.Errorf("style loud: %v", err)
	}
}
