package abc

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"waterkey/score"
	"waterkey/score/musicxml"
)

// The reference in this file is the same music as MusicXML, read by the reader
// of that format; what has to be equal stands at factsOf.

// xmlScore wraps bars in a MusicXML document of one part with 24 divisions to
// the quarter note. A bar that starts with "<measure" keeps its own start tag.
func xmlScore(bars ...string) string {
	var b strings.Builder
	b.WriteString(`<?xml version="1.0" encoding="UTF-8"?>
<score-partwise version="4.0"><work><work-title>Test</work-title></work>
<part-list><score-part id="P1"><part-name>Trombone</part-name></score-part></part-list><part id="P1">`)
	for i, bar := range bars {
		if !strings.HasPrefix(bar, "<measure") {
			bar = fmt.Sprintf(`<measure number="%d">`, i+1) + bar
		}
		b.WriteString(bar + "</measure>\n")
	}
	b.WriteString("</part></score-partwise>")
	return b.String()
}

// xmlAttributes are key, time and clef at the start of a bar.
func xmlAttributes(fifths int, mode, time, clef string) string {
	s := fmt.Sprintf(`<attributes><divisions>24</divisions><key><fifths>%d</fifths><mode>%s</mode></key>`, fifths, mode)
	return s + xmlTime(time) + xmlClef(clef) + "</attributes>"
}

func xmlTime(time string) string {
	if time == "cut" {
		return `<time symbol="cut"><beats>2</beats><beat-type>2</beat-type></time>`
	}
	beats, unit, _ := strings.Cut(time, "/")
	return "<time><beats>" + beats + "</beats><beat-type>" + unit + "</beat-type></time>"
}

func xmlClef(clef string) string {
	return "<clef><sign>" + clef[:1] + "</sign><line>" + clef[1:] + "</line></clef>"
}

// xmlValues are the note values by their length in divisions, without dots.
var xmlValues = map[int]string{96: "whole", 48: "half", 24: "quarter", 12: "eighth", 6: "16th", 3: "32nd"}

// xmlNote writes "Bb3" or "r" with value "24" or "24." and more elements: those
// named in notations go there, others behind the type.
func xmlNote(pitch, value string, extra ...string) string {
	plain := strings.TrimRight(value, ".")
	var length int
	fmt.Sscan(plain, &length)
	name, dots := xmlValues[length], len(value)-len(plain)
	if dots == 1 {
		length = length * 3 / 2
	}
	var notations, rest, front strings.Builder
	for _, e := range extra {
		switch {
		case strings.HasPrefix(e, "<time-modification"):
			length = length * 2 / 3
			rest.WriteString(e)
		case strings.HasPrefix(e, "<accidental"):
			rest.WriteString(e)
		case strings.HasPrefix(e, "<tie "):
			front.WriteString(e)
		default:
			notations.WriteString(e)
		}
	}
	s := "<note>"
	if strings.HasPrefix(pitch, "{") {
		s += `<grace slash="yes"/>` + xmlPitch(strings.Trim(pitch, "{}"))
	} else {
		s += xmlPitch(pitch) + fmt.Sprintf("<duration>%d</duration>", length)
	}
	s += front.String() + "<type>" + name + "</type>" + strings.Repeat("<dot/>", dots) + rest.String()
	if notations.Len() > 0 {
		s += "<notations>" + notations.String() + "</notations>"
	}
	return s + "</note>"
}

func xmlPitch(p string) string {
	if p == "r" {
		return "<rest/>"
	}
	alter := strings.Count(p, "#") - strings.Count(p, "b")
	return fmt.Sprintf("<pitch><step>%s</step><alter>%d</alter><octave>%s</octave></pitch>", p[:1], alter, p[len(p)-1:])
}

func xmlDirection(kinds ...string) string {
	s := "<direction>"
	for _, k := range kinds {
		s += "<direction-type>" + k + "</direction-type>"
	}
	return s + "</direction>"
}

func xmlMetronome(unit, bpm string) string {
	return "<metronome><beat-unit>" + unit + "</beat-unit><per-minute>" + bpm + "</per-minute></metronome>"
}

func xmlBarline(inner string) string { return `<barline location="right">` + inner + "</barline>" }

func xmlLeft(inner string) string { return `<barline location="left">` + inner + "</barline>" }

const (
	xTieStart  = `<tie type="start"/>`
	xTieStop   = `<tie type="stop"/>`
	xSlurStart = `<slur type="start"/>`
	xSlurStop  = `<slur type="stop"/>`
	xTriplet   = `<time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></time-modification>`
	xBack      = `<repeat direction="backward"/>`
	xForth     = `<repeat direction="forward"/>`
)

func articulation(name string) string { return "<articulations><" + name + "/></articulations>" }

func dynamic(name string) string { return xmlDirection("<dynamics><" + name + "/></dynamics>") }

// firstPart reads the zero selection of a document of the other format.
func firstPart[S any](readPart func(S) (*score.Part, error)) (*score.Part, error) {
	var first S
	return readPart(first)
}

// sameMusic fails when the two formats give different facts.
func sameMusic(t *testing.T, xml, tune string) {
	t.Helper()
	d, err := musicxml.Parse("test.musicxml", []byte(xml))
	if err != nil {
		t.Fatal(err)
	}
	want, err := firstPart(d.Part)
	if err != nil {
		t.Fatal(err)
	}
	got := read(t, tune)
	if len(want.Notes) == 0 || len(want.Skipped) > 0 {
		t.Fatalf("the reference has %d notes, passed over: %v", len(want.Notes), want.Skipped)
	}
	if diff := cmp.Diff(strings.Split(factsOf(want), "\n"), strings.Split(factsOf(got), "\n")); diff != "" {
		t.Errorf("MusicXML (-) and abc (+) differ:\n%s", diff)
	}
	saysNothing(t, got)
}

// TestSameMarch: pickup, repeat with endings, ties, accidentals, articulations,
// dynamics, hairpin, tempo.
func TestSameMarch(t *testing.T) {
	sameMusic(t, xmlScore(
		`<measure number="0" implicit="yes">`+xmlAttributes(-2, "major", "4/4", "F4")+
			xmlDirection("<words>Alla marcia</words>", xmlMetronome("quarter", "112"))+dynamic("mf")+
			xmlNote("F2", "24", articulation("staccato")),
		`<measure number="1">`+xmlLeft(xForth)+xmlNote("Bb2", "24.", articulation("accent"))+xmlNote("C3", "12")+
			xmlNote("D3", "24", articulation("tenuto"))+xmlNote("E3", "24", "<accidental>natural</accidental>"),
		`<measure number="2">`+xmlDirection(`<wedge type="crescendo"/>`)+xmlNote("Eb3", "24")+xmlNote("F3", "48.", xTieStart),
		`<measure number="3">`+xmlNote("F3", "24", xTieStop)+xmlDirection(`<wedge type="stop"/>`)+dynamic("ff")+
			xmlNote("F#3", "24", "<accidental>sharp</accidental>", articulation("strong-accent"))+xmlNote("F#3", "24")+xmlNote("r", "24"),
		`<measure number="4">`+xmlLeft(`<ending number="1" type="start"/>`)+xmlNote("Bb3", "48")+xmlNote("r", "48")+
			xmlBarline(`<ending number="1" type="stop"/>`+xBack),
		`<measure number="5">`+xmlLeft(`<ending number="2" type="start"/>`)+dynamic("sfz")+xmlNote("Bb2", "96", "<fermata/>")+
			xmlBarline(`<bar-style>light-heavy</bar-style><ending number="2" type="stop"/>`),
	), `X:1
T:Test
M:4/4
L:1/8
Q:"Alla marcia" 1/4=112
K:Bb clef=bass
!mf! .F,,2 |: !>!B,,3 C, !tenuto!D,2 =E,2 | !<(! E,2 F,6- | F,2 !<)! !ff! !marcato!^F,2 F,2 z2 |
|1 B,4 z4 :|2 !sfz! HB,,8 |]
`)
}

// TestSameSlowDance: compound meter, slurs, triplets, grace notes, trill,
// breath, changes of meter, key and tempo, multi-measure rest.
func TestSameSlowDance(t *testing.T) {
	sameMusic(t, xmlScore(
		xmlAttributes(1, "minor", "6/8", "C4")+xmlDirection("<metronome><beat-unit>quarter</beat-unit><beat-unit-dot/><per-minute>50</per-minute></metronome>")+
			dynamic("p")+xmlNote("E4", "24", xSlurStart)+xmlNote("F#4", "12")+xmlNote("G4", "24.", xSlurStop),
		xmlNote("{A4}", "12", xSlurStart)+xmlNote("G4", "24.", `<ornaments><trill-mark/></ornaments>`)+xmlNote("F#4", "6", xTriplet)+
			xmlNote("E4", "6", xTriplet)+xmlNote("D#4", "6", xTriplet, "<accidental>sharp</accidental>")+xmlNote("E4", "12", xSlurStop, articulation("breath-mark"))+xmlNote("r", "12"),
		`<attributes><measure-style><multiple-rest>2</multiple-rest></measure-style></attributes><note><rest measure="yes"/><duration>72</duration></note>`,
		`<note><rest measure="yes"/><duration>72</duration></note>`,
		`<attributes><key><fifths>-3</fifths><mode>major</mode></key>`+xmlTime("2+3/8")+xmlClef("F4")+"</attributes>"+
			xmlDirection("<words>Presto</words>")+xmlNote("Ab2", "12", xSlurStart)+xmlNote("Bb2", "12", xSlurStop)+xmlNote("C3", "24.")+
			xmlBarline("<bar-style>light-light</bar-style>"),
		xmlNote("Eb3", "12.")+xmlNote("D3", "6")+xmlNote("Eb3", "24", xTieStart)+xmlNote("Eb3", "12", xTieStop),
	), `X:1
T:Test
M:6/8
L:1/8
Q:3/8=50
K:Em clef=tenor
!p! (E2 F G3) | ({/A}TG3 (3F/E/^D/ !breath!E) z | Z2 |
[K:Eb clef=bass][M:2+3/8][Q:"Presto"] (A,,B,,) C,3 || E,>D, E,2-E, |]
`)
}

// TestSameReturn: signs and jumps, cut time, tenor and bass clef, accents, a
// glissando, double accidentals, staccato with tenuto, words.
func TestSameReturn(t *testing.T) {
	sameMusic(t, xmlScore(
		xmlAttributes(4, "major", "cut", "F4")+dynamic("f")+xmlNote("E3", "48", `<glissando type="start"/>`)+xmlNote("B3", "48", `<glissando type="stop"/>`),
		xmlDirection("<segno/>")+xmlNote("F##3", "24", "<accidental>double-sharp</accidental>", articulation("staccato")+articulation("tenuto"))+
			xmlNote("G#3", "24")+xmlDirection("<words>dolce</words>")+xmlNote("A3", "48"),
		xmlNote("G#3", "48.")+xmlNote("F#3", "24")+`<direction><direction-type><words>To Coda</words></direction-type></direction>`,
		xmlDirection(`<wedge type="diminuendo"/>`)+xmlNote("E3", "96")+xmlDirection(`<wedge type="stop"/>`),
		dynamic("pp")+xmlNote("E4", "48", articulation("staccatissimo"))+xmlNote("r", "48")+xmlDirection("<words>D.S. al Coda</words>"),
		"<attributes>"+xmlClef("C4")+"</attributes>"+xmlDirection("<coda/>")+xmlNote("B3", "96", xTieStart),
		xmlNote("B3", "96", xTieStop)+xmlBarline("<bar-style>light-heavy</bar-style>"),
	), `X:1
T:Test
M:C|
L:1/4
K:E bass
!f! !glissando(! E,2 !glissando)! B,2 | !segno! .!tenuto!^^F, G, "^dolce" A,2 | G,3 F, !dacoda! |
!>(! E,4 !>)! | !pp! !wedge! E2 z2 !D.S.! | [K:clef=tenor] !coda! B,4- | B,4 |]
`)
}

// TestSameDemo: a part of the project's own demo season, written out in abc in
// testdata.
func TestSameDemo(t *testing.T) {
	for _, name := range []string{"harbor-parade", "iron-quay"} {
		xml, err := os.ReadFile("../../demo/season/" + name + ".musicxml")
		if err != nil {
			t.Fatal(err)
		}
		tune, err := os.ReadFile("testdata/" + name + ".abc")
		if err != nil {
			t.Fatal(err)
		}
		t.Run(name, func(t *testing.T) { sameMusic(t, string(xml), string(tune)) })
	}
}
