package midi

import (
	"errors"
	"testing"

	"waterkey/score"
)

// FuzzParseMIDI: no panic, nothing but a *score.ReadError on failure, and on
// success pages whose bars are filled and that can be played and read again.
func FuzzParseMIDI(f *testing.F) {
	f.Add(exampleZero(f))
	f.Add(exampleOne(f))
	f.Add(tones(f, []event{meterAt(0, 1, 4, 24), meterAt(quarter, 6, 8, 36), keyAt(0, -2), tempoAt(0, 90), tempoAt(500, 60)},
		tone{3, 140, 60}, tone{163, 150, 62}, tone{318, 160, 64}, tone{480, 700, 61}, tone{1300, 90, 59}))
	f.Add(hexFile(f, 0, 24, "00 90 3C 40 18 3E 40 05 3C 00 81 00 99 23 40 00 E0 00 50"))
	f.Add(hexFile(f, 0, 1, "00 FF 58 04 01 06 18 08 00 90 3C 40 FF 7F 3C 00 00 FF 2F 00"))
	f.Add(hexFile(f, 1, 960, "00 FF 2F 00", "00 FF 03 02 C3 A9 00 90 00 01 01 80 00 00 00 FF 2F 00"))
	f.Fuzz(func(t *testing.T, data []byte) {
		d, err := Parse("fuzz.mid", data)
		if err != nil {
			mustReadError(t, d == nil, err)
			return
		}
		for _, info := range d.Parts() {
			for _, line := range []score.Line{score.Top, score.Bottom} {
				p, err := d.Part(score.Selection{Part: info.ID, Line: line})
				if err != nil {
					mustReadError(t, p == nil, err)
					continue
				}
				checkFilled(t, p)
				if _, err := p.ReadThrough(score.Tempo{}); err != nil {
					t.Fatal(err)
				}
			}
		}
	})
}

func mustReadError(t *testing.T, nothing bool, err error) {
	t.Helper()
	var e *score.ReadError
	if !nothing || !errors.As(err, &e) || e.File == "" {
		t.Fatalf("%T %v with nothing else %t, want a *score.ReadError alone", err, err, nothing)
	}
}
