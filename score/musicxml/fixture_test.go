package musicxml

import (
	"archive/zip"
	"bytes"
	"fmt"
	"strings"
	"testing"
)

// firstAttributes are those of the first bar of most fixtures.
const firstAttributes = `<attributes><divisions>4</divisions><key><fifths>-1</fifths></key><time><beats>4</beats><beat-type>4</beat-type></time><clef><sign>F</sign><line>4</line></clef></attributes>`

// doc wraps bars in a whole document of one part. Each bar is the content of
// a <measure>; the first gets 4/4 with four divisions unless it has its own
// attributes.
func doc(bars ...string) string {
	var b strings.Builder
	b.WriteString(`<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">
<score-partwise version="4.0">
  <part-list>
    <score-part id="P1">
      <part-name>Trombone</part-name>
    </score-part>
  </part-list>
  <part id="P1">
`)
	for i, bar := range bars {
		if i == 0 && !strings.Contains(bar, "<attributes>") {
			bar = firstAttributes + bar
		}
		fmt.Fprintf(&b, "    <measure number=\"%d\">\n%s\n    </measure>\n", i+1, bar)
	}
	b.WriteString("  </part>\n</score-partwise>\n")
	return b.String()
}

// note writes one note of so many divisions; rest is what stands after the
// duration.
func note(pitch string, divisions int, rest ...string) string {
	return fmt.Sprintf("<note>%s<duration>%d</duration>%s</note>\n", pitchXML(pitch), divisions, strings.Join(rest, ""))
}

// grace writes one grace note.
func grace(pitch string, rest ...string) string {
	return fmt.Sprintf("<note><grace/>%s%s</note>\n", pitchXML(pitch), strings.Join(rest, ""))
}

func pitchXML(pitch string) string {
	alter := strings.Count(pitch, "#") - strings.Count(pitch, "b")
	s := "<pitch><step>" + pitch[:1] + "</step>"
	if alter != 0 {
		s += fmt.Sprintf("<alter>%d</alter>", alter)
	}
	return s + "<octave>" + pitch[len(pitch)-1:] + "</octave></pitch>"
}

func restXML(divisions int) string {
	return fmt.Sprintf("<note><rest/><duration>%d</duration></note>\n", divisions)
}

// words writes a direction of words.
func words(text string) string {
	return "<direction><direction-type><words>" + text + "</words></direction-type></direction>\n"
}

// direction writes a direction of one type.
func direction(kind string, rest ...string) string {
	return "<direction><direction-type>" + kind + "</direction-type>" + strings.Join(rest, "") + "</direction>\n"
}

const (
	tieStart = `<tie type="start"/>`
	tieStop  = `<tie type="stop"/>`
)

// voice2 moves back over divisions and puts notes into voice 2.
func voice2(back int, notes string) string {
	return fmt.Sprintf("<backup><duration>%d</duration></backup>", back) +
		strings.ReplaceAll(notes, "</duration>", "</duration><voice>2</voice>")
}

func parse(t testing.TB, text string) *Document {
	t.Helper()
	d, err := Parse("march.musicxml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// zipped packs files, in the order given: name, content, name, content.
func zipped(t testing.TB, files ...string) []byte {
	t.Helper()
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for i := 0; i < len(files); i += 2 {
		f, err := w.Create(files[i])
		if err == nil {
			_, err = f.Write([]byte(files[i+1]))
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// container is the index of a packed score called score.xml.
const container = `<?xml version="1.0"?><container><rootfiles><rootfile full-path="score.xml"/></rootfiles></container>`

// noteElements are all notes of a document by id.
func noteElements(d *Document) map[string]*element {
	out := map[string]*element{}
	d.eachNote(func(at notePlace, note *element) { out[d.noteID(at.part, at.bar, at.n, note)] = note })
	return out
}

// noteCount is the number of note elements.
func noteCount(d *Document) int {
	n := 0
	d.eachNote(func(notePlace, *element) { n++ })
	return n
}
