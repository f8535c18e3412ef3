package musicxml

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
	"pgregory.net/rapid"

	"waterkey/score"
)

func mark(t testing.TB, d *Document, m Marks) ([]byte, MarkReport) {
	t.Helper()
	out, report, err := d.Mark(m)
	if err != nil {
		t.Fatal(err)
	}
	return out, report
}

// one wraps a note in the smallest score, the note exactly as given.
func one(note string) string {
	return "<score-partwise>\n  <part id=\"P1\">\n    <measure number=\"1\">\n" + note + "\n    </measure>\n  </part>\n</score-partwise>\n"
}

const indented = `      <note>
        <pitch><step>C</step><octave>3</octave></pitch>
        <duration>4</duration>
        <type>quarter</type>`

// The marks stand where the schema's sequence wants them, laid out as what is
// around them.
func TestMarkPlaceAndLayout(t *testing.T) {
	cases := []struct{ name, before, after string }{
		{"nothing there",
			indented + "\n      </note>",
			indented + `
        <notations>
          <technical>
            <fingering>3</fingering>
          </technical>
          <articulations>
            <breath-mark/>
          </articulations>
        </notations>
      </note>`},
		{"before the lyric",
			indented + "\n        <lyric><text>a</text></lyric>\n      </note>",
			indented + `
        <notations>
          <technical>
            <fingering>3</fingering>
          </technical>
          <articulations>
            <breath-mark/>
          </articulations>
        </notations>
        <lyric><text>a</text></lyric>
      </note>`},
		{"notations there",
			indented + "\n        <notations>\n          <slur type=\"start\"/>\n        </notations>\n      </note>",
			indented + `
        <notations>
          <slur type="start"/>
          <technical>
            <fingering>3</fingering>
          </technical>
          <articulations>
            <breath-mark/>
          </articulations>
        </notations>
      </note>`},
		{"groups there",
			indented + "\n        <notations>\n          <articulations>\n            <accent/>\n          </articulations>\n          <technical>\n            <stopped/>\n          </technical>\n        </notations>\n      </note>",
			indented + `
        <notations>
          <articulations>
            <accent/>
            <breath-mark/>
          </articulations>
          <technical>
            <stopped/>
            <fingering>3</fingering>
          </technical>
        </notations>
      </note>`},
		{"end tags under the children",
			strings.ReplaceAll(indented, "</pitch>", "\n          </pitch>") + "\n        </note>",
			strings.ReplaceAll(indented, "</pitch>", "\n          </pitch>") + `
        <notations>
          <technical>
            <fingering>3</fingering>
            </technical>
          <articulations>
            <breath-mark/>
            </articulations>
          </notations>
        </note>`},
		{"empty elements are left alone",
			indented + "\n        <notations/>\n      </note>",
			indented + `
        <notations/>
        <notations>
          <technical>
            <fingering>3</fingering>
          </technical>
          <articulations>
            <breath-mark/>
          </articulations>
        </notations>
      </note>`},
		{"all on one line",
			"<note><rest/><duration>4</duration></note>",
			"<note><rest/><duration>4</duration><notations><technical><fingering>3</fingering></technical><articulations><breath-mark/></articulations></notations></note>"},
		{"tabs and carriage returns",
			"\t<note>\r\n\t\t<rest/>\r\n\t\t<duration>4</duration>\r\n\t</note>",
			"\t<note>\r\n\t\t<rest/>\r\n\t\t<duration>4</duration>\r\n\t\t<notations>\r\n\t\t\t<technical>\r\n\t\t\t\t<fingering>3</fingering>\r\n\t\t\t</technical>\r\n\t\t\t<articulations>\r\n\t\t\t\t<breath-mark/>\r\n\t\t\t</articulations>\r\n\t\t</notations>\r\n\t</note>"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			out, report := mark(t, parse(t, one(c.before)), Marks{Positions: map[string]string{"b1n1": "3"}, Breaths: []string{"b1n1"}})
			if diff := cmp.Diff(one(c.after), string(out)); diff != "" {
				t.Error(diff)
			}
			if report != (MarkReport{Positions: 1, Breaths: 1}) {
				t.Errorf("report %+v", report)
			}
		})
	}
}

func TestMarksThatAreThereAreKept(t *testing.T) {
	text := one(indented + `
        <notations>
          <technical><fingering>6</fingering></technical>
          <articulations><breath-mark>tick</breath-mark></articulations>
        </notations>
      </note>`)
	out, report := mark(t, parse(t, text), Marks{Positions: map[string]string{"b1n1": "3"}, Breaths: []string{"b1n1", "b1n1"}})
	if string(out) != text || report != (MarkReport{KeptPositions: 1, KeptBreaths: 1}) {
		t.Errorf("report %+v, text\n%s", report, out)
	}
}

func TestMarkErrors(t *testing.T) {
	d := parse(t, doc(note("C3", 16)))
	for says, m := range map[string]Marks{
		`no note has the id "b9n9"`:                     {Breaths: []string{"b9n9"}},
		`line 11: position of note b1n1: the text is e`: {Positions: map[string]string{"b1n1": " "}},
		"the character U+0007 cannot be printed":        {Positions: map[string]string{"b1n1": "3\a"}},
	} {
		out, report, err := d.Mark(m)
		if out != nil || report != (MarkReport{}) || err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("got %v, want %s", err, says)
		}
	}
}

// In every real part, marks on every seventh note leave all else as it was,
// the music reads the same, and marking again changes nothing.
func TestMarkRealParts(t *testing.T) {
	for _, row := range readFacts(t) {
		t.Run(row["file"], func(t *testing.T) {
			d := open(t, sharedFile(t, "scores/"+row["file"]))
			p := part(t, d, score.Selection{})
			m := Marks{Positions: map[string]string{}}
			for i := 0; i < len(p.Notes); i += 7 {
				m.Positions[p.Notes[i].ID] = "♭3"
				m.Breaths = append(m.Breaths, p.Notes[i].ID)
			}
			out, report := mark(t, d, m)
			if report.Positions != len(m.Positions) || report.Breaths+report.KeptBreaths != len(m.Breaths) {
				t.Errorf("report %+v for %d notes", report, len(m.Breaths))
			}
			checkMarked(t, d, m, out)
		})
	}
}

// checkMarked checks a marked document against the one it came from.
func checkMarked(t testing.TB, d *Document, m Marks, out []byte) {
	t.Helper()
	if cut := cutMarks(t, d, m, out); !bytes.Equal(cut, d.data) {
		t.Error("with the marks taken out the document is not the one it was")
	}
	again, err := Parse(d.file, out)
	if err != nil {
		t.Fatal(err)
	}
	notes := noteElements(again)
	for id, text := range m.Positions {
		if !carries(notes[id], "technical", "fingering") {
			t.Errorf("note %s carries no position %s", id, text)
		}
	}
	for _, id := range m.Breaths {
		if !carries(notes[id], "articulations", "breath-mark") {
			t.Errorf("note %s carries no breath mark", id)
		}
	}
	if twice, report := mark(t, again, m); !bytes.Equal(twice, out) || report.Positions+report.Breaths > 0 {
		t.Errorf("marking again changed something: %+v", report)
	}
}

// cutMarks takes the insertions out of a marked document by their places.
func cutMarks(t testing.TB, d *Document, m Marks, out []byte) []byte {
	t.Helper()
	ins, _, err := d.plan(m)
	if err != nil {
		t.Fatal(err)
	}
	text := string(out)
	for _, in := range ins {
		at := d.src.bom + in.at // what was before it is cut out already
		if !strings.HasPrefix(text[at:], in.text) {
			t.Fatalf("no mark at byte %d", at)
		}
		text = text[:at] + text[at+len(in.text):]
	}
	return []byte(text)
}

// Any notes of a small document can be marked with any printable text, alone
// and one after the other, and come back as written.
func TestMarkProperty(t *testing.T) {
	text := doc(note("C3", 4)+note("D3", 4, `<notations><technical><stopped/></technical></notations>`)+
		note("E3", 8, "<notations/>"), grace("F3")+note("G3", 16, "<lyric><text>o</text></lyric>"))
	d := parse(t, text)
	ids := slices.Sorted(maps.Keys(noteElements(d)))
	rapid.Check(t, func(rt *rapid.T) {
		m := Marks{Positions: rapid.MapOf(rapid.SampledFrom(ids), rapid.StringMatching(`[!-~♭♯é]{1,6}`)).Draw(rt, "positions"),
			Breaths: rapid.SliceOfDistinct(rapid.SampledFrom(ids), rapid.ID).Draw(rt, "breaths")}
		out, _ := mark(t, d, m)
		checkMarked(t, d, m, out)
		notes := noteElements(parse(t, string(out)))
		for id, want := range m.Positions {
			for _, n := range notes[id].all("notations") {
				if f := n.child("technical").child("fingering"); f != nil && f.value() != want {
					rt.Errorf("position %q came back as %q", want, f.value())
				}
			}
		}
	})
}

// The music of a document in every encoding is the same, and its marks are in
// that encoding.
func TestEncodings(t *testing.T) {
	text := strings.Replace(doc(note("C3", 8)+note("D3", 8)), "Trombone", "Posaune für Flöten", 1)
	declare := func(name string) string { return strings.Replace(text, "UTF-8", name, 1) }
	encode := func(text string, e interface{ Bytes([]byte) ([]byte, error) }) []byte {
		b, err := e.Bytes([]byte(text))
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	utf16 := func(e unicode.Endianness, bom unicode.BOMPolicy) []byte {
		return encode(declare("UTF-16"), unicode.UTF16(e, bom).NewEncoder())
	}
	for name, data := range map[string][]byte{
		"UTF-8":                    []byte(text),
		"UTF-8 with mark":          []byte("\xEF\xBB\xBF" + text),
		"UTF-16 big":               utf16(unicode.BigEndian, unicode.UseBOM),
		"UTF-16 little":            utf16(unicode.LittleEndian, unicode.UseBOM),
		"UTF-16 big, no mark":      utf16(unicode.BigEndian, unicode.IgnoreBOM),
		"UTF-16 little, no mark":   utf16(unicode.LittleEndian, unicode.IgnoreBOM),
		"ISO-8859-1":               encode(declare("ISO-8859-1"), charmap.ISO8859_1.NewEncoder()),
		"UTF-16 said, UTF-8 meant": []byte(declare("UTF-16")),
	} {
		t.Run(name, func(t *testing.T) {
			d, err := Parse("x.xml", data)
			if err != nil {
				t.Fatal(err)
			}
			p := part(t, d, score.Selection{})
			if p.Name != "Posaune für Flöten" || pitches(p) != "C3 D3" {
				t.Errorf("got %s: %s", p.Name, pitches(p))
			}
			out, _ := mark(t, d, Marks{Positions: map[string]string{"b1n2": "♭3é"}})
			again, err := Parse("x.xml", out)
			if err != nil {
				t.Fatal(err)
			}
			if got := noteElements(again)["b1n2"].child("notations").child("technical").child("fingering").value(); got != "♭3é" {
				t.Errorf("the position came back as %q", got)
			}
			keep := len(data) - len("</note>\n\n    </measure>")*2 // the marks stand in the last note
			if !bytes.HasPrefix(out, data[:keep/2]) || !bytes.HasSuffix(out, data[len(data)-20:]) {
				t.Error("bytes before or after the mark have changed")
			}
		})
	}
}

// A packed document is marked inside its container; all other files stay.
func TestMarkPacked(t *testing.T) {
	picture := strings.Repeat("picture ", 100)
	data := zipped(t, "mimetype", "application/vnd.recordare.musicxml", containerName, container, "score.xml", doc(note("C3", 16)), "cover.png", picture)
	d, err := Parse("x.mxl", data)
	if err != nil {
		t.Fatal(err)
	}
	if out, _ := mark(t, d, Marks{}); !bytes.Equal(out, data) {
		t.Error("marking nothing changed the container")
	}
	m := Marks{Positions: map[string]string{"b1n1": "6"}}
	out, _ := mark(t, d, m)
	got := unzip(t, out)
	want := unzip(t, data)
	plain, _ := mark(t, parse(t, doc(note("C3", 16))), m)
	want["score.xml"] = string(plain)
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	again, err := Parse("x.mxl", out)
	if err != nil {
		t.Fatal(err)
	}
	if twice, _ := mark(t, again, m); !bytes.Equal(twice, out) {
		t.Error("marking again changed the container")
	}
}

func unzip(t testing.TB, data []byte) map[string]string {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for i, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		b, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		out[f.Name] = string(b)
		out[fmt.Sprint("place ", i)] = f.Name
	}
	return out
}
