package abc

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"waterkey/score"
)

const book = `%abc-2.1
M:4/4
L:1/4

Some free text between the tunes.

X:7
T:First Tune
T:Its other title
K:C
CDEF|

X:8
T:Duet
V:A name="Trombone 1"
V:B clef=bass name="Trombone 2"
K:F
V:A
cdef|
V:B
F,2 [F,A,C]2|

X:9
T:Third
M:3/4
K:G
V:x
GAB|
`

func TestParts(t *testing.T) {
	d, err := Parse("book.abc", []byte(book))
	if err != nil {
		t.Fatal(err)
	}
	equal(t, "parts", fmt.Sprint(d.Parts()),
		"[{X7 First Tune 4} {X8/A Duet: Trombone 1 4} {X8/B Duet: Trombone 2 4} {X9 Third 3}]")
	for want, selections := range map[string][]string{
		"X7":   {"", "X7", "1", "First Tune", "first", "its other title"},
		"X8/A": {"X8/A", "2", "A", "Duet: Trombone 1", "trombone 1", "Duet"},
		"X8/B": {"X8/B", "3", "B", "TROMBONE 2"},
		"X9":   {"X9", "4", "third", "thi", "x"},
	} {
		for _, s := range selections {
			p, err := d.Part(score.Selection{Part: s})
			if err != nil {
				t.Errorf("%q: %v", s, err)
			} else if p.ID != want {
				t.Errorf("%q gives part %s, want %s", s, p.ID, want)
			}
		}
	}
	p, _ := d.Part(score.Selection{Part: "B"})
	equal(t, "title and name", p.Title+" / "+p.Name, "Duet / Duet: Trombone 2")
	equal(t, "notes", soundOf(p), "F3 1/2, C4 1/2")
	equal(t, "ids", p.Notes[0].ID+" "+p.Notes[1].ID, "p3b1n1 p3b1n4")
	p, _ = d.Part(score.Selection{})
	equal(t, "ids", p.Notes[0].ID+" "+p.Notes[3].ID, "b1n1 b1n4")
	if p.Notes[0].Line != 11 || p.Bars[0].Line != 11 {
		t.Errorf("lines %d and %d, want 11", p.Notes[0].Line, p.Bars[0].Line)
	}
}

func TestPartsOfOneTune(t *testing.T) {
	d, err := Parse("a.abc", []byte("X:1\nT:Solo\nK:C\nC"))
	if err != nil {
		t.Fatal(err)
	}
	equal(t, "parts", fmt.Sprint(d.Parts()), "[{1 Solo 1}]")
	// A voice without name, one past the 20 characters that count, one in the body.
	d, err = Parse("a.abc", []byte("X:1\nT:Duo\nV:abcdefghijklmnopqrstuvw name=\"One\\nTwo\"\nK:C\nC[V:2 nm=\"Low\"]D\nV:abcdefghijklmnopqrst\nE"))
	if err != nil {
		t.Fatal(err)
	}
	equal(t, "parts", fmt.Sprint(d.Parts()), "[{abcdefghijklmnopqrst One Two 2} {2 Low 1}]")
	p, err := d.Part(score.Selection{Part: "low"})
	if err != nil || pitchesOf(p) != "D4" {
		t.Errorf("%v %v", p, err)
	}
}

func TestNoSuchPart(t *testing.T) {
	d, _ := Parse("book.abc", []byte(book))
	for part, want := range map[string]string{
		"tuba":  `book.abc: no part is called "tuba"; the parts are "First Tune", "Duet: Trombone 1", "Duet: Trombone 2", "Third", or 1 to 4`,
		"duet:": `book.abc: "duet:" is the start of several parts' names: "Duet: Trombone 1", "Duet: Trombone 2"`,
		"5":     `book.abc: no part is called "5"; the parts are "First Tune", "Duet: Trombone 1", "Duet: Trombone 2", "Third", or 1 to 4`,
	} {
		p, err := d.Part(score.Selection{Part: part})
		if p != nil || err == nil || err.Error() != want {
			t.Errorf("%q gives %v\nwant %s", part, err, want)
		}
	}
}

// TestConcurrentReading: a document may be read by several goroutines (run with
// -race).
func TestConcurrentReading(t *testing.T) {
	d, err := Parse("canzonetta.abc", []byte(canzonetta))
	if err != nil {
		t.Fatal(err)
	}
	facts := make(chan string)
	const readers = 4
	for range readers {
		go func() {
			p, err := d.Part(score.Selection{Part: "Tenor"})
			if err != nil {
				facts <- err.Error()
				return
			}
			facts <- factsOf(p)
		}()
	}
	first := <-facts
	if !strings.Contains(first, "note in 1 at 1 long 1/2: F5") {
		t.Errorf("the tenor reads %s", first)
	}
	for range readers - 1 {
		equal(t, "another reader", <-facts, first)
	}
}

// TestTempoOfTheFirstVoice: a tempo and a jump in the first voice hold for all.
func TestTempoOfTheFirstVoice(t *testing.T) {
	p := readSelected(t, withHeader("M:4/4\nL:1/4\nK:C", "V:1\n[Q:1/4=60]CDEF|CD[Q:1/4=90]EF!D.C.!|\nV:2\nC6|[Q:1/4=70]D4|"), score.Selection{Part: "2"})
	var got []string
	for _, q := range p.Tempos {
		got = append(got, fmt.Sprintf("%v at %s", q.BPM, q.At))
	}
	equal(t, "tempos", strings.Join(got, ", "), "60 at 0, 70 at 3/2, 90 at 2")
	if !p.Bars[1].DaCapo {
		t.Error("the D.C. of the first voice is missing")
	}
}

func TestReadErrors(t *testing.T) {
	long := strings.Repeat("C", 41)
	for _, tt := range []struct{ text, want string }{
		{"", "t.abc: the file has no tune; a tune starts with a line such as X:1 and its header ends with one such as K:C"},
		{"no music here", "t.abc: the file has no tune"},
		{"X:1\nT:a\x00", "t.abc, line 2: a zero byte"},
		{"\xFF\xFEX\x00", "t.abc: the file is in UTF-16"},
		{"X:1\nT:T\nCDEF|\n", `t.abc, part "T", line 3, column 1: music stands before the end of the header`},
		{"X:1\nT:T\n\nK:C\nCDEF|", `t.abc, part "T", line 2, column 1: the tune has no K: field`},
		{"X:1\nT:T\nK:C\n", `t.abc, part "T", line 1, column 1: the tune has no music`},
		{"X:1\nT:T\nM:4/x\nK:C\nC", `t.abc, part "T", line 3, column 1: the meter "4/x" is not one such as 3/4`},
		{"X:1\nT:T\nM:3\nK:C\nC", `line 3, column 1: the meter "3"`},
		{"X:1\nT:T\nM:0/4\nK:C\nC", `line 3, column 1: the meter "0/4"`},
		{"X:1\nT:T\nL:eighth\nK:C\nC", `line 3, column 1: the unit note length "eighth" is not a fraction such as 1/8`},
		{"X:1\nT:T\nK:g minor\nC", `t.abc, part "T", line 3, column 1: the key "g minor" is not one such as`},
		{"X:1\nT:T\nK:Gxyz\nC", `line 3, column 1: the key "Gxyz" is not one such as G, Bb, Dm or A mix`},
		{"X:1\nT:T\nK:G#\nC", `line 3, column 1: the key "G#" is not one`},
		{"X:1\nT:T\nK:C octave=x\nC", `"octave=x" is not a whole number from -9 to 9`},
		{"X:1\nT:T\nK:C\nCDEF|C9999 D", `t.abc, part "T", bar 1, line 4, column 6: the length 9999/1 is beyond the limit of 4096 over 4096`},
		{"X:1\nT:T\nK:C\nC|éC/0", `bar 1, line 4, column 4: the length 1/0`},
		{"X:1\nT:T\nL:1\nK:C\nC4096", "a note of 4096 whole notes is beyond the limit of 1024"},
		{"X:1\nT:T\nK:C\n[CE]4096/7[CE]0", "line 4, column 11: the length 0/1"},
		{"X:1\nT:T\nK:C\nC,,,,,", "line 4, column 1: the note C-1 lies outside of the octaves 0 to 9"},
		{"X:1\nT:T\nK:C\n(200:2:3CDE", "line 4, column 1: the tuplet (200:2:3 is not one such as (3"},
		{"X:1\nT:T\nK:C\nC>>>>D", "line 4, column 2: 4 signs of broken rhythm in a row; up to 3 are read"},
		{"X:1\nT:T\nM:4/4\nK:C\nZ10000|", "line 5, column 1: a rest of 10000/1 bars; from 1 to 9999 are read"},
		{"X:1\nT:T\nM:4/4\nK:C\nZ9999|Z9999|Z9999|", "line 5, column 13: the voice has more than 20000 bars"},
		{"X:1\nT:T\nK:C\n|:C|1000 D:|", "the ending \"1000\" is not a list of numbers from 1 to 999"},
		{"X:1\nT:T\nK:C\n[" + strings.Repeat("C", 65) + "]", "the chord has more than 64 notes"},
		{"X:1\nT:T\nK:C\n" + fine(), "note values too fine to add exactly"},
		{"X:1\nT:T\nK:C\n" + long, ""},
	} {
		d, err := Parse("dir/t.abc", []byte(tt.text))
		var p *score.Part
		if err == nil {
			p, err = d.Part(score.Selection{})
		}
		if tt.want == "" {
			if err != nil {
				t.Errorf("%q: %v", tt.text, err)
			}
			continue
		}
		var e *score.ReadError
		if !errors.As(err, &e) || !strings.Contains(err.Error(), tt.want) || p != nil {
			t.Errorf("%q gives %v\nwant %s", tt.text, err, tt.want)
		}
	}
}

// fine is notes whose sum has no denominator within 64 bits.
func fine() string {
	s := ""
	for _, prime := range []int{4093, 4091, 4079, 4073, 4057, 4051} {
		s += fmt.Sprintf("C/%d", prime)
	}
	return s
}

func TestLimits(t *testing.T) {
	for _, tt := range []struct{ text, want string }{
		{strings.Repeat("X:1\nK:C\n\n", maxTunes+1), "more than 50000 tunes"},
		{strings.Repeat("%%x\n", maxHeader+1) + "\nX:1\nK:C\nC", "more than 500 fields"},
		{"X:1\nK:C\n" + strings.Repeat(" ", maxFileBytes), "at most 4194304 are read"},
	} {
		if _, err := Parse("t.abc", []byte(tt.text)); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%v, want %s", err, tt.want)
		}
	}
	text := "X:1\nK:C\n"
	for i := range maxVoices + 1 {
		text += fmt.Sprintf("[V:%d]C\n", i)
	}
	if _, err := Parse("t.abc", []byte(text)); err == nil || !strings.Contains(err.Error(), "t.abc, line 67: the tune has more than 64 voices") {
		t.Errorf("voices: %v", err)
	}
	_, err := Open("testdata/none.abc")
	var e *score.ReadError
	if !errors.As(err, &e) || e.File != "none.abc" {
		t.Errorf("Open: %v", err)
	}
}
