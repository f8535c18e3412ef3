package midi

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"waterkey/score"
	"waterkey/score/scoretest"
)

// mido runs a script of Python over the file of a performance with the library mido,
// which is not ours, and decodes the JSON that it prints.
func mido(t *testing.T, pf *score.Performance, o Options, script string, out any) {
	t.Helper()
	python := "/usr/bin/python3" // where distributions put the libraries they package
	if exec.Command(python, "-c", "import mido").Run() != nil {
		t.Skip("the Python library mido is not here (Debian: python3-mido)")
	}
	var b bytes.Buffer
	if err := Write(&b, pf, o); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "part.mid")
	if err := os.WriteFile(path, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	printed, err := exec.Command(python, "-c", script, path).CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, printed)
	}
	if err := json.Unmarshal(printed, out); err != nil {
		t.Fatal(err)
	}
}

// slurred has a slur of three notes, one of a repeated pitch, and a staccato note.
func slurred(t *testing.T) *score.Performance {
	t.Helper()
	p := scoretest.Part(t, four, 60, "F3/4( G3/4 A3/4 r/4 C4/4( C4/4 D3/4. E3/4")
	p.Notes[1].SlurTo, p.Notes[2].SlurFrom = true, true
	pf, err := p.Perform(score.Tempo{})
	if err != nil {
		t.Fatal(err)
	}
	return pf
}

// Reference: the library mido. Under the slur the footswitch is down from the first
// note to the end of the last, and each note starts while the one before sounds;
// elsewhere it is up and no two notes sound at once.
func TestSlursAreLegato(t *testing.T) {
	const script = `
import json, mido, sys
now, down, sounding, out = 0, False, set(), []
for m in mido.MidiFile(sys.argv[1]):
    now += m.time
    if m.type == 'control_change' and m.control == 68: down = m.value >= 64
    if m.type == 'note_on' and m.velocity > 0:
        out.append([now, m.note, down, sorted(sounding)])
        sounding.add(m.note)
    elif m.type in ('note_on', 'note_off'): sounding.discard(m.note)
print(json.dumps({'Notes': [{'At': a, 'Key': k, 'Down': d, 'Over': o} for a, k, d, o in out], 'Left': down}))`
	var got struct {
		Notes []struct {
			At   float64
			Key  int
			Down bool
			Over []int
		}
		Left bool
	}
	mido(t, slurred(t), Options{}, script, &got)
	want := []struct {
		down bool
		over int // the key that sounds on; 0 for none
	}{{true, 0}, {true, 53}, {true, 55}, {false, 0}, {false, 0}, {false, 0}, {false, 0}}
	if len(got.Notes) != len(want) || got.Left {
		t.Fatalf("%+v: want %d notes and the footswitch up at the end", got, len(want))
	}
	for i, w := range want {
		n := got.Notes[i]
		if n.Down != w.down || (w.over == 0) != (len(n.Over) == 0) || w.over != 0 && n.Over[0] != w.over {
			t.Errorf("note %d, key %d: footswitch down %t over %v; want %t over %d", i, n.Key, n.Down, n.Over, w.down, w.over)
		}
	}
}

// Reference: the library mido reads bends and their range. Closed form: with an even
// slide the period goes evenly from the first note's to the end of the slide, from F3
// to B2 and, where the slide stops short, from C4 three semitones down.
func TestBendsFollowTheSlide(t *testing.T) {
	const script = `
import json, mido, sys
now, rpn, span, key, begun, out = 0, [None, None], 2, 0, 0, []
for m in mido.MidiFile(sys.argv[1]):
    now += m.time
    if m.type == 'control_change' and m.control in (100, 101): rpn[m.control - 100] = m.value
    if m.type == 'control_change' and m.control == 6 and rpn == [0, 0]: span = m.value
    if m.type == 'note_on' and m.velocity > 0: key, begun = m.note, now
    if m.type == 'pitchwheel': out.append([now, begun, key, m.pitch / 8192 * span])
print(json.dumps(out))`
	p := scoretest.Part(t, four, 60, "F3/2~ B2/2 C4/2~ F3/2")
	pf, err := p.Perform(score.Tempo{})
	if err != nil {
		t.Fatal(err)
	}
	var bends [][4]float64
	mido(t, pf, Options{Slides: map[int]float64{0: -6, 2: -3}}, script, &bends)
	const seconds, most = 2.0, 0.3 // cents: the bend has steps of 0.15
	ends := map[int]float64{53: -6, 60: -3}
	seen := map[int]int{}
	for _, b := range bends {
		u, key := (b[0]-b[1])/seconds, int(b[2])
		end, slides := ends[key]
		if !slides || u >= 1 {
			continue
		}
		seen[key]++
		want := -12 * math.Log2(1+u*(math.Exp2(-end/12)-1))
		if off := 100 * math.Abs(b[3]-want); off > most {
			t.Errorf("key %d, %.2f of the way: bent by %.4f semitones, an even slide gives %.4f", key, u, b[3], want)
		}
	}
	if seen[53] < 150 || seen[60] < 150 {
		t.Errorf("bends by key %v, want one every 10 ms of two glissandi", seen)
	}
}

// A glissando that the path does not let slide is a plain note.
func TestNoSlideNoBend(t *testing.T) {
	_, file := write(t, scoretest.Part(t, four, 60, "F3/2~ B2/2"), Options{Slides: map[int]float64{}})
	for _, e := range file.Tracks[1] {
		var ch uint8
		var relative int16
		var absolute uint16
		if e.Message.GetPitchBend(&ch, &relative, &absolute) && relative != 0 {
			t.Fatalf("a bend of %d", relative)
		}
	}
}
