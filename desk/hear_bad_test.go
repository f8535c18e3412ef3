package desk

import (
	"bytes"
	"encoding/binary"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"waterkey/audio"
	"waterkey/demo"
	"waterkey/hear"
	"waterkey/score"
	"waterkey/sound"
)

// wav is a mono file of float samples at a rate, whose header claims so many
// bytes of them.
func wav(rate int, samples []float32, claims uint32) []byte {
	var b bytes.Buffer
	put := func(v any) { _ = binary.Write(&b, binary.LittleEndian, v) }
	b.WriteString("RIFF")
	put(uint32(36 + claims))
	b.WriteString("WAVEfmt ")
	put(uint32(16))
	put([]uint16{3, 1}) // IEEE float, one channel
	put([]uint32{uint32(rate), uint32(4 * rate)})
	put([]uint16{4, 32})
	b.WriteString("data")
	put(claims)
	put(samples)
	return b.Bytes()
}

func TestBadRecordingsAreRefusedPlainly(t *testing.T) {
	p := prepare(t, demoPart(t, demo.TakePart), "tenor-f")
	const rate = 16000
	nan := make([]float32, 2*rate)
	for i := range nan {
		nan[i] = float32(math.NaN())
	}
	hiss, seed := make([]float32, 3*rate), uint32(1)
	for i := range hiss {
		seed = seed*1664525 + 1013904223
		hiss[i] = float32(seed)/(1<<32) - 0.5
	}
	silent := make([]float32, 2*rate)
	const day = 24 * 3600
	cases := []struct {
		name, want string
		data       []byte
	}{
		{"empty.wav", "empty", nil},
		{"letter.wav", "letter.wav", []byte("Dear Ines, here is my take. I hope you like it.")},
		{"page.mp3", "page.mp3", []byte("<?xml version=\"1.0\"?><score-partwise/>")},
		{"header.wav", "header.wav", wav(rate, nil, 0)},
		{"one-sample.wav", "too short", wav(rate, []float32{0.5}, 4)},
		{"silent.wav", "does not sound like that part", wav(rate, silent, 4*2*rate)},
		{"nan.wav", "no samples", wav(rate, nan, 4*2*rate)},
		{"hiss.wav", "does not sound like that part", wav(rate, hiss, 4*3*rate)},
		// Rate 8000: a day fits into the 32 bits of the header.
		{"day.wav", "does not sound like that part", wav(8000, silent, 4*8000*day)},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), c.name)
			if err := os.WriteFile(path, c.data, 0o600); err != nil {
				t.Fatal(err)
			}
			take, err := p.Hear(path, hear.Options{})
			if take != nil || err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("%v, want an error with %q", err, c.want)
			}
			t.Log(err)
		})
	}
}

// A file cut off in the middle is heard as far as it goes, and says so.
func TestATruncatedTakeIsHeardAsFarAsItGoes(t *testing.T) {
	p := prepare(t, demoPart(t, demo.TakePart), "tenor-f")
	clip, _ := p.Play(sound.Options{LeadIn: 0.5})
	var b bytes.Buffer
	if err := audio.WriteWAV(&b, clip); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "half.mp3") // the name is wrong as well
	if err := os.WriteFile(path, b.Bytes()[:b.Len()/2], 0o600); err != nil {
		t.Fatal(err)
	}
	take, err := p.Hear(path, hear.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(take.Record.Notices) == 0 {
		t.Error("nothing says that the file is cut off")
	}
	if len(take.Findings) == 0 || take.Findings[0].Kind != "missed-note" || !strings.Contains(take.Findings[0].Says, "The take ends before") {
		t.Errorf("findings %+v, want that the take ends early", take.Findings)
	}
	for i, n := range take.Notes[:len(take.Notes)*2/5] {
		if n.State != hear.Played {
			t.Errorf("note %d of the part that is there: %s", i, n.State)
		}
	}
}

// British words and valve words where they belong.
func TestAdviceSpeaksTheWordsOfPlayerAndInstrument(t *testing.T) {
	o := sound.Options{LeadIn: 0.8}
	fault := both(each(named("D4"), tune(25)), from(30, -0.28))
	hearOn := func(horn string, british bool) string {
		p := prepare(t, demoPart(t, demo.TakePart), horn)
		if british {
			p.terms = score.British
		}
		take, err := p.Hear(writeTake(t, "take.wav", fault(tonesOf(p, o)), o), hear.Options{})
		if err != nil {
			t.Fatal(err)
		}
		text := ""
		for _, f := range take.Findings {
			text += f.Says + " " + f.Do + "\n"
		}
		return text
	}
	if text := hearOn("tenor-f", true); !strings.Contains(text, "crotchet rest") || !strings.Contains(text, "lower 1st by about 2.1 cm, or try it in 4th") {
		t.Errorf("slide, British: %s", text)
	}
	if text := hearOn("euphonium", false); !strings.Contains(text, "quarter rest") || strings.Contains(text, "slide go") || !strings.Contains(text, "lower it with the lips") {
		t.Errorf("valves, American: %s", text)
	}
}
