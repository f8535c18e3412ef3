package abc

import (
	"fmt"
	"strings"
	"testing"

	"waterkey/score"
)

// The examples in this file, too, are those of "The abc music standard 2.1";
// each test names the section.

// TestRepeats: 4.8.
func TestRepeats(t *testing.T) {
	for _, tt := range []struct{ code, bars, order string }{
		{"C8|D8|]", "1=1 2=1", "0 1"},
		{"|:C8|D8:|E8|", "|:1=1 2=1:|x2 3=1", "0 1 0 1 2"},
		{"C8|D8:|E8|", "1=1 2=1:|x2 3=1", "0 1 0 1 2"},
		{"|:C8::D8:|", "|:1=1:|x2 |:2=1:|x2", "0 0 1 1"},
		{"|:C8:|:D8:|", "|:1=1:|x2 |:2=1:|x2", "0 0 1 1"},
		{"|:C8:||:D8:|", "|:1=1:|x2 |:2=1:|x2", "0 0 1 1"},
		{"|::C8::|D8|", "|:1=1:|x3 2=1", "0 0 0 1"},
		{"C8::|D8|", "1=1:|x3 2=1", "0 0 0 1"},
		// Without a start: from the latest double bar line or end of a repeat.
		{"C8||D8:|E8:|", "1=1 |:2=1:|x2 3=1:|x2", "0 1 1 2 2"},
		{"C8.|D8[|]E8|[|F8[|:::G8:::|]", "1=1 2=1 3=1 4=1 |:5=1:|x4", "0 1 2 3 4 4 4 4"},
	} {
		p := read(t, tune4(tt.code))
		equal(t, tt.code, barsOf(p), tt.bars)
		order, err := p.Order()
		if err != nil {
			t.Fatal(err)
		}
		equal(t, tt.code+" in order", strings.Trim(fmt.Sprint(order), "[]"), tt.order)
	}
}

// TestEndings: 4.9 and 4.10.
func TestEndings(t *testing.T) {
	for _, tt := range []struct{ code, bars, order string }{
		{"faf gfe|[1 dfe dBA:|[2 d2e dcB|]", "1=3/4 2=3/4[1]:|x2 3=3/4[2]", "0 1 0 2"},
		{"|:faf gfe|1 dfe dBA:|2 d2e dcB|]", "|:1=3/4 2=3/4[1]:|x2 3=3/4[2]", "0 1 0 2"},
		{"|:A6| [1 B6 :| [2 c6 :| [3 d6 :| [4 e6 |]", "|:1=3/4 2=3/4[1]:|x2 3=3/4[2]:|x2 4=3/4[3]:|x2 5=3/4[4]", "0 1 0 2 0 3 0 4"},
		{"|:A6|[1,3 B6:|[2,4 c6:|d6|]", "|:1=3/4 2=3/4[1 3]:|x2 3=3/4[2 4]:|x2 4=3/4", "0 1 0 2 0 1 0 2 3"},
		{"|:A6|[1-3 B6:|[4 c6||d6|]", "|:1=3/4 2=3/4[1 2 3]:|x2 3=3/4[4] 4=3/4", "0 1 0 1 0 1 0 2 3"},
		{"|:A6|[1,3,5-7 B6:|[2,4,8 c6:|", "|:1=3/4 2=3/4[1 3 5 6 7]:|x2 3=3/4[2 4 8]:|x2", "0 1 0 2 0 1 0 2 0 1 0 1 0 1 0 2"},
	} {
		p := read(t, withHeader("M:6/8\nL:1/8\nK:C", tt.code))
		equal(t, tt.code, barsOf(p), tt.bars)
		order, err := p.Order()
		if err != nil {
			t.Fatal(err)
		}
		equal(t, tt.code+" in order", strings.Trim(fmt.Sprint(order), "[]"), tt.order)
	}
}

// slursOf marks the notes that are slurred on with an underscore.
func slursOf(p *score.Part) string {
	s := ""
	for _, n := range p.Notes {
		s += n.Pitch.Name()
		if n.SlurTo {
			s += "_"
		}
	}
	return s
}

// TestTiesAndSlurs: 4.11.
func TestTiesAndSlurs(t *testing.T) {
	p := read(t, tune4("abc-|cba"))
	equal(t, "tie over the bar", soundOf(p), "A5 1/8, B5 1/8, C5 1/4, B5 1/8, A5 1/8")
	if n := p.Notes[2]; len(n.Pieces) != 2 || n.Pieces[1].Bar != 1 || n.Pieces[0].Duration != score.Frac(1, 8) {
		t.Errorf("pieces %+v", n.Pieces)
	}
	equal(t, "tie in the bar", soundOf(read(t, tune4("c4-c4"))), "C5 1")
	if n := read(t, tune4("!accent!C4-H!breath!C4")).Notes[0]; n.Marks != score.Accent|score.Fermata|score.BreathAfter {
		t.Errorf("the marks of tied notes are %b", n.Marks)
	}
	equal(t, "dotted tie", soundOf(read(t, tune4("C.-C"))), "C4 1/4")
	for _, tt := range []struct{ code, want string }{
		{"(DEFG)A", "D_E_F_GA"}, {"  ( D E F G )  A", "D_E_F_GA"}, {"(c (d e f) g a)c", "C_D_E_F_G_AC"},
		{"(c d (e) f g a)c", "C_D_E_F_G_AC"}, {".(cde)f", "C_D_EF"}, {"(cd)(ef)g", "C_DE_FG"},
	} {
		p := read(t, withHeader("M:none\nL:1/8\nK:C", tt.code))
		equal(t, tt.code, slursOf(p), tt.want)
		saysNothing(t, p)
	}
	// A tie takes the accidental along, a slur does not.
	equal(t, "accidental over the bar", pitchesOf(read(t, tune4("^c8-|c4 c4|c8"))), "C#5 C5 C5")
	says(t, read(t, tune4("c4 -d4|(e8")), "a tie leads to no note", "a slur that never ends")
}

// TestGraceNotes: 4.12.
func TestGraceNotes(t *testing.T) {
	p := read(t, tune4("{GdGe}c4 {/g}C2 {/gagab}C2|"))
	equal(t, "notes", soundOf(p), "{G4}, {D5}, {G4}, {E5}, C5 1/2, {G5}, C4 1/4, {G5}, {A5}, {G5}, {A5}, {B5}, C4 1/4")
	for i, slashed := range []bool{false, false, false, false, false, true, false, true} {
		if p.Notes[i].Slashed != slashed {
			t.Errorf("note %d: slashed %v", i, !slashed)
		}
	}
	p = read(t, tune4("!trill!{!accent!c}d4"))
	if p.Notes[0].Marks != score.Accent || p.Notes[1].Marks != score.Trill {
		t.Errorf("marks %b and %b", p.Notes[0].Marks, p.Notes[1].Marks)
	}
	equal(t, "with lengths", soundOf(read(t, tune4("{a3/2b/}c4{a>b}c4"))), "{A5}, {B5}, C5 1/2, {A5}, {B5}, C5 1/2")
}

// TestDecorations: the shorthand and the table of 4.14.
func TestDecorations(t *testing.T) {
	for code, want := range map[string]score.Mark{
		".": score.Staccato, "~": score.OtherOrnament, "H": score.Fermata, "L": score.Accent, "M": score.OtherOrnament,
		"P": score.OtherOrnament, "T": score.Trill,
		"!trill!": score.Trill, "!lowermordent!": score.OtherOrnament, "!uppermordent!": score.OtherOrnament,
		"!mordent!": score.OtherOrnament, "!pralltriller!": score.OtherOrnament, "!roll!": score.OtherOrnament,
		"!turn!": score.OtherOrnament, "!turnx!": score.OtherOrnament, "!invertedturn!": score.OtherOrnament,
		"!invertedturnx!": score.OtherOrnament, "!>!": score.Accent, "!accent!": score.Accent, "!emphasis!": score.Accent,
		"!fermata!": score.Fermata, "!invertedfermata!": score.Fermata, "!tenuto!": score.Tenuto, "!wedge!": score.Staccatissimo,
		"!breath!": score.BreathAfter, "!slide!": score.Falloff, ".!tenuto!": score.Staccato | score.Tenuto,
		"!1!": 0, "!5!": 0, "!trill! !>!": score.Trill | score.Accent, "!marcato!": score.Marcato,
	} {
		p := read(t, tune4(code+"C D"))
		if got := p.Notes[0].Marks; got != want {
			t.Errorf("%s gives marks %b, want %b", code, got, want)
		}
		if p.Notes[1].Marks != 0 {
			t.Errorf("%s marks the second note", code)
		}
		saysNothing(t, p)
	}
	for _, code := range []string{"u", "v", "!arpeggio!", "!snap!", "!upbow!", "!downbow!", "!open!", "!thumb!", "!+!", "!plus!",
		"!shortphrase!", "!mediumphrase!", "!longphrase!", "!unknown!"} {
		p := read(t, tune4(code+"C D"))
		if p.Notes[0].Marks != 0 {
			t.Errorf("%s gives marks %b", code, p.Notes[0].Marks)
		}
		says(t, p, "bar 1 (line 6): the mark !")
	}
}

// TestDynamics: 4.14.
func TestDynamics(t *testing.T) {
	for _, mark := range []string{"pppp", "ppp", "pp", "p", "mp", "mf", "f", "ff", "fff", "ffff"} {
		p := read(t, tune4("C4!"+mark+"!D4|E8"))
		if d := p.Dynamics; len(d) != 1 || d[0].Mark != mark || d[0].At != score.Frac(1, 2) || d[0].Bar != 0 {
			t.Errorf("!%s! gives %v", mark, d)
		}
	}
	if p := read(t, tune4("C4 !sfz!{e}D4")); p.Notes[2].Attack != "sfz" || p.Notes[0].Attack != "" || p.Notes[1].Attack != "" {
		t.Errorf("sfz: %+v", p.Notes)
	}
	for _, tt := range []struct {
		open, close string
		grow        bool
	}{{"<(", "<)", true}, {"crescendo(", "crescendo)", true}, {">(", ">)", false}, {"diminuendo(", "diminuendo)", false}} {
		p := read(t, tune4("C4!"+tt.open+"!D4|E4 !"+tt.close+"!F4|"))
		want := score.Wedge{From: score.Frac(1, 2), To: score.Frac(3, 2), FromBar: 0, ToBar: 1, Grow: tt.grow}
		if len(p.Wedges) != 1 || p.Wedges[0] != want {
			t.Errorf("!%s!: %+v", tt.open, p.Wedges)
		}
	}
	says(t, read(t, tune4("!<(!C4!>)!D4")), "a hairpin that never ends", "the end of a hairpin without a start")
}

// TestMarksBeforeBrokenRhythm: what stands between a note and the sign of broken
// rhythm moves with the end of the note.
func TestMarksBeforeBrokenRhythm(t *testing.T) {
	p := read(t, tune4("!<(!C2!f![K:G][M:3/4][Q:1/4=60][K:bass]\"^x\"!<)!!>(!!sfz!>D2!>)!|"))
	at := score.Frac(3, 8)
	if p.Dynamics[0].At != at || p.Keys[1].At != at || p.Meters[1].At != at || p.Tempos[0].At != at || p.Clefs[1].At != at ||
		p.Words[0].At != at || p.Wedges[0].To != at || p.Wedges[1].From != at || p.Notes[1].Attack != "sfz" {
		t.Errorf("not at %s: %v %v %v %v %v %v %v", at, p.Dynamics, p.Keys, p.Meters, p.Tempos, p.Clefs, p.Words, p.Wedges)
	}
}

// TestLeads: 4.14; signs before a bar line are for the bar behind it.
func TestLeads(t *testing.T) {
	p := read(t, tune4("C8|!segno!D8|E8!dacoda!|F8!D.S.!|!coda!G8|A8!fine!|]"))
	order, err := p.Order()
	if err != nil {
		t.Fatal(err)
	}
	equal(t, "D.S. al coda", fmt.Sprint(order), "[0 1 2 3 1 2 4 5]")
	p = read(t, tune4("C8|D8 !fine!|E8|F8|]!D.C.!"))
	order, _ = p.Order()
	equal(t, "D.C. al fine", fmt.Sprint(order), "[0 1 2 3 0 1]")
	p = read(t, tune4("C8!segno!|D8|!coda! y E8 | F8 S y|"))
	for i, want := range []jump{{}, {segno: true}, {coda: true}, {segno: true}} {
		if b := p.Bars[i]; b.Segno != want.segno || b.Coda != want.coda {
			t.Errorf("bar %d: segno %v, coda %v", i, b.Segno, b.Coda)
		}
	}
	p = read(t, tune4(`C8|D8|"^D.C. al Fine"E8|"_andante"F8|"^dolce"G8`))
	if !p.Bars[2].DaCapo || len(p.Tempos) != 1 || p.Tempos[0].Text != "andante" || len(p.Words) != 1 || p.Words[0].Text != "dolce" {
		t.Errorf("annotations: %+v %v %v", p.Bars, p.Tempos, p.Words)
	}
}

// TestUserSymbols: 4.16.
func TestUserSymbols(t *testing.T) {
	p := read(t, withHeader("U: T = !fermata!\nU: U = !trill!\nU: p = \"^+\"\nU: H = !nil!\nL:1/4\nK:C", "TCUDpEHF"))
	for i, want := range []score.Mark{score.Fermata, score.Trill, 0, 0} {
		if got := p.Notes[i].Marks; got != want {
			t.Errorf("note %d has marks %b, want %b", i, got, want)
		}
	}
	if len(p.Words) != 1 || p.Words[0].Text != "+" || p.Words[0].At != score.Frac(1, 2) {
		t.Errorf("words %v", p.Words)
	}
}

// TestChords: 4.17.
func TestChords(t *testing.T) {
	code := "[CEGc] [C2E2G2]3|[d2f2][ce][df]|[DD]4[CEG]->[CEG]|[^F2A,]"
	code = withHeader("L:1/8\nK:C", code)
	top := read(t, code)
	equal(t, "top", soundOf(top), "C5 1/8, G4 3/4, F5 1/4, E5 1/8, F5 1/8, D4 1/2, G4 1/4, F#4 1/4")
	bottom := readSelected(t, code, score.Selection{Line: score.Bottom})
	equal(t, "bottom", soundOf(bottom), "C4 1/8, C4 3/4, D5 1/4, C5 1/8, D5 1/8, D4 1/2, C4 1/4, A3 1/4")
	says(t, top, "bars 1 to 4 (line 5): the lower notes of chords were left out")
	says(t, bottom, "bars 1 to 4 (line 5): the upper notes of chords were left out")
	// The long example there, with slur, accent, chord symbols and a tie.
	p := read(t, withHeader("L:1/4\nK:C", `( "^I" !f! [CEG]- > [CEG] "^IV" [F=AC]3/2"^V"[GBD]/  H[CEG]2 )`))
	equal(t, "example", soundOf(p), "G4 1/2, A4 3/8, B4 1/8, G4 1/2")
	equal(t, "slur", slursOf(p), "G_A_B_G")
	if p.Notes[3].Marks != score.Fermata || p.Dynamics[0].Mark != "f" || p.Notes[0].Pieces[0].Duration != score.Frac(3, 8) {
		t.Errorf("marks: %+v %+v", p.Notes, p.Dynamics)
	}
}

// TestOrder: 4.20.
func TestOrder(t *testing.T) {
	p := read(t, tune4(`~^c'3 "Gm7"v.=G,2 =G,2- z|"C"[CEGc]|"Gm7"[.=G,^c']|"Gm7"(v.=G,2~^c'2)`))
	equal(t, "notes", soundOf(p), "C#6 3/8, G3 1/4, G3 1/4, C5 1/8, C#6 1/8, G3 1/4, C#6 1/4")
	if p.Notes[1].Marks != score.Staccato || p.Notes[4].Marks != score.Staccato || !p.Notes[5].SlurTo {
		t.Errorf("marks: %+v", p.Notes)
	}
}

// TestFieldsInBody: 3.2, the two excerpts, and 6.1.1, joined lines.
func TestFieldsInBody(t *testing.T) {
	a := read(t, withHeader("M:6/8\nL:1/8\nK:C", "E2E EFE|E2E EFG|[M:9/8] A2G F2E D2|]"))
	b := read(t, withHeader("M:6/8\nL:1/8\nK:C", "E2E EFE|E2E EFG|\\\nM:9/8\nA2G F2E D2|]"))
	for _, p := range []*score.Part{a, b} {
		equal(t, "bars", barsOf(p), "1=3/4 2=3/4 3=1")
		if m := p.Meters; len(m) != 2 || m[1].Bar != 2 || m[1].Meter.Beats != 9 || p.Bars[2].Meter.Beats != 9 || p.Bars[1].Meter.Beats != 6 {
			t.Errorf("meters %v", m)
		}
	}
	equal(t, "notes", soundOf(a), soundOf(b))
	want := soundOf(read(t, withHeader("M:none\nL:1/8\nK:C", "abc cba|abc cba|")))
	for _, code := range []string{"abc cba|\\ % end of line comment\nabc cba|", "abc \\\ncba|abc cba|", "abc\\\n%%setbarnb 10\n%comment\n cba|[r:remark]abc cba|"} {
		equal(t, code, soundOf(read(t, withHeader("M:none\nL:1/8\nK:C", code))), want)
	}
}

// TestReservedCharacters: 8.1, the example with a quotation mark closed.
func TestReservedCharacters(t *testing.T) {
	a := read(t, tune4(`@a !pp! #bc2/3* [K:C#] de?f "@this $2was difficult to parse?" y |**`))
	b := read(t, tune4(`a !pp! bc2/3 [K:C#] def "@this $2was difficult to parse?" y |`))
	equal(t, "notes", soundOf(a), soundOf(b))
	equal(t, "notes", soundOf(a), "A5 1/8, B5 1/8, C5 1/12, D#5 1/8, E#5 1/8, F#5 1/8")
	if len(a.Words) != 1 || a.Words[0].Text != "this was difficult to parse?" {
		t.Errorf("words %v", a.Words)
	}
}

// TestOverlay: 7.4: the first voice is read, the others are passed over.
func TestOverlay(t *testing.T) {
	p := read(t, withHeader("M:6/8\nL:1/8\nK:C", "A2 | c d e f g  a  &\\\n     A A A A A  A  &\\\n     F E D C B, A, |]"))
	equal(t, "bars", barsOf(p), "0=1/4 1=3/4")
	equal(t, "notes", pitchesOf(p), "A4 C5 D5 E5 F5 G5 A5")
	p = read(t, withHeader("M:4/4\nL:1/8\nK:C", "g4 f4 | e6 e2 |\n&& (d8    | c6) c2|\ng8"))
	equal(t, "bars", barsOf(p), "1=1 2=1 3=1")
	equal(t, "notes", pitchesOf(p), "G5 F5 E5 E5 G5")
	says(t, p, "the voices laid over with & were left out")
}

// TestText: 8.2 and 14.1.
func TestText(t *testing.T) {
	for code, want := range map[string]string{
		"\\`A\\`a\\`e\\`o": "Ààèò", `\'A\'a\'e\'o`: "Ááéó", `\^A\^a\^e\^o`: "Ââêô", `\~A\~a\~n\~o`: "Ããñõ",
		`\"A\"a\"e\"o`: "Ääëö", `\cC\cc`: "Çç", `\AA\aa`: "Åå", `\/O\/o`: "Øø", `\uA\ua\uE\ue`: "ĂăĔĕ", `\vS\vs\vZ\vz`: "ŠšŽž",
		`\HO\Ho\HU\Hu`: "ŐőŰű", `\ss\AE\ae\oe`: "ßÆæœ", `\OE\DH\dh\TH\th`: "ŒÐðÞþ", `\u00e9\U000000e9`: "éé", `&eacute;&Scaron;`: "éŠ",
		`a \\ b`: `a \ b`, `50\%`: "50%", `gin & tonic`: "gin & tonic", `G\&T`: "G&T", `&quot;x&quot;`: `"x"`, `\u266d`: "♭",
		`a $1b$0 c $$5`: "a b c $5",
	} {
		equal(t, code, plainText(uncommented(code)), want)
	}
	equal(t, "title", read(t, "X:1\nT:Caf\\'e &amp; Bar % a comment\nC:A\nC:B\nK:C\nC").Title, "Café & Bar")
	equal(t, "composers", read(t, "X:1\nT:x\nC:A\nC:B\nK:C\nC").Composer, "A; B")
}
