package musicxml

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"waterkey/score"
	"waterkey/score/scoretest"
)

// rewritten reads a part's own document back.
func rewritten(t *testing.T, name string, part *score.Part) (*score.Part, []byte) {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, part); err != nil {
		t.Fatal(err)
	}
	d, err := Parse(name, b.Bytes())
	if err != nil {
		t.Fatalf("%s: %v\n%s", name, err, b.String())
	}
	back, err := d.Part(score.Selection{})
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return back, b.Bytes()
}

// same are the parts of a part that a document of its own keeps. Dots and values
// that the source left open, printed accidentals and ids are the writer's.
var same = []cmp.Option{
	cmpopts.IgnoreFields(score.Part{}, "ID", "Skipped"),
	cmpopts.IgnoreFields(score.Bar{}, "Line"),
	cmpopts.IgnoreFields(score.Note{}, "ID", "Line", "Accidental", "Courtesy"),
	cmpopts.IgnoreFields(score.Piece{}, "ID", "Value", "Dots"),
	cmpopts.IgnoreFields(score.Rest{}, "ID", "Value", "Dots"),
	cmpopts.EquateEmpty(), cmpopts.EquateComparable(score.Time{}),
}

// Every real part and every part of the suite that is read comes back the same
// from a document of its own.
func TestWrittenPartsReadTheSame(t *testing.T) {
	dir := t.TempDir()
	var files []string
	for path, part := range allParts(t) {
		back, text := rewritten(t, path, part)
		if len(part.Clefs) == 0 || part.Clefs[0].At.Sign() > 0 {
			back.Clefs = back.Clefs[1:] // the one that the writer chose
		}
		if diff := cmp.Diff(part, back, same...); diff != "" {
			t.Errorf("%s:\n%s", path, firstLines(diff, 30))
		}
		file := filepath.Join(dir, strings.ReplaceAll(filepath.Base(path), " ", "_")+".musicxml")
		if err := os.WriteFile(file, text, 0o644); err != nil {
			t.Fatal(err)
		}
		files = append(files, file)
	}
	if _, err := exec.LookPath(xmllint); err != nil {
		t.Skip("no schema validator here (Debian package libxml2-utils)")
	}
	if ok := valid(t, files); len(ok) != len(files) {
		for _, f := range files {
			if !ok[filepath.Base(f)] {
				t.Errorf("%s does not validate", filepath.Base(f))
			}
		}
	}
}

func firstLines(s string, n int) string {
	lines := strings.SplitN(s, "\n", n+1)
	return strings.Join(lines[:min(n, len(lines))], "\n")
}

// allParts reads the shared scores and the suite.
func allParts(t *testing.T) map[string]*score.Part {
	t.Helper()
	out := map[string]*score.Part{}
	for _, pattern := range []string{"scores/*.musicxml", "suite/*.xml", "suite/*.musicxml", "suite/*.mxl"} {
		found, err := filepath.Glob(filepath.Join(shared, pattern))
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range found {
			d, err := Open(f)
			if err != nil {
				continue // refused with a reason, as other tests hold
			}
			if part, err := d.Part(score.Selection{}); err == nil {
				out[f] = part
			}
		}
	}
	if len(out) == 0 {
		t.Skip("shared data not here:", shared)
	}
	return out
}

// note elements of a written document: each name's values in order.
func writtenValues(t *testing.T, part *score.Part, name string) string {
	t.Helper()
	_, text := rewritten(t, "part", part)
	var out []string
	for _, piece := range strings.Split(string(text), "<"+name)[1:] {
		value, _, _ := strings.Cut(piece[strings.IndexByte(piece, '>')+1:], "<")
		out = append(out, value)
	}
	return strings.Join(out, ",")
}

// Beams follow the beat (common practice): quarters of simple meters, dotted
// quarters of compound ones; rests and longer notes break them.
func TestBeams(t *testing.T) {
	six8 := score.Meter{Beats: 6, Unit: 8}
	four4 := score.Meter{Beats: 4, Unit: 4}
	for _, c := range []struct {
		meter      score.Meter
		text, want string
	}{
		{four4, "C3/8 C3/8 C3/8 C3/8 C3/4 C3/8 r/8", "begin,end,begin,end"},
		{four4, "C3/8. C3/16 C3/16 C3/8. C3/2", "begin,end,backward hook,begin,forward hook,end"},
		{four4, "C3/16 C3/16 C3/8 C3/8 C3/16 C3/16 C3/2", "begin,begin,continue,end,end,begin,continue,begin,end,end"},
		{six8, "C3/8 C3/8 C3/8 C3/4 C3/8", "begin,continue,end"},
		{four4, "C3/4. C3/8 C3/2", ""},
	} {
		if got := writtenValues(t, scoretest.Part(t, c.meter, 60, c.text), "beam"); got != c.want {
			t.Errorf("%s: %s, want %s", c.text, got, c.want)
		}
	}
}

// An accidental holds to the end of its bar, in its octave only (common practice).
func TestAccidentalsWhereNoneAreGiven(t *testing.T) {
	part := scoretest.Part(t, score.Meter{Beats: 4, Unit: 4}, 60, "F#3/4 F#3/4 F#4/4 F3/4 F3/4 Bb3/4 B3/4 Bb3/4")
	for i := range part.Notes {
		part.Notes[i].Accidental = ""
	}
	want := "sharp,sharp,natural,flat,natural,flat"
	if got := writtenValues(t, part, "accidental"); got != want {
		t.Errorf("%s, want %s", got, want)
	}
}

// A bracket spans the notes that make up a plain value together: three eighths in
// the time of two, and a quarter with an eighth.
func TestTupletBrackets(t *testing.T) {
	attributes := strings.Replace(firstAttributes, "<divisions>4<", "<divisions>6<", 1)
	triplet := "<time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></time-modification>"
	part := readPart(t, attributes+note("C3", 2, triplet)+note("D3", 2, triplet)+note("E3", 2, triplet)+
		note("F3", 4, triplet)+note("G3", 2, triplet)+note("A3", 12))
	_, text := rewritten(t, "part", part)
	var got []string
	for _, n := range strings.Split(string(text), "<step>")[1:] {
		s := n[:1]
		for _, kind := range []string{"start", "stop"} {
			if strings.Contains(n, `<tuplet type="`+kind+`"/>`) {
				s += " " + kind
			}
		}
		got = append(got, s)
	}
	if want := "C start,D,E stop,F start,G stop,A"; strings.Join(got, ",") != want {
		t.Errorf("%v, want %s", got, want)
	}
}

// A page without a clef gets the one that fits (common practice).
func TestClefWhereNoneIsGiven(t *testing.T) {
	for text, want := range map[string]string{"C3/4 F3/4 Bb3/4 D4/4": "bass", "C4/4 F4/4 Bb4/4 D5/4": "treble"} {
		part := scoretest.Part(t, score.Meter{Beats: 4, Unit: 4}, 60, text)
		part.Clefs = nil
		if back, _ := rewritten(t, "part", part); len(back.Clefs) != 1 || back.Clefs[0].Clef.String() != want {
			t.Errorf("%s: %v, want the %s clef", text, back.Clefs, want)
		}
	}
}
