package abc

import (
	"fmt"
	"strings"
	"testing"

	"golang.org/x/text/encoding/charmap"

	"waterkey/score"
)

// TestClefs: the table of 4.6 and the octave signs.
func TestClefs(t *testing.T) {
	for _, tt := range []struct{ value, name, pitch string }{
		{"K:C treble", "treble", "C4"}, {"K:C bass", "bass", "C4"}, {"K:C bass3", "baritone", "C4"}, {"K:C tenor", "tenor", "C4"},
		{"K:C alto", "alto", "C4"}, {"K:C alto2", "mezzo-soprano", "C4"}, {"K:C alto1", "soprano", "C4"}, {"K: clef=bass", "bass", "C4"},
		{"K:C", "treble", "C4"}, {"K:C perc", "percussion", "C4"}, {"K:C clef=treble-8", "treble (octave down)", "C3"},
		{"K:C treble+8", "treble (octave up)", "C5"}, {"K:C bass-8 octave=1", "bass (octave down)", "C4"}, {"K:C octave=-2", "treble", "C2"},
		{"K:C clef=unheard", "treble", "C4"}, {"K:C alto m=C", "alto", "C4"},
		// middle= sets the line of the clef: A, is the tenor's, B, that of F on the third line.
		{"K:C alto middle=A,", "tenor", "C4"}, {"K:C bass middle=F,", "baritone", "C4"},
	} {
		p := read(t, "X:1\nT:T\n"+tt.value+"\nC|")
		equal(t, tt.value, p.Clefs[0].Clef.String(), tt.name)
		equal(t, tt.value, pitchesOf(p), tt.pitch)
	}
	if c := read(t, "X:1\nT:T\nK:C bass3\nC").Clefs[0].Clef; c.Line != 3 {
		t.Errorf("bass3 stands on line %d", c.Line)
	}
	// A voice's clef goes before the key's, and a change lists a second mark.
	p := read(t, withHeader("L:1/4\nV:1 bass\nK:C treble", "C4|[K:tenor]C4|[V:1 alto]C4|[K:alto]"))
	var clefs []string
	for _, c := range p.Clefs {
		clefs = append(clefs, fmt.Sprintf("%s in %d", c.Clef, c.Bar))
	}
	equal(t, "clefs", strings.Join(clefs, ", "), "bass in 0, tenor in 1, alto in 2")
}

// TestTransposition: 4.6: the page stays, the sound moves.
func TestTransposition(t *testing.T) {
	for value, want := range map[string]string{
		"C transpose=-2": "Bb3 C4 Eb4 F4", "C t=-2": "Bb3 C4 Eb4 F4", "C transpose=-14": "Bb2 C3 Eb3 F3", "C transpose=3": "Eb4 F4 Ab4 Bb4",
		"C bass middle=d transpose=-24": "C2 D2 F2 G2",
	} {
		p := read(t, withHeader("L:1/4\nK:"+value, "CDFG"))
		equal(t, value, pitchesOf(p), want)
		saysNothing(t, p)
	}
	p := read(t, withHeader("L:1/4\nK:Am transpose=-2", "^C4"))
	if n := p.Notes[0]; n.Written.String() != "C#4" || n.Pitch.String() != "B3" || p.Bars[0].Key.Fifths != 0 {
		t.Errorf("written %s sounds %s in %v", n.Written, n.Pitch, p.Bars[0].Key)
	}
	for _, directive := range []string{"%%transpose -2", "%%MIDI transpose -2", "I:transpose 3"} {
		p := read(t, withHeader(directive+"\nL:1/4\nK:C", "C4"))
		equal(t, directive, pitchesOf(p), "C4")
		says(t, p, "line 3: the directive")
	}
}

// TestKeyChange: a field that names a clef only keeps the key; accidentals end
// with their bar, and a tie takes them across.
func TestKeyChange(t *testing.T) {
	p := read(t, withHeader("L:1/4\nM:2/4\nK:D", "FC|[K:clef=bass]FC|[K:Bb]BE|[K:none]BE|[K:G]FF|[K:G]=F2-|FF|"))
	equal(t, "pitches", pitchesOf(p), "F#4 C#4 F#4 C#4 Bb4 Eb4 B4 E4 F#4 F#4 F4 F#4")
	var keys []string
	for _, k := range p.Keys {
		keys = append(keys, fmt.Sprintf("%s in %d", k.Key.Name(), k.Bar))
	}
	equal(t, "keys", strings.Join(keys, ", "), "D major in 0, Bb major in 2, C major in 3, G major in 4")
	if p.Bars[2].Key.Fifths != -2 || p.Bars[3].Key.Fifths != 0 || p.Bars[5].Key.Fifths != 1 {
		t.Errorf("bars %+v", p.Bars)
	}
}

// TestBarNumbers: pickup, divided bars, and the directives of 11.4.4.
func TestBarNumbers(t *testing.T) {
	for code, want := range map[string]string{
		"C2|D8|E6:|F2|G8|":        "0=1/4 1=1 2=3/4:|x2 =1/4 3=1",
		"C8|D4|E4|F8|":            "1=1 2=1/2 3=1/2 4=1", // plain bar lines divide nothing
		"C8|D4 [1 E4:|[2 F4|G8|]": "1=1 2=1/2 =1/2[1]:|x2 3=1/2[2] 4=1[2]",
		"C8|[I:setbarnb 10]D8|E8": "1=1 10=1 11=1",
		"C8| | D8 ||\n|| E8":      "1=1 2=1 3=1",
		"{c}|D8|":                 "1=1 2=1",
	} {
		equal(t, code, barsOf(read(t, tune4(code))), want)
	}
	equal(t, "measurefirst", barsOf(read(t, withHeader("M:4/4\n%%measurefirst 5\nK:C", "C2|D8|E8"))), "4=1/4 5=1 6=1")
	p := read(t, tune4("|:C8|1D8:|2E8|F8|"))
	equal(t, "open ending", barsOf(p), "|:1=1 2=1[1]:|x2 3=1[2] 4=1[2]")
	says(t, p, "bar 3 (line 6): an ending that is never closed was read to the end of the tune")
}

// TestDialects: 12.1 and 10.4.
func TestDialects(t *testing.T) {
	for _, tt := range []struct{ fields, code string }{
		{"I:linebreak !\n", "+trill+CD!EF!|"}, {"I:decoration +\n", "+trill+CDEF|"}, {"%%continueall true\n", "+trill+CDEF!|"},
		{"I:linebreak $\n", "!trill!CD$EF|"}, {"", "!trill!CD!\nEF|"}, {"I:decoration +\nI:decoration !\n", "!trill!CDEF|"},
	} {
		p := read(t, withHeader(tt.fields+"L:1/4\nK:C", tt.code))
		equal(t, tt.fields+tt.code, pitchesOf(p), "C4 D4 E4 F4")
		if p.Notes[0].Marks != score.Trill {
			t.Errorf("%s%s: no trill", tt.fields, tt.code)
		}
		saysNothing(t, p)
	}
	says(t, read(t, tune4("+trill+C")), `"+" means nothing here`)
}

// TestEncodings: 8 and the charset field of 3.1.17.
func TestEncodings(t *testing.T) {
	text := "%abc-2.1\nX:1\nT:Café\nL:1/4\nK:C\nCD|\nEF|\n\n"
	latin1, _ := charmap.ISO8859_1.NewEncoder().String(text)
	for name, data := range map[string]string{
		"UTF-8": text, "byte order mark": "\xEF\xBB\xBF" + text, "ISO-8859-1": latin1,
		"Windows lines": strings.ReplaceAll(text, "\n", "\r\n"), "Macintosh lines": strings.ReplaceAll(text, "\n", "\r"),
	} {
		p := read(t, data)
		equal(t, name, p.Title, "Café")
		equal(t, name, pitchesOf(p), "C4 D4 E4 F4")
		if p.Notes[3].Line != 7 {
			t.Errorf("%s: the last note is in line %d, want 7", name, p.Notes[3].Line)
		}
	}
	latin2, _ := charmap.ISO8859_2.NewEncoder().String("I:abc-charset ISO-8859-2\n\nX:1\nT:Dvořák\nK:C\nC")
	equal(t, "ISO-8859-2", read(t, latin2).Title, "Dvořák")
}

// TestPassedOver: what the reader leaves out is said.
func TestPassedOver(t *testing.T) {
	for _, tt := range []struct{ text, want string }{
		{"T:T\nK:C\nC", "line 1: the tune has no X: field; it was read as the only tune"},
		{"X:1\nT:T\nm: ~G3 = G{A}G{F}G\nK:C\n~G3", `line 3: the macro "~G3 = G{A}G{F}G" was left out`},
		{"X:1\nT:T\nK:C\nC\ns: !f!", "bar 1 (line 5): a line of symbols (s:) was left out"},
		{"X:1\nT:T\nI:abc-include defs.abh\nK:C\nC", `line 3: the file "defs.abh" was not included`},
		{"X:1\nT:T\nK:C\nC\n\nsome text", "bar 1 (line 6): text after the empty line that ends the tune"},
		{"X:1\nT:T\nj:x\nK:C\nC", "line 3: the field j: was left out"},
		{"X:1\nT:T\nQ:1/4=fast\nK:C\nC", `line 3: the tempo "1/4=fast" was left out`},
		{"X:1\nT:T\nU:A=!trill!\nK:C\nC", `line 3: the definition "A=!trill!" was left out`},
		{"X:1\nT:T\nK:C\n[CE\nG", "a chord that is never closed"},
		{"X:1\nT:T\nK:C\n{CE\nG", "grace notes that are never closed"},
		{"X:1\nT:T\nK:C\nC>|D", "broken rhythm over a bar line"},
		{"X:1\nT:T\nK:C\nC>D2", "broken rhythm between notes of different lengths"},
		{"X:1\nT:T\nK:C\n>D2", "a sign of broken rhythm without a note before it"},
		{"X:1\nT:T\nK:C\n(3C(3DEF", "a tuplet inside of another"},
		{"X:1\nT:T\nK:C\nC0D", "a note of length 0"},
		{"X:1\nT:T\nK:C\nZC", "a whole-bar rest without meter"},
		{"X:1\nT:T\nK:C\nC)D", "the end of a slur without a start"},
		{"X:1\nT:T\nK:C\n:|C", "the end of a repeat before any note"},
		{"X:1\nT:T\nK:C\nz-C", "a tie without a note before it"},
		{"X:1\nT:T\nK:C\nC!segno!|", "a segno or coda after the last note"},
		{"X:1\nT:T\nK:C\n!D.C.!|C", "a jump before the first note"},
		{"X:1\nT:T\nK:C\nC!fermata!|D", "a mark over a bar line was left out"},
		{"X:1\nT:T\nK:C\nC!trill!y D", "a mark over a space was left out"},
		{"X:1\nT:T\nK:C\n!sfz!z|C", "sfz without a note that starts there"},
		{"X:1\nT:T\nK:Hello\nC", `"Hello" in a K: or V: field was left out`},
		{"X:1\nT:T\nK:C\nC^D_ E", `"_" means nothing here`},
		{"X:1\nT:T\n%%propagate-accidentals sometimes\nK:C\nC", `propagate-accidentals "sometimes"`},
	} {
		says(t, read(t, tt.text), tt.want)
	}
	many := "X:1\nT:T\nK:C\n"
	for i := range 250 {
		many += fmt.Sprintf("!m%d!C", i)
	}
	const listed = 200 // see score.PassedOver
	p := read(t, many)
	if len(p.Skipped) != listed+1 || !strings.Contains(p.Skipped[listed], "50 more") {
		t.Errorf("%d sentences, the last %s", len(p.Skipped), p.Skipped[len(p.Skipped)-1])
	}
}

// TestBreaths: a breath mark over a bar line, a rest or a space comes after the
// note before it.
func TestBreaths(t *testing.T) {
	for _, code := range []string{"!breath!C D", "C !breath!| D", "C!breath!z D", "C !breath!y D"} {
		p := read(t, tune4(code))
		if p.Notes[0].Marks != score.BreathAfter || p.Notes[1].Marks != 0 {
			t.Errorf("%s: marks %b %b", code, p.Notes[0].Marks, p.Notes[1].Marks)
		}
	}
	r := read(t, tune4("C4 Hz4|")).Rests
	if len(r) != 1 || !r[0].Fermata || r[0].WholeBar || r[0].Value != score.Frac(1, 2) || r[0].ID != "b1n2" {
		t.Errorf("rest %+v", r)
	}
}

// TestUnseparatedTunes: an X: line with a bare number starts a tune even where
// the empty line before it is missing; other lines of letters are music.
func TestUnseparatedTunes(t *testing.T) {
	d, err := Parse("t.abc", []byte("X:1\nT:A\nK:C\nCD|\nX:2\nT:B\nK:C\nE|\nd:|\n%%begintext\n\nX:3\n%%endtext\n"))
	if err != nil {
		t.Fatal(err)
	}
	equal(t, "parts", fmt.Sprint(d.Parts()), "[{X1 A 2} {X2 B 2}]")
	p, err := d.Part(score.Selection{Part: "B"})
	if err != nil {
		t.Fatal(err)
	}
	equal(t, "bars", barsOf(p), "1=1/8 2=1/8:|x2")
}

// TestContinuedFields: 3.3.
func TestContinuedFields(t *testing.T) {
	p := read(t, "X:1\nT:A long\n% a comment\n+:title\nK:C\nC")
	equal(t, "title", p.Title, "A long title")
}
