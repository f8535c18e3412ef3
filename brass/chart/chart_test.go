package chart

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"
	"unicode/utf8"

	"waterkey/brass"
	"waterkey/score"
)

func named(t *testing.T, name string) *brass.Instrument {
	t.Helper()
	in, err := brass.Named(name)
	if err != nil {
		t.Fatal(err)
	}
	return in
}

func text(t *testing.T, c *Chart) string {
	t.Helper()
	var b bytes.Buffer
	if err := c.WriteText(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// TestChartHoldsEveryWay compares with the instrument note by note: nothing is left
// out or added.
func TestChartHoldsEveryWay(t *testing.T) {
	for _, name := range brass.Names() {
		in := named(t, name)
		c := New(in)
		held := map[int]int{}
		for i, n := range c.Notes {
			held[n.Pitch.MIDI()] = len(n.Ways)
			if i > 0 && n.Pitch.MIDI() >= c.Notes[i-1].Pitch.MIDI() {
				t.Errorf("%s: %s stands below %s", name, n.Pitch, c.Notes[i-1].Pitch)
			}
		}
		for midi := range 128 {
			if ways := in.Ways(score.PitchFromMIDI(midi)); held[midi] != len(ways) {
				t.Errorf("%s %s: %d ways in the chart, %d on the instrument", name, score.PitchFromMIDI(midi), held[midi], len(ways))
			}
		}
		if !in.Slide() {
			continue
		}
		cells, ways := 0, 0
		for _, g := range c.grids() {
			for _, r := range g.rows {
				for _, e := range r.cells {
					if e.way != nil {
						cells++
					}
				}
			}
		}
		for _, n := range held {
			ways += n
		}
		if cells != ways {
			t.Errorf("%s: %d cells in the grids for %d ways", name, cells, ways)
		}
	}
}

// tenorRows are rows of the position chart of a tenor trombone. Reference: "An
// overview of the trombone", public blog post with table, January 2025. A star marks
// the position closest to first, as Wikibooks, "Trombone/Slide Positions", has it.
var tenorRows = []string{
	"8 B♭4* A4* A♭4* G4 F♯4 F4 E4",
	"4 B♭3* A3* A♭3* G3* F♯3* F3 E3",
	"3 F3* E3* E♭3* D3* D♭3* C3* B2*",
	"2 B♭2* A2* A♭2* G2* F♯2* F2* E2*",
}

func TestTenorInText(t *testing.T) {
	lines := map[string]bool{}
	for _, l := range strings.Split(text(t, New(named(t, "tenor"))), "\n") {
		lines[strings.Join(strings.Fields(l), " ")] = true
	}
	for _, want := range tenorRows {
		if !lines[want] {
			t.Errorf("no row %q", want)
		}
	}
	for _, want := range []string{
		"slide 0.0 cm 8.4 cm 17.4 cm 26.9 cm 36.9 cm 47.6 cm 58.8 cm", // reference: the same table, 84 to 588 mm
		"G4 ♯2 7 5.8 cm -2.7 cm -31 c",                                // calculated: position 1.69
		"D4 1 5 0.0 cm 0.0 cm -14 c -14 c",                            // calculated
	} {
		if !lines[want] {
			t.Errorf("no line %q", want)
		}
	}
}

func TestFingeringsInText(t *testing.T) {
	got := text(t, New(named(t, "trumpet-bb")))
	// Published: codegolf.stackexchange.com, answer 69581; cents calculated.
	for _, want := range []string{
		"\nF♯3   E3      123           2   +39 c  2.3 cm\n",
		"\nC5    B♭4     0             4     0 c                  23 (5, -14)\n",
		"12 +11, 23 0, 13 +16, 123\n+39.",
		"G6 sounds F6.",
	} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is missing from\n%s", want, got)
		}
	}
}

func TestTextFitsTheColumns(t *testing.T) {
	for _, name := range brass.Names() {
		c := New(named(t, name))
		c.Name, c.ReachCM = "a horn", 45
		for i, l := range strings.Split(text(t, c), "\n") {
			if n := utf8.RuneCountInString(l); n > 80 || strings.TrimRight(l, " ") != l || strings.Contains(l, "_") {
				t.Errorf("%s, line %d: %d columns: %q", name, i+1, n, l)
			}
		}
	}
}

// drawn is an element of a drawing with where it stands.
type drawnText struct {
	x, y, size   float64
	anchor, text string
	bold         bool
}

// texts reads the texts of a drawing, and with that checks that it is XML.
func texts(t *testing.T, c *Chart) (out []drawnText, width, height float64) {
	t.Helper()
	var b bytes.Buffer
	if err := c.WriteSVG(&b); err != nil {
		t.Fatal(err)
	}
	d := xml.NewDecoder(&b)
	for {
		token, err := d.Token()
		if err == io.EOF {
			return out, width, height
		}
		if err != nil {
			t.Fatal(err)
		}
		e, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		a := map[string]string{}
		for _, at := range e.Attr {
			a[at.Name.Local] = at.Value
		}
		switch e.Name.Local {
		case "svg":
			scan(t, a["viewBox"], "0 0 %f %f", &width, &height)
		case "text":
			one := drawnText{anchor: a["text-anchor"], bold: a["font-weight"] == "bold"}
			scan(t, a["x"]+" "+a["y"]+" "+a["font-size"], "%f %f %f", &one.x, &one.y, &one.size)
			if err := d.DecodeElement(&one.text, &e); err != nil {
				t.Fatal(err)
			}
			out = append(out, one)
		}
	}
}

func scan(t *testing.T, s, format string, to ...any) {
	t.Helper()
	if _, err := fmt.Sscanf(s, format, to...); err != nil {
		t.Fatalf("%q: %v", s, err)
	}
}

// letterShare is the width of a letter as a share of the size of type, wide (estimate
// from DejaVu Sans).
const letterShare = 0.66

// box is the room of a text.
func (d drawnText) box() (left, right, top, bottom float64) {
	w := letterShare * d.size * float64(utf8.RuneCountInString(d.text))
	left = d.x
	switch d.anchor {
	case "middle":
		left -= w / 2
	case "end":
		left -= w
	}
	return left, left + w, d.y - 0.72*d.size, d.y + 0.1*d.size
}

func TestNoTextCoversAnother(t *testing.T) {
	for _, name := range brass.Names() {
		c := New(named(t, name))
		c.Name, c.ReachCM = "a horn", 45
		all, width, height := texts(t, c)
		if len(all) < len(c.Notes) {
			t.Fatalf("%s: %d texts for %d notes", name, len(all), len(c.Notes))
		}
		for i, a := range all {
			l, r, top, bottom := a.box()
			if top < 0 || bottom > height || l < 0 || r > width && a.size < 12 {
				t.Errorf("%s: %q lies off the page", name, a.text)
			}
			for _, b := range all[:i] {
				l2, r2, top2, bottom2 := b.box()
				if l < r2 && l2 < r && top < bottom2 && top2 < bottom {
					t.Errorf("%s: %q at %.0f,%.0f covers %q at %.0f,%.0f", name, a.text, a.x, a.y, b.text, b.x, b.y)
				}
			}
		}
	}
}

func TestNotesStandWhereTheSlideIs(t *testing.T) {
	c := New(named(t, "tenor"))
	all, _, _ := texts(t, c)
	// Reference: the extension table of the blog post, second to seventh in mm; E2 in
	// seventh, 588, against the slide's end.
	for note, cm := range map[string]float64{"A2": 8.4, "A♭2": 17.4, "G2": 26.9, "F♯2": 36.9, "F2": 47.5, "E2": 58.8} {
		want := slideLeft + cm*(pageWidth-slideLeft-slideRight)/c.Instrument.SlideMaxCM
		found := false
		for _, d := range all {
			const within = 2.0 // units: 2 mm of slide
			found = found || d.text == note && d.bold && d.x > want-within && d.x < want+within
		}
		if !found {
			t.Errorf("%s does not stand at %.0f", note, want)
		}
	}
}

func TestDocument(t *testing.T) {
	c := New(named(t, "horn-f-bb"))
	c.Name = "mine"
	data, err := json.Marshal(c.Document())
	if err != nil {
		t.Fatal(err)
	}
	// The top of the chart is written C6 with the thumb (from memory), F5 sounding,
	// partial 12, 2 cents sharp (calculated).
	const want = `{"instrument":"horn-f-bb","title":"double horn in F and B flat","name":"mine","notes":[{"pitch":"F5","written":"C6","ways":[{"position":0,"valve":"T","partial":12,"extension_cm":0,"lean_cm":0,"lean_cents":2,"off_cents":2,"label":"T0"}`
	if !strings.HasPrefix(string(data), want) {
		t.Errorf("%.400s", data)
	}
	if strings.Contains(string(data), "-0,") {
		t.Error("a minus before nothing")
	}
}

// full is a writer with no room.
type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("no room") }

func TestWritersErrorIsTold(t *testing.T) {
	c := New(named(t, "tenor"))
	if c.WriteText(full{}) == nil || c.WriteSVG(full{}) == nil {
		t.Error("a failed write is not told")
	}
}
