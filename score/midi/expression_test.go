package midi

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"waterkey/score"
	"waterkey/score/scoretest"
)

// growing is a whole note from piano to mezzo-forte, a plain note after it, and a
// glissando.
func growing(t *testing.T) *score.Part {
	p := scoretest.Part(t, four, 60, "=p C4/1 =mf C4/1 F3/2~ B2/2")
	p.Wedges = []score.Wedge{{To: score.Frac(1, 1), Grow: true}}
	return p
}

// Two markings of 4 dB inside the note by the 40 log10 law are a factor of 1.58;
// the value is cut at 127 and back at rest for the next note.
func TestHairpinInsideANoteMovesTheExpression(t *testing.T) {
	_, file := write(t, growing(t), Options{})
	var values []uint8
	for _, e := range file.Tracks[1] {
		var ch, control, v uint8
		if e.Message.GetControlChange(&ch, &control, &v) && control == 11 {
			values = append(values, v)
		}
	}
	if len(values) < 10 || values[0] != 90 || values[len(values)-1] != 90 {
		t.Fatalf("expression %v, want it to begin and end at 90 and move", values)
	}
	moved := values[1 : len(values)-1]
	for i := 1; i < len(moved); i++ {
		if moved[i] <= moved[i-1] {
			t.Errorf("expression %v does not grow", moved)
		}
	}
	if moved[len(moved)-1] != 127 {
		t.Errorf("the crescendo ends at %d, want all of 127", moved[len(moved)-1])
	}
}

func TestSharesSetTheLengths(t *testing.T) {
	p := scoretest.Part(t, four, 60, "C4/4 D4/4")
	_, file := write(t, p, Options{Shares: []float64{0.4, 1}})
	for i, want := range []float64{0.4, 1} {
		if n := read(file)[i]; math.Abs(n.off-n.on-want) > 0.002 {
			t.Errorf("note %d lasts %g s, want %g", i, n.off-n.on, want)
		}
	}
	pf, err := p.Perform(score.Tempo{})
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := Write(&b, pf, Options{Shares: []float64{1}}); err == nil || !strings.Contains(err.Error(), "1 shares for 2 played notes") || b.Len() > 0 {
		t.Errorf("error %v, want one that counts the shares", err)
	}
}

// Reference: the Python library mido reads the same notes at the same seconds, the
// bends and the expression.
func TestAnotherLibraryReadsTheFile(t *testing.T) {
	pf, err := growing(t).Perform(score.Tempo{})
	if err != nil {
		t.Fatal(err)
	}
	const script = `
import json, mido, sys
now, on, bends, expression = 0, [], [], []
for m in mido.MidiFile(sys.argv[1]):
    now += m.time
    if m.type == 'note_on' and m.velocity > 0: on.append([m.note, now])
    if m.type == 'pitchwheel': bends.append(m.pitch)
    if m.type == 'control_change' and m.control == 11: expression.append(m.value)
print(json.dumps({'on': on, 'lowest': min(bends), 'highest': max(expression)}))`
	var got struct {
		On              [][2]float64
		Lowest, Highest int
	}
	mido(t, pf, Options{}, script, &got)
	if len(got.On) != len(pf.Notes) || got.Highest != 127 || math.Abs(float64(got.Lowest)+6*8192/12) > 40 {
		t.Fatalf("read %+v; want %d notes, a bend of some -4096 and expression up to 127", got, len(pf.Notes))
	}
	for i, n := range pf.Notes {
		if on := got.On[i]; int(on[0]) != pf.Written(i).Pitch.MIDI() || math.Abs(on[1]-float64(n.Start)) > 0.001 {
			t.Errorf("note %d: %v, want %d at %g", i, on, pf.Written(i).Pitch.MIDI(), n.Start)
		}
	}
}
