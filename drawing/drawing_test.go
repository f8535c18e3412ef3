package drawing_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"testing"

	"waterkey/drawing"
	"waterkey/score"
	"waterkey/score/musicxml"
	"waterkey/score/scoretest"
)

func through(t *testing.T, p *score.Part) *score.Performance {
	t.Helper()
	pf, err := p.ReadThrough(score.Tempo{})
	if err != nil {
		t.Fatal(err)
	}
	return pf
}

// TestLinesHoldEveryBar: every bar lies in one line, staves touch, no line leaves the
// page, full lines end at its right edge, and time runs to the right.
func TestLinesHoldEveryBar(t *testing.T) {
	for _, name := range []string{"harbor-parade", "lantern-song", "iron-quay"} {
		doc, err := musicxml.Open("../demo/season/" + name + ".musicxml")
		if err != nil {
			t.Fatal(err)
		}
		part, err := doc.Part(score.Selection{})
		if err != nil {
			t.Fatal(err)
		}
		pf := through(t, part)
		const left, right = 50.0, drawing.PageWidth - 16
		lines := drawing.Lines(pf, 0, len(pf.Bars)-1, left)
		next := 0
		for k, line := range lines {
			x := left
			for _, s := range line {
				if s.From != next || s.X-x > 1e-6 || x-s.X > 1e-6 {
					t.Errorf("%s: stave %+v after bar %d at %g", name, s, next-1, x)
				}
				if first, last := pf.NotesIn(s.From, s.To); s.Width < 20*float64(last-first)-1e-6 { // overfilled
					t.Errorf("%s: stave %+v is squeezed", name, s)
				}
				next, x = s.To+1, s.X+s.Width
			}
			if line.Right() > right+1e-6 || k < len(lines)-1 && line.Right() < right-1e-6 {
				t.Errorf("%s: line %d ends at %g, the page at %g", name, k, line.Right(), right)
			}
			start, end := line.Bounds()
			last := 0.0
			for at := start; at < end; at += 0.05 {
				if x := line.X(at); x < last || x < left || x > line.Right() || !line.Within(at) {
					t.Fatalf("%s: %.2f s lies at %g after %g", name, float64(at), x, last)
				} else {
					last = x
				}
			}
			if line.Within(end) || line.X(end+1) != line.Right() || line.X(start-1) != left {
				t.Errorf("%s: line %d has no edges", name, k)
			}
		}
		if next != len(pf.Bars) {
			t.Errorf("%s: %d of %d bars drawn", name, next, len(pf.Bars))
		}
	}
}

// TestEmptyBarsAreJoined: silent bars in a row are one stave that says how many.
func TestEmptyBarsAreJoined(t *testing.T) {
	pf := through(t, scoretest.Part(t, score.Meter{Beats: 4, Unit: 4}, 60, "F3/1 r/1 r/1 r/1 G3/1"))
	lines := drawing.Lines(pf, 0, 4, 0)
	if len(lines) != 1 || len(lines[0]) != 3 || !lines[0][1].Rest || lines[0][1].From != 1 || lines[0][1].To != 3 {
		t.Fatalf("%+v", lines)
	}
}

// TestNames: three names find a row each, a fourth at the same place is left out, and
// one further on begins again on top.
func TestNames(t *testing.T) {
	c := drawing.New(io.Discard, 10, 10, "")
	var n drawing.Names
	for i, want := range []int{0, 1, 2, -1} {
		if got := n.Write(c, 10, 0, "B♭3"); got != want {
			t.Errorf("name %d in row %d, want %d", i, got, want)
		}
	}
	if got := n.Write(c, 40, 0, "C4"); got != 0 {
		t.Errorf("a name with room in row %d", got)
	}
}

// TestCanvas: what is written is XML whatever the text, and the writer's error is told.
func TestCanvas(t *testing.T) {
	var b bytes.Buffer
	c := drawing.New(&b, 100, 50, `a "label" & <more>`)
	c.Line(0, 0, 10, 10, drawing.Ink, 2, ` stroke-dasharray="4 3"`)
	c.Text(1, 2, drawing.Style{Anchor: "start", Color: drawing.Ink, Size: 11, Bold: true}, "<&>")
	if err := c.Close(); err != nil {
		t.Fatal(err)
	}
	text := ""
	for d := xml.NewDecoder(&b); ; {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatal(err)
		}
		if s, ok := token.(xml.CharData); ok {
			text += string(bytes.TrimSpace(s))
		}
	}
	if text != "<&>" {
		t.Errorf("the text reads %q", text)
	}
	if drawing.New(full{}, 1, 1, "").Close() == nil {
		t.Error("a full disk is no error")
	}
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, io.ErrShortWrite }
