// Package scoretest writes short parts for tests as a line of text.
//
// Notes are separated by spaces: a pitch, a slash, and the note value as the
// number below a whole note, "F3/8"; a dot after the number dots it. "r/4" is a
// rest. Signs may follow the value, see [Part]. Bars are
// cut by the meter.
package scoretest

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"waterkey/score"
)

// Part builds a part in the given meter and felt tempo. Signs after the value:
// ' staccato, - tenuto, > accent, ^ marcato, ( slur to the next note, ~ glissando
// to the next note, ! fermata, , breath after. A token that starts with = sets a
// dynamic: "=pp". Notes must not cross a bar line.
func Part(t testing.TB, meter score.Meter, bpm float64, text string) *score.Part {
	t.Helper()
	p := &score.Part{Title: "test", Name: "test"}
	unit := meter.Felt()
	p.Tempos = []score.TempoMark{{BPM: bpm, Unit: unit}}
	p.Meters = []score.MeterMark{{Meter: meter}}
	p.Keys = []score.KeyMark{{}}
	p.Clefs = []score.ClefMark{{Clef: score.Clef{Sign: "F", Line: 4}}}
	var at score.Time
	slur := false
	for _, tok := range strings.Fields(text) {
		bar := int(at.Over(meter.Length()) + 1e-9)
		for len(p.Bars) <= bar {
			k := int64(len(p.Bars))
			p.Bars = append(p.Bars, score.Bar{Number: strconv.Itoa(len(p.Bars) + 1), Meter: meter,
				Start: meter.Length().Scale(k, 1), Length: meter.Length()})
		}
		if mark, ok := strings.CutPrefix(tok, "="); ok {
			p.Dynamics = append(p.Dynamics, score.DynamicMark{At: at, Bar: bar, Mark: mark})
			continue
		}
		name, rest, _ := strings.Cut(tok, "/")
		value, dots, signs := noteValue(t, rest)
		if name == "r" {
			p.Rests = append(p.Rests, score.Rest{ID: fmt.Sprint("r", len(p.Rests)), Bar: bar, Onset: at, Duration: value, Value: value.Scale(2, 2+int64(dots)), Dots: dots})
			at = at.Add(value)
			continue
		}
		pitch, err := score.ParsePitch(name)
		if err != nil {
			t.Fatal(err)
		}
		id := fmt.Sprintf("b%dn%d", bar+1, len(p.Notes)+1)
		n := score.Note{ID: id, Bar: bar, Onset: at, Duration: value, Pitch: pitch, Written: pitch, SlurFrom: slur,
			Pieces: []score.Piece{{ID: id, Bar: bar, Onset: at, Duration: value, Value: value.Scale(2, 2+int64(dots)), Dots: dots}}}
		slur = false
		for _, s := range signs {
			switch s {
			case '\'':
				n.Marks |= score.Staccato
			case '-':
				n.Marks |= score.Tenuto
			case '>':
				n.Marks |= score.Accent
			case '^':
				n.Marks |= score.Marcato
			case '!':
				n.Marks |= score.Fermata
			case ',':
				n.Marks |= score.BreathAfter
			case '(':
				n.SlurTo, slur = true, true
			case '~':
				n.GlissTo = true
			}
		}
		p.Notes = append(p.Notes, n)
		at = at.Add(value)
	}
	return p
}

// noteValue reads "4.'" as a dotted quarter with the signs behind it.
func noteValue(t testing.TB, s string) (value score.Time, dots int, signs string) {
	t.Helper()
	i := strings.IndexFunc(s, func(r rune) bool { return r < '0' || r > '9' })
	if i < 0 {
		i = len(s)
	}
	d, err := strconv.ParseInt(s[:i], 10, 64)
	if err != nil || d <= 0 {
		t.Fatalf("note value %q", s)
	}
	value, signs = score.Frac(1, d), s[i:]
	if rest, ok := strings.CutPrefix(signs, "."); ok {
		return value.Scale(3, 2), 1, rest
	}
	return value, 0, signs
}
