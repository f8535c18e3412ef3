package abc

import (
	"fmt"
	"strings"
	"testing"

	"waterkey/score"
)

// The tunes in this file are those of section 13 of "The abc music standard
// 2.1" (traditional; the Canzonetta by Claudio Monteverdi), with most of their
// comments and text fields left out, and the example of section 7.

const english = `%abc-2.1
H:This file contains some example English tunes
O:England             % the origin of all tunes is England

X:1                   % tune no 1
T:Dusty Miller, The   % title
T:Binny's Jig         % an alternative title
C:Trad.
R:DH                  % double hornpipe
M:3/4                 % meter
K:G                   % key
B>cd BAG|FA Ac BA|B>cd BAG|DG GB AG:|
Bdd gfg|aA Ac BA|Bdd gfa|gG GB AG:|
BG G/2G/2G BG|FA Ac BA|BG G/2G/2G BG|DG GB AG:|
W:Hey, the dusty miller, and his dusty coat;

X:2
T:Old Sir Simon the King
C:Trad.
N:see also Playford   % reference note
M:9/8
K:G
D|GFG GAG G2D|GFG GAG F2D|EFE EFE EFG|A2G F2E D2:|
D|GAG GAB d2D|GAG GAB c2D|[1 EFE EFE EFG|A2G F2E D2:|\ % no line-break in score
M:12/8                % change of meter
[2 E2E EFE E2E EFG|\  % no line-break in score
M:9/8                 % change of meter
A2G F2E D2|]

X:3
T:William and Nancy
C:Trad.
P:(AB)2(AC)2A                 % play the parts in this order
M:6/8
K:G                        
[P:A] D|"G"G2G GBd|"C"e2e "G"dBG|"D7"A2d "G"BAG|"C"E2"D7"F "G"G2:|
[P:B] d|"G"e2d B2d|"C"gfe "G"d2d| "G"e2d    B2d|"C"gfe    "D7"d2c|
        "G"B2B Bcd|"C"e2e "G"dBG|"D7"A2d "G"BAG|"C"E2"D7"F "G"G2:|
% changes of meter, using inline fields
[T:Slows][M:4/4][L:1/4][P:C]"G"d2|"C"e2 "G"d2|B2 d2|"Em"gf "A7"e2|"D7"d2 "G"d2|\
       "C"e2 "G"d2|[M:3/8][L:1/8] "G"B2 d |[M:6/8] "C"gfe "D7"d2c|
        "G"B2B Bcd|"C"e2e "G"dBG|"D7"A2d "G"BAG|"C"E2"D7"F "G"G2:|
`

// TestDustyMiller: 13.1, twelve bars of 3/4 in three repeated lines.
func TestDustyMiller(t *testing.T) {
	p := read(t, english)
	equal(t, "title and composer", p.Title+" / "+p.Composer, "Dusty Miller, The / Trad.")
	equal(t, "bars", barsOf(p), "1=3/4 2=3/4 3=3/4 4=3/4:|x2 5=3/4 6=3/4 7=3/4 8=3/4:|x2 9=3/4 10=3/4 11=3/4 12=3/4:|x2")
	if order, err := p.Order(); err != nil || len(order) != 24 {
		t.Errorf("%d bars played, %v", len(order), err)
	}
	equal(t, "first bar", soundOf(&score.Part{Notes: p.Notes[:6]}), "B4 3/16, C5 1/16, D5 1/8, B4 1/8, A4 1/8, G4 1/8")
	equal(t, "ninth bar", soundOf(&score.Part{Notes: p.Notes[48:55]}), "B4 1/8, G4 1/8, G4 1/16, G4 1/16, G4 1/8, B4 1/8, G4 1/8")
	says(t, p, "line 5: text about the tune was left out (H: O: R:)", "bar 12 (line 15): the words to the notes")
}

// TestOldSirSimon: 13.1, with pickups, endings and changes of meter.
func TestOldSirSimon(t *testing.T) {
	p := readSelected(t, english, score.Selection{Part: "Old Sir Simon the King"})
	equal(t, "bars", barsOf(p), "0=1/8 1=9/8 2=9/8 3=9/8 4=1:|x2 =1/8 5=9/8 6=9/8 7=9/8[1] 8=1[1]:|x2 9=3/2[2] 10=1[2]")
	var meters []string
	for _, m := range p.Meters {
		meters = append(meters, fmt.Sprintf("%s in %d", m.Meter, m.Bar))
	}
	equal(t, "meters", strings.Join(meters, ", "), "9/8 in 0, 12/8 in 10, 9/8 in 11")
	order, err := p.Order()
	equal(t, "order", fmt.Sprint(order, err), "[0 1 2 3 4 0 1 2 3 4 5 6 7 8 9 5 6 7 10 11] <nil>")
}

// TestWilliamAndNancy: 13.1, with parts, a title in the body and changes of
// meter and unit.
func TestWilliamAndNancy(t *testing.T) {
	p := readSelected(t, english, score.Selection{Part: "3"})
	equal(t, "bars", barsOf(p), "0=1/8 1=3/4 2=3/4 3=3/4 4=5/8:|x2 "+
		"=1/8 5=3/4 6=3/4 7=3/4 8=3/4 9=3/4 10=3/4 11=3/4 12=5/8:|x2 "+
		"13=1/2 14=1 15=1 16=1 17=1 18=1 19=3/8 20=3/4 21=3/4 22=3/4 23=3/4 24=5/8:|x2")
	says(t, p, `line 33: the order of the parts "(AB)2(AC)2A" was left out`, "chord symbols were left out")
	var words []string
	for _, w := range p.Words {
		words = append(words, fmt.Sprintf("%s in %d", w.Text, w.Bar))
	}
	equal(t, "words", strings.Join(words, ", "), "[A] in 0, [B] in 5, Slows in 14, [C] in 14")
}

// TestCameron: 13.2, broken rhythm and triplets.
func TestCameron(t *testing.T) {
	p := read(t, `%abc-2.1
M:4/4
O:Scottish
R:Strathspey

X:1
T:A. A. Cameron's
K:D
e<A A2 B>G d>B|e<A A2 d>g (3fed|e<A A2 B>G d>B|B<G G>B d>g (3fed:|
B<e e>f g>e a>f|B<e e>f g>e (3fed|B<e e>f g>e a>f|d<B G>B d>g (3fed:|
`)
	equal(t, "bars", barsOf(p), "1=1 2=1 3=1 4=1:|x2 5=1 6=1 7=1 8=1:|x2")
	equal(t, "first bars", soundOf(&score.Part{Notes: p.Notes[:15]}),
		"E5 1/16, A4 3/16, A4 1/4, B4 3/16, G4 1/16, D5 3/16, B4 1/16, E5 1/16, A4 3/16, A4 1/4, D5 3/16, G5 1/16, F#5 1/12, E5 1/12, D5 1/12")
}

// TestAthollBrose: 13.2, the gracing of Highland pipes.
func TestAthollBrose(t *testing.T) {
	p := read(t, `X:2
T:Atholl Brose
M:4/4
I:linebreak $
K:D
{gcd}c<{e}A {gAGAG}A2 {gef}e>A {gAGAG}Ad|
{g}c/d/e {g}G>{d}B {gf}gG {dc}d>B:|$
{g}e/f/g {Gdc}d>c {gBd}B<{e}G {dc}d2|]
`)
	equal(t, "bars", barsOf(p), "1=1 2=1:|x2 3=1")
	equal(t, "start", soundOf(&score.Part{Notes: p.Notes[:12]}),
		"{G5}, {C#5}, {D5}, C#5 1/16, {E5}, A4 3/16, {G5}, {A4}, {G4}, {A4}, {G4}, A4 1/4")
	saysNothing(t, p)
}

// TestUntitledReel: 13.3, with divided bars and a change of key.
func TestUntitledReel(t *testing.T) {
	p := read(t, `%abc-2.1
M:4/4

X:1
T:Untitled Reel
K:D
eg|a2ab ageg|agbg agef|g2g2 fgag|f2d2 d2:|\
ed|cecA B2ed|cAcA E2ed|cecA B2ed|c2A2 A2:|
K:G
AB|cdec BcdB|ABAF GFE2|cdec BcdB|c2A2 A2:|
`)
	equal(t, "bars", barsOf(p), "0=1/4 1=1 2=1 3=1 4=3/4:|x2 =1/4 5=1 6=1 7=1 8=3/4:|x2 =1/4 9=1 10=1 11=1 12=3/4:|x2")
	if k := p.Keys; len(k) != 2 || k[0].Key.Fifths != 2 || k[1].Key.Fifths != 1 || k[1].Bar != 10 {
		t.Errorf("keys %v", k)
	}
	saysNothing(t, p)
}

// TestKitchenGirl: 13.3, with chords.
func TestKitchenGirl(t *testing.T) {
	text := "X:2\nT:Kitchen Girl\nM:4/4\nK:D\n[c4a4] [B4g4]|efed c2cd|e2f2 gaba|g2e2 e2fg|\na4 g4|efed cdef|g2d2 efed|c2A2 A4:|\n"
	equal(t, "top", soundOf(&score.Part{Notes: read(t, text).Notes[:3]}), "A5 1/2, G5 1/2, E5 1/8")
	bottom := readSelected(t, text, score.Selection{Line: score.Bottom})
	equal(t, "bottom", soundOf(&score.Part{Notes: bottom.Notes[:3]}), "C#5 1/2, B4 1/2, E5 1/8")
}

const canzonetta = `%abc-2.1
%%pagewidth      21cm
X: 1
T: Canzonetta a tre voci
C: Claudio Monteverdi (1567-1643)
M: C
L: 1/4
Q: "Andante mosso" 1/4 = 110
%%score [1 2 3]
V: 1 clef=treble name="Soprano"sname="A"
V: 2 clef=treble name="Alto"   sname="T"
V: 3 clef=bass middle=d name="Tenor"  sname="B"
%%MIDI program 1 75 % recorder
K: Eb
% 1 - 4
[V: 1] |:z4  |z4  |f2ec         |_ddcc        |
w: Son que-sti~i cre-spi cri-ni~e
[V: 2] |:c2BG|AAGc|(F/G/A/B/)c=A|B2AA         |
[V: 3] |:z4  |f2ec|_ddcf        |(B/c/_d/e/)ff|
% 5 - 9
[V: 1] cAB2     |cAAA |c3B|G2!fermata!Gz ::e4|
[V: 2] AAG2     |AFFF |A3F|=E2!fermata!Ez::c4|
[V: 3] (ag/f/e2)|A_ddd|A3B|c2!fermata!cz ::A4|
% 10 - 15
[V: 1] f_dec |B2c2|zAGF  |\
w: dim-me-lo ben mi-o, che que-sto
=EFG2          |1F2z2:|2F8|] % more notes
[V: 2] ABGA  |G2AA|GF=EF |(GF3/2=E//D//E)|1F2z2:|2F8|]
[V: 3] _dBc>d|e2AF|=EFc_d|c4             |1F2z2:|2F8|]
`

// TestCanzonetta: 13.4, three voices written in turns.
func TestCanzonetta(t *testing.T) {
	d, err := Parse("canzonetta.abc", []byte(canzonetta))
	if err != nil {
		t.Fatal(err)
	}
	equal(t, "parts", fmt.Sprint(d.Parts()), "[{1 Soprano 33} {2 Alto 46} {3 Tenor 40}]")
	bars := "|:1=1 2=1 3=1 4=1 5=1 6=1 7=1 8=1:|x2 |:9=1 10=1 11=1 12=1 13=1 14=1[1]:|x2 15=2[2]"
	for i, want := range []string{
		"F5 1/2, Eb5 1/4, C5 1/4, Db5 1/4, Db5 1/4, C5 1/4, C5 1/4, C5 1/4",
		"C5 1/2, Bb4 1/4, G4 1/4, Ab4 1/4, Ab4 1/4, G4 1/4, C5 1/4, F4 1/8",
		"F5 1/2, Eb5 1/4, C5 1/4, Db5 1/4, Db5 1/4, C5 1/4, F5 1/4, Bb4 1/8",
	} {
		p, err := d.Part(score.Selection{Part: fmt.Sprint(i + 1)})
		if err != nil {
			t.Fatal(err)
		}
		equal(t, p.Name, barsOf(p), bars)
		equal(t, p.Name, soundOf(&score.Part{Notes: p.Notes[:8]}), want)
		if q := p.Tempos; len(q) != 1 || q[0].BPM != 110 || q[0].Text != "Andante mosso" {
			t.Errorf("%s: tempos %v", p.Name, q)
		}
	}
	// The bass stands two octaves lower on the page; the standard lets it sound
	// as it is written in letters (4.6, errata).
	p, _ := d.Part(score.Selection{Part: "tenor"})
	if n := p.Notes[0]; n.Written.String() != "F3" || p.Clefs[0].Clef.String() != "bass" {
		t.Errorf("written %s in %s", n.Written, p.Clefs[0].Clef)
	}
	says(t, p, "middle=d moves the picture only")
}

const zochartiHead = `X:1
T:Zocharti Loch
C:Louis Lewandowski (1821-1894)
M:C
Q:1/4=76
%%score (T1 T2) (B1 B2)
V:T1           clef=treble-8  name="Tenore I"   snm="T.I"
V:T2           clef=treble-8  name="Tenore II"  snm="T.II"
V:B1  middle=d clef=bass      name="Basso I"    snm="B.I"  transpose=-24
V:B2  middle=d clef=bass      name="Basso II"   snm="B.II" transpose=-24
K:Gm
`

// TestZochartiLoch: section 7, the same four voices written in turns and one
// after the other.
func TestZochartiLoch(t *testing.T) {
	turns := zochartiHead + `% 1
[V:T1]  (B2c2 d2g2)  | f6e2      | (d2c2 d2)e2 | d4 c2z2 |
[V:T2]  (G2A2 B2e2)  | d6c2      | (B2A2 B2)c2 | B4 A2z2 |
[V:B1]       z8      | z2f2 g2a2 | b2z2 z2 e2  | f4 f2z2 |
[V:B2]       x8      |     x8    |      x8     |    x8   |
% 5
[V:T1]  (B2c2 d2g2)  | f8        | d3c (d2fe)  | H d6    ||
[V:T2]       z8      |     z8    | B3A (B2c2)  | H A6    ||
[V:B1]  (d2f2 b2e'2) | d'8       | g3g  g4     | H^f6    ||
[V:B2]       x8      | z2B2 c2d2 | e3e (d2c2)  | H d6    ||
`
	after := zochartiHead + `V:T1
 (B2c2 d2g2) | f6e2 | (d2c2 d2)e2 | d4 c2z2 |
 (B2c2 d2g2) | f8 | d3c (d2fe) | H d6 ||
V:T2
 (G2A2 B2e2) | d6c2 | (B2A2 B2)c2 | B4 A2z2 |
 z8 | z8 | B3A (B2c2) | H A6 ||
V:B1
 z8 | z2f2 g2a2 | b2z2 z2 e2 | f4 f2z2 |
 (d2f2 b2e'2) | d'8 | g3g  g4 | H^f6 ||
V:B2
 x8 | x8 | x8 | x8 |
 x8 | z2B2 c2d2 | e3e (d2c2) | H d6 ||
`
	for id, want := range map[string]string{
		"T1": "Bb3 C4 D4 G4 F4 Eb4 D4", "T2": "G3 A3 Bb3 Eb4 D4 C4 Bb3", // a treble clef with 8 below
		"B1": "F3 G3 A3 Bb3 Eb3 F3 F3", "B2": "Bb2 C3 D3 Eb3 Eb3 D3 C3", // transposed by two octaves
	} {
		a := readSelected(t, turns, score.Selection{Part: id})
		b := readSelected(t, after, score.Selection{Part: id})
		equal(t, id+" starts", strings.Join(strings.Fields(pitchesOf(a))[:7], " "), want)
		equal(t, id+" both ways", factsOf(a), factsOf(b))
		equal(t, id+" bars", barsOf(a), "1=1 2=1 3=1 4=1 5=1 6=1 7=1 8=3/4")
		for _, n := range a.Notes {
			if n.Written != n.Pitch {
				t.Errorf("%s: %s on the page sounds %s", id, n.Written, n.Pitch)
			}
		}
		if n := a.Notes[len(a.Notes)-1]; n.Marks != score.Fermata {
			t.Errorf("%s: no fermata at the end", id)
		}
	}
}
