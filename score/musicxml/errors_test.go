package musicxml

import (
	"errors"
	"strings"
	"testing"

	"waterkey/score"
)

// Every error says where it is and what would do.
func TestErrorsNameTheirPlace(t *testing.T) {
	c4 := note("C3", 4)
	cases := []struct{ name, text, want string }{
		{"negative duration", doc(c4, note("D3", -4)), `march.musicxml, part "Trombone", bar 2, line 15: duration -4 is negative`},
		{"no number", doc(c4, c4, "\n"+strings.Replace(c4, ">4<", ">x<", 1)), `march.musicxml, part "Trombone", bar 3, line 20: duration "x" is not a number`},
		{"absurd duration", doc(note("C3", 99999999)), `at most 4096`},
		{"no duration", doc("<note>" + pitchXML("C3") + "</note>"), `bar 1, line 11: <note> has no duration`},
		{"divisions 0", doc("<attributes><divisions>0</divisions></attributes>"), `divisions "0" is not a number above 0`},
		{"absurd divisions", doc("<attributes><divisions>99999999</divisions></attributes>"), "480 works"},
		{"no step", doc("<note><pitch><octave>3</octave></pitch><duration>4</duration></note>"), "lacks its step or octave"},
		{"wrong step", doc(strings.Replace(c4, "<step>C", "<step>H", 1)), `step "H" is not a letter from A to G`},
		{"wrong octave", doc(strings.Replace(c4, "<octave>3", "<octave>33", 1)), `octave "33" is not a whole number from 0 to 9`},
		{"alter", doc(strings.Replace(c4, "<octave>3", "<alter>9</alter><octave>3", 1)), `alter "9"`},
		{"type", doc(note("C3", 4, "<type>crotchet</type>")), `type "crotchet" is no note value; quarter is one`},
		{"meter", doc("<attributes><time><beats>0</beats><beat-type>4</beat-type></time></attributes>"), `beats "0"`},
		{"key", doc("<attributes><key><fifths>99</fifths></key></attributes>"), `fifths "99"`},
		{"transposition", doc("<attributes><transpose><chromatic>900</chromatic></transpose></attributes>"), `chromatic "900"`},
		{"repeat", doc(c4 + `<barline location="right"><repeat direction="backward" times="x"/></barline>`), `repeat times "x"`},
		{"ending", doc(c4 + `<barline location="left"><ending number="a" type="start"/></barline>`), `ending number "a"`},
		{"tuplet", doc(note("C3", 4, "<time-modification><actual-notes>0</actual-notes><normal-notes>2</normal-notes></time-modification>")), `actual-notes "0"`},
		{"cut short", doc(c4)[:500], `bar 1, line 11: not well-formed XML: an end tag has no name or is not closed: unexpected EOF`},
		{"two roots", doc(c4) + "<score-partwise/>", "a second document"},
		{"entity", strings.Replace(doc(c4), "Trombone", "&trombone;", 1), "line 6: not well-formed XML: invalid character entity"},
		{"other document", "<opus/>", "line 1: the document is a <opus>; want <score-partwise> or <score-timewise>"},
		{"no part", "<score-partwise/>", "the score has no part"},
		{"empty", "", "there is no XML element in it"},
		{"no XML", "MThd", "there is no XML element"},
		{"encoding", strings.Replace(doc(c4), "UTF-8", "EBCDIC-US", 1), "encoding EBCDIC-US is not read; save the file as UTF-8"},
		{"bad UTF-8", strings.Replace(doc(c4), "Trombone", "Tromb\xfcne", 1), "line 6: a byte is not valid UTF-8"},
		{"two parts with one id", strings.Replace(doc(c4), "</part>", `</part><part id="P1"></part>`, 1), `a second part has the id "P1"`},
		{"too deep", strings.Repeat("<a>", maxDepth+1), "nested more than 64 deep"},
		{"too fine", doc(tooFine()), "too fine to add exactly"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			d, err := Parse("dir/march.musicxml", []byte(c.text))
			if err == nil {
				p, partErr := d.Part(score.Selection{})
				if p != nil {
					t.Fatalf("was read, with %d notes; want an error", len(p.Notes))
				}
				err = partErr
			} else if d != nil {
				t.Fatal("a document came with the error")
			}
			var e *score.ReadError
			if !errors.As(err, &e) || e.File != "march.musicxml" {
				t.Fatalf("%T %v is no *score.ReadError with its file", err, err)
			}
			if !strings.Contains(err.Error(), c.want) {
				t.Errorf("got  %s\nwant %s", err, c.want)
			}
		})
	}
}

// tooFine makes a bar whose notes have no common denominator in 64 bits.
func tooFine() string {
	s := ""
	for _, n := range []string{"999983", "999979", "999961", "999959"} { // primes
		s += "<attributes><divisions>" + n + "</divisions></attributes>" + note("C3", 1)
	}
	return s
}

func TestOpenNoFile(t *testing.T) {
	_, err := Open("nowhere/march.musicxml")
	var e *score.ReadError
	if !errors.As(err, &e) || e.File != "march.musicxml" || e.Unwrap() == nil {
		t.Errorf("got %v; want an *score.ReadError with its cause", err)
	}
}

func TestContainerErrors(t *testing.T) {
	const index = "META-INF/container.xml"
	cases := []struct {
		name, want string
		data       []byte
	}{
		{"no index", "has no file META-INF/container.xml", zipped(t, "score.xml", doc(""))},
		{"no score named", "names no score", zipped(t, index, "<container/>")},
		{"score missing", "has no file score.xml", zipped(t, index, container)},
		{"bomb", "at most", zipped(t, index, container, "score.xml", strings.Repeat(" ", ratioFree*2))},
		{"cut short", "cannot be opened", zipped(t, index, container)[:60]},
		{"too many files", "1001 files", zipped(t, strings.Split(strings.Repeat("a||", maxEntries)+"a|", "|")...)},
	}
	for _, c := range cases {
		if d, err := Parse("x.mxl", c.data); err == nil || d != nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v, want %q", c.name, err, c.want)
		}
	}
}

func TestPartSelection(t *testing.T) {
	text := doc(note("C3", 4))
	text = strings.Replace(text, "</score-part>", `</score-part><score-part id="P2"><part-name>Trombone 2</part-name></score-part><score-part id="P3"><part-name>Tuba</part-name></score-part>`, 1)
	text = strings.Replace(text, "</part>", `</part><part id="P2"><measure number="1"/></part><part id="P3"><measure number="1"/></part>`, 1)
	d := parse(t, text)
	for want, id := range map[string]string{"": "P1", "P2": "P2", "trombone": "P1", "TROMBONE 2": "P2", "3": "P3", "tu": "P3"} {
		if p, err := d.Part(score.Selection{Part: want}); err != nil || p.ID != id {
			t.Errorf("part %q: got %v, %v; want %s", want, p, err, id)
		}
	}
	for want, says := range map[string]string{
		"Horn": `no part is called "Horn"; the parts are "Trombone", "Trombone 2", "Tuba"`,
		"t":    `"t" is the start of several parts' names: "Trombone", "Trombone 2", "Tuba"`,
		"4":    "no part is called",
	} {
		if p, err := d.Part(score.Selection{Part: want}); p != nil || err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("part %q: got %v; want %s", want, err, says)
		}
	}
}
