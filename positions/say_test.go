package positions

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestWhy(t *testing.T) {
	for _, c := range []struct {
		name, instrument, text string
		want                   []string
	}{
		{"sixth throughout", "tenor", "F3/8 C3/8 F2/8 C3/8 F3/8 C3/8 F2/8 C3/8", []string{
			"Bar 1 in the usual positions would be F3 in 1.",
			"That would ask for 144 cm of slide; the hardest move, F3 to C3, is 48 cm in 0.16 s, up to 567 cm/s: 1.9 times a comfortable speed.",
			"Chosen instead: F3 in 6.",
			"That saves 142 cm of slide: the slide stays where it is.",
			"The slide turns around less often."}},
		{"usual", "tenor", "F3/2 Bb3/2", []string{
			"Bar 1 goes in the usual positions: F3 in 1, B♭3 in 1.",
			"They ask for no slide at all."}},
		{"glissando", "tenor-f", "C3/2~ F3/2", []string{
			"Bar 1 in the usual positions would be C3 in T1.",
			"That would ask for no slide at all.",
			"Chosen instead: C3 in 6.",
			"That takes 48 cm more slide, and every move left is easy.",
			"The thumb changes less often.",
			"Only so does the glissando run on one partial."}},
		{"rest", "tenor", "r/1", nil},
		{"out of reach", "tenor", "C2/1", nil},
	} {
		got := solve(t, c.instrument, common, 120, c.text).Why(0)
		if d := cmp.Diff(c.want, got); d != "" {
			t.Errorf("%s: %s", c.name, d)
		}
	}
	if got := solve(t, "tenor", common, 120, "F3/1").Why(7); got != nil {
		t.Errorf("a bar that is not there: %v", got)
	}
}

// elements are the attributes of every element of a name, and the texts.
func elements(t *testing.T, data []byte, name string) (attrs []map[string]string, texts []string) {
	t.Helper()
	d := xml.NewDecoder(bytes.NewReader(data))
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			return attrs, texts
		}
		if err != nil {
			t.Fatal(err)
		}
		switch e := tok.(type) {
		case xml.StartElement:
			if e.Name.Local == name {
				m := map[string]string{}
				for _, a := range e.Attr {
					m[a.Name.Local] = a.Value
				}
				attrs = append(attrs, m)
			}
		case xml.CharData:
			if s := strings.TrimSpace(string(e)); s != "" {
				texts = append(texts, s)
			}
		}
	}
}

func draw(t *testing.T, p *Path) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := p.WriteSVG(&b, 0, len(p.Performance.Bars)-1); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestDrawing(t *testing.T) {
	p := solve(t, "tenor-f", common, 60, "Bb2/2 A2/2 C3/1 r/1 r/1 r/1 F3/2 Ab3/2")
	data := draw(t, p)
	lines, texts := elements(t, data, "line")
	for _, want := range []string{"B♭2", "A2", "C3", "F3", "A♭3", "T1", "3", "F", "6"} {
		if strings.Count(" "+strings.Join(texts, " ")+" ", " "+want+" ") == 0 {
			t.Errorf("%q is not written: %v", want, texts)
		}
	}
	var holds []map[string]string
	for _, l := range lines {
		if l["stroke-width"] == "3" {
			holds = append(holds, l)
		}
	}
	if len(holds) != 5 {
		t.Fatalf("%d held positions drawn, want 5", len(holds))
	}
	// Second position stands below first by its share of the slide's length.
	y := func(i int) float64 { v, _ := strconv.ParseFloat(holds[i]["y1"], 64); return v }
	want := curveHeight * p.Steps[1].Way.ExtensionCM / p.Instrument.SlideMaxCM
	if got := y(1) - y(0); got < want-0.1 || got > want+0.1 {
		t.Errorf("second is drawn %.2f below first, want %.2f", got, want)
	}
	// Moves: three, none across the rest of three bars.
	if paths, _ := elements(t, data, "polyline"); len(paths) != 3 {
		t.Errorf("%d moves drawn, want 3", len(paths))
	}
}

func TestDrawingBreaksLongParts(t *testing.T) {
	height := func(bars int) float64 {
		svg, _ := elements(t, draw(t, solve(t, "tenor", common, 100, strings.Repeat("F3/4 C3/4 D3/4 E3/4 ", bars))), "svg")
		h, err := strconv.ParseFloat(strings.Fields(svg[0]["viewBox"])[3], 64)
		if err != nil {
			t.Fatal(err)
		}
		return h
	}
	one := systemTop + curveHeight + systemFoot
	if height(4) != one || height(40) < 4*one {
		t.Errorf("4 bars are %g high, 40 bars %g; one system is %g", height(4), height(40), one)
	}
}

func TestDrawingRefuses(t *testing.T) {
	p := solve(t, "tenor", common, 60, "F3/1")
	for _, c := range [][2]int{{-1, 0}, {0, 1}, {1, 0}} {
		if err := p.WriteSVG(io.Discard, c[0], c[1]); err == nil {
			t.Errorf("bars %d to %d: no error", c[0], c[1])
		}
	}
}
