package abc

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"waterkey/score"
)

// FuzzParse reads any bytes as a file and every part in it: no panic; on an error
// a *score.ReadError that names the file and no part; on success a part whose
// parts fit together.
func FuzzParse(f *testing.F) {
	for _, seed := range []string{english, canzonetta, zochartiHead + "[V:T1](B2c2 d2g2)|\n[V:B1]z8|", book,
		tune4("{/g}[CEG]-[CEG]|(3.a.b.c !<(!C>D!<)!|1 Z2:|2 &&z|]"), withHeader("M:C\nU:T=!fff!\nK:D exp _b", "T(c[I:setbarnb 3]\"^x\"c)y:||:X3[r:x]")} {
		f.Add([]byte(seed))
	}
	files, err := filepath.Glob("testdata/*.abc")
	if err != nil || len(files) == 0 {
		f.Fatal("no seeds in testdata", err)
	}
	for _, name := range files {
		data, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		d, err := Parse("fuzz.abc", data)
		if err != nil {
			checkError(t, err)
			if d != nil {
				t.Fatal("a document beside an error")
			}
			return
		}
		const partsRead = 8
		for i, info := range d.Parts() {
			if i == partsRead {
				break
			}
			p, err := d.Part(score.Selection{Part: info.ID, Line: score.Line(i % 2)})
			if err != nil {
				checkError(t, err)
				if p != nil {
					t.Fatal("a part beside an error")
				}
				continue
			}
			checkPart(t, p)
		}
	})
}

func checkError(t *testing.T, err error) {
	t.Helper()
	var e *score.ReadError
	if !errors.As(err, &e) || e.File != "fuzz.abc" {
		t.Fatalf("the error %v (%T) names no file", err, err)
	}
}

// checkPart fails when bars do not follow each other, or something lies in a bar
// that is not there or does not hold it.
func checkPart(t *testing.T, p *score.Part) {
	t.Helper()
	if len(p.Bars) == 0 {
		t.Fatal("no bars")
	}
	var end score.Time
	for i, b := range p.Bars {
		if b.Start != end || b.Length.Sign() < 0 {
			t.Fatalf("bar %d starts at %s, the one before ends at %s", i, b.Start, end)
		}
		end = b.End()
	}
	inBar := func(what string, bar int, at score.Time) {
		if bar < 0 || bar >= len(p.Bars) || at.Less(p.Bars[bar].Start) || p.Bars[bar].End().Less(at) {
			t.Fatalf("%s at %s is not in bar %d", what, at, bar)
		}
	}
	ids := map[string]bool{}
	var before score.Time
	for i, n := range p.Notes {
		inBar("note", n.Bar, n.Onset)
		if n.Onset.Less(before) || n.Pitch.Step == 0 || n.Written.Step == 0 || n.Grace != (n.Duration.Sign() == 0) {
			t.Fatalf("note %d: %+v", i, n)
		}
		before = n.Onset
		at := n.Onset
		for _, q := range n.Pieces {
			if ids[q.ID] || q.Onset != at {
				t.Fatalf("piece %+v of note %+v", q, n)
			}
			ids[q.ID] = true
			at = at.Add(q.Duration)
			inBar("piece", q.Bar, q.Onset.Add(q.Duration))
		}
		if at != n.End() || n.ID != n.Pieces[0].ID {
			t.Fatalf("note %+v is not its pieces", n)
		}
	}
	for _, r := range p.Rests {
		inBar("rest", r.Bar, r.Onset.Add(r.Duration))
		if ids[r.ID] {
			t.Fatalf("the id %s is there twice", r.ID)
		}
		ids[r.ID] = true
	}
	for _, m := range p.Dynamics {
		inBar("dynamic", m.Bar, m.At)
	}
	for _, m := range p.Tempos {
		inBar("tempo", m.Bar, m.At)
	}
	for _, m := range p.Keys {
		inBar("key", m.Bar, m.At)
	}
	for _, m := range p.Meters {
		inBar("meter", m.Bar, m.At)
	}
	for _, m := range p.Clefs {
		inBar("clef", m.Bar, m.At)
	}
	for _, w := range p.Wedges {
		inBar("wedge", w.FromBar, w.From)
		inBar("wedge", w.ToBar, w.To)
	}
}

// TestHugeGroups: what grows with the square of a file's size would not end here.
func TestHugeGroups(t *testing.T) {
	const n = 30_000
	for name, tt := range map[string]struct {
		music string
		notes int
	}{
		"nested slurs":       {strings.Repeat("(", n) + strings.Repeat("a)", n), n},
		"slur ends at rests": {"a" + strings.Repeat(")z", n), 1},
		"breaths at spaces":  {"a" + strings.Repeat("z!breath!y", n), 1},
		"tied grace notes":   {"{" + strings.Repeat("a-", n) + "}a", n},
		"accents":            {strings.Repeat("!sfz!", n) + "a", 1},
		"marks before >":     {strings.Repeat("a!f!>a!p!", n/2), n},
		"open quotes":        {"a" + strings.Repeat("\"[A:", n), 1},
	} {
		if p := read(t, withHeader("L:1/8\nK:C", tt.music)); len(p.Notes) != tt.notes {
			t.Errorf("%s: %d notes, want %d", name, len(p.Notes), tt.notes)
		}
	}
}
