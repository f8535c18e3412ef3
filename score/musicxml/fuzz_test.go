package musicxml

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"waterkey/score"
)

// seeds are small documents of every kind that the reader treats apart.
func seeds(t testing.TB) [][]byte {
	texts := []string{
		"", "<score-partwise/>", "<score-timewise><measure number=\"1\"><part id=\"P1\"/></measure></score-timewise>",
		doc(note("C3", 16)), doc(note("Bb2", 8, tieStart) + grace("C3") + note("Bb2", 8, tieStop)),
		doc(note("C3", 8)+voice2(8, note("C2", 16)), restXML(16)),
		doc(words("D.S. al Coda") + direction("<dynamics><fp/></dynamics>") + note("C3", 16, "<notations/>")),
		doc(direction(`<wedge type="crescendo"/>`, "<offset>-3</offset>") + note("C3", 4) + direction(`<wedge type="stop"/>`)),
		doc(`<barline location="left"><ending number="1" type="start"/><repeat direction="forward"/></barline>` + note("C3", 16)),
		doc("<attributes><divisions>0.5</divisions><time><beats>3+2</beats><beat-type>8</beat-type></time><transpose><chromatic>-14</chromatic></transpose></attributes>" + note("F#3", 1)),
		doc(tooFine()), strings.Replace(doc(note("C3", 4)), "UTF-8", "ISO-8859-1", 1),
	}
	var out [][]byte
	for _, text := range texts {
		out = append(out, []byte(text))
	}
	return append(out, zipped(t, containerName, container, "score.xml", doc(note("C3", 16))),
		[]byte("\xFF\xFE<\x00s\x00"), []byte("\xFE\xFF\x00<\x00s"))
}

func FuzzParse(f *testing.F) {
	for _, data := range seeds(f) {
		f.Add(data)
	}
	files, _ := filepath.Glob(filepath.Join(shared, "suite", "*.*"))
	for _, path := range files {
		if data, err := os.ReadFile(path); err == nil {
			f.Add(data)
		}
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		d, err := Parse("fuzz.xml", data)
		if err != nil {
			wantError(t, err, d == nil)
			return
		}
		if out, report, err := d.Mark(Marks{}); err != nil || !bytes.Equal(out, data) || report != (MarkReport{}) {
			t.Fatalf("marking nothing: %v, %+v", err, report)
		}
		for i := range min(len(d.Parts()), 3) {
			p, err := d.Part(score.Selection{Part: fmt.Sprint(i + 1)})
			if err != nil {
				wantError(t, err, p == nil)
				continue
			}
			checkSound(t, "fuzz", p)
			if len(p.Notes)+len(p.Rests) > noteCount(d) || len(p.Bars) > bytes.Count(data, []byte("m")) && d.entry == "" {
				t.Fatalf("%d notes, %d rests and %d bars out of %d elements", len(p.Notes), len(p.Rests), len(p.Bars), noteCount(d))
			}
		}
		markFirst(t, d)
	})
}

// wantError checks that an error is of our type and that nothing came with it.
func wantError(t *testing.T, err error, nothing bool) {
	t.Helper()
	var e *score.ReadError
	if !errors.As(err, &e) || e.File == "" || !nothing {
		t.Fatalf("%T %v; want an *score.ReadError with its file, and nothing else", err, err)
	}
}

// markFirst marks one note of any document, which has to stay readable.
func markFirst(t *testing.T, d *Document) {
	m := Marks{Positions: map[string]string{}}
	for id := range noteElements(d) {
		m.Positions[id], m.Breaths = "♭3", []string{id}
		break
	}
	out, report, err := d.Mark(m)
	if err != nil {
		t.Fatal(err)
	}
	again, err := Parse(d.file, out)
	if err != nil {
		t.Fatalf("the marked document cannot be read: %v", err)
	}
	if twice, _, err := again.Mark(m); err != nil || !bytes.Equal(twice, out) {
		t.Fatalf("marking again changed something: %v, first %+v", err, report)
	}
}
