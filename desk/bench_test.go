package desk

import (
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"strings"
	"testing"

	"waterkey/brass"
)

// longPart is a part of so many bars of four quarters, with what makes work for a
// reader: dynamics, hairpins, articulations, slurs, accidentals and rests.
func longPart(bars int) string {
	var b strings.Builder
	b.WriteString(`<?xml version="1.0"?><score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Trombone</part-name></score-part></part-list><part id="P1">`)
	steps := []string{"F", "A", "C", "D", "G", "B", "E"}
	note := func(step string, alter, octave int, notations string) {
		fmt.Fprintf(&b, "<note><pitch><step>%s</step><alter>%d</alter><octave>%d</octave></pitch><duration>1</duration><voice>1</voice><type>quarter</type>%s</note>\n",
			step, alter, octave, notations)
	}
	for i := range bars {
		fmt.Fprintf(&b, "<measure number=\"%d\">\n", i+1)
		if i == 0 {
			b.WriteString("<attributes><divisions>1</divisions><key><fifths>-1</fifths></key><time><beats>4</beats><beat-type>4</beat-type></time><clef><sign>F</sign><line>4</line></clef></attributes>")
		}
		if i%4 == 0 {
			fmt.Fprintf(&b, "<direction><direction-type><dynamics><%s/></dynamics></direction-type></direction>", []string{"p", "mf", "ff"}[i/4%3])
		}
		if i%8 == 2 {
			b.WriteString(`<direction><direction-type><wedge type="crescendo"/></direction-type></direction>`)
		}
		note(steps[i%7], 0, 3, `<notations><articulations><staccato/></articulations></notations>`)
		note(steps[(i+2)%7], 0, 3, `<notations><slur type="start"/></notations>`)
		note(steps[(i*3)%7], i%3-1, 3, `<notations><slur type="stop"/></notations>`)
		if i%8 == 3 {
			b.WriteString(`<direction><direction-type><wedge type="stop"/></direction-type></direction><note><rest/><duration>1</duration><type>quarter</type></note>`)
		} else {
			note(steps[(i+4)%7], 0, 2+i%2, "")
		}
		b.WriteString("</measure>\n")
	}
	b.WriteString("</part></score-partwise>")
	return b.String()
}

// BenchmarkReadLongPart reads a part of 10,000 bars from disk and walks through
// it, positions and all. It prints the memory that the process took from the
// system, with the garbage collector set as in the program.
func BenchmarkReadLongPart(b *testing.B) {
	const bars = 10_000
	defer debug.SetGCPercent(debug.SetGCPercent(50))
	path := filepath.Join(b.TempDir(), "long.musicxml")
	if err := os.WriteFile(path, []byte(longPart(bars)), 0o644); err != nil {
		b.Fatal(err)
	}
	in, err := brass.Named("tenor-f")
	if err != nil {
		b.Fatal(err)
	}
	findings := 0
	for b.Loop() {
		p, err := Prepare(Request{Path: path, Horn: in})
		if err != nil {
			b.Fatal(err)
		}
		findings = len(p.Read().Findings)
	}
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	b.ReportMetric(float64(m.Sys)/1e6, "MB-from-system")
	b.ReportMetric(float64(findings), "findings")
}
