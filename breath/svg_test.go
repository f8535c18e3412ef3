package breath

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"waterkey/player"
	"waterkey/score/scoretest"
)

// TestSVG: the drawing is well formed XML, has a curve and a comma where a catch
// breath is, and an error where there are no bars.
func TestSVG(t *testing.T) {
	b := solve(t, readPart(t, "../demo/season/lantern-song.musicxml"), Options{Lungs: player.UsualLungs(player.Professional)})
	var buf bytes.Buffer
	if err := b.WriteSVG(&buf, 0, len(b.Performance.Bars)-1); err != nil {
		t.Fatal(err)
	}
	d := xml.NewDecoder(bytes.NewReader(buf.Bytes()))
	for {
		if _, err := d.Token(); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatal(err)
		}
	}
	commas, catches := strings.Count(buf.String(), "q4.5 4"), 0
	ticks, fulls := strings.Count(buf.String(), "l5 11"), 0
	for _, br := range b.Breaths {
		switch {
		case br.Entry:
		case br.Kind == Catch:
			catches++
		default:
			fulls++
		}
	}
	if commas != catches || ticks != fulls || catches == 0 || fulls == catches {
		t.Errorf("%d commas and %d ticks for %d catch and %d full breaths", commas, ticks, catches, fulls)
	}
	for _, want := range []string{"full 4.1 L", "comfortable 1.2 L", "empty 0.7 L", "<polyline"} {
		if !strings.Contains(buf.String(), want) {
			t.Errorf("no %q in the drawing", want)
		}
	}
	for _, bad := range [][2]int{{-1, 2}, {3, 2}, {0, 1000}} {
		if err := b.WriteSVG(io.Discard, bad[0], bad[1]); err == nil {
			t.Errorf("bars %v are drawn", bad)
		}
	}
}

// TestSVGNamesWhatLacks: a stretch without air is named in the drawing.
func TestSVGNamesWhatLacks(t *testing.T) {
	pf, err := scoretest.Part(t, common, 60, "=ff E2/1 E2/1( E2/1( E2/1( E2/1").ReadThrough(tempo)
	if err != nil {
		t.Fatal(err)
	}
	var buf bytes.Buffer
	b := solve(t, pf, Options{Pins: []Pin{{After: 1, Forbid: true}, {After: 2, Forbid: true}, {After: 3, Forbid: true}}})
	if err := b.WriteSVG(&buf, 0, 4); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(buf.String(), "L short") {
		t.Error("the drawing does not say that the air is short")
	}
}
