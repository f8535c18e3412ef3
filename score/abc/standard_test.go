package abc

import (
	"fmt"
	"strings"
	"testing"

	"waterkey/score"
)

// The examples in this file are those of "The abc music standard 2.1", December
// 2011; each test names the section.

// TestPitch: 4.1. Which octave a letter stands for follows from the notes on the
// middle line of each clef in 4.6: B in treble (B4), C in alto (middle C), A, in
// tenor, D, in bass; the picture of 4.1 was not at hand.
func TestPitch(t *testing.T) {
	p := read(t, tune4("C,D,E,F, G,A,B,C | DEFG ABcd | efga bc'd'e' | f'g'a'b' C,',c, C'c"))
	equal(t, "pitches", pitchesOf(p), "C3 D3 E3 F3 G3 A3 B3 C4 D4 E4 F4 G4 A4 B4 C5 D5 E5 F5 G5 A5 B5 C6 D6 E6 F6 G6 A6 B6 C3 C4 C5 C5")
}

// TestAccidentals: 4.2; accidentals hold for the bar in all octaves (11.3).
func TestAccidentals(t *testing.T) {
	p := read(t, tune4("^F_B=F^^G __A f=ff | fgBa"))
	equal(t, "pitches", pitchesOf(p), "F#4 Bb4 F4 G##4 Abb4 F5 F5 F5 F5 G5 B4 A5")
	var printed []string
	for _, n := range p.Notes {
		printed = append(printed, n.Accidental)
	}
	equal(t, "printed", strings.Join(printed, ","), "sharp,flat,natural,double-sharp,flat-flat,,natural,,,,,")
}

// TestPropagateAccidentals: 11.3.
func TestPropagateAccidentals(t *testing.T) {
	for _, tt := range []struct{ directive, want string }{
		{"% the default", "F#4 F#4 F#5"},
		{"%%propagate-accidentals pitch", "F#4 F#4 F#5"},
		{"%%propagate-accidentals octave", "F#4 F#4 F5"},
		{"I:propagate-accidentals not", "F#4 F4 F5"},
	} {
		p := read(t, withHeader(tt.directive+"\nL:1/4\nK:C", "^FFf|"))
		equal(t, tt.directive, pitchesOf(p), tt.want)
	}
}

// TestNoteLengths: 4.3, both lists, with the names of the values.
func TestNoteLengths(t *testing.T) {
	for _, tt := range []struct{ unit, code, name string }{
		{"1/16", "A", "sixteenth"}, {"1/16", "A1", "sixteenth"}, {"1/16", "A2", "eighth"}, {"1/16", "A3", "dotted eighth"},
		{"1/16", "A4", "quarter"}, {"1/16", "A6", "dotted quarter"}, {"1/16", "A7", "double-dotted quarter"},
		{"1/16", "A8", "half"}, {"1/16", "A12", "dotted half"}, {"1/16", "A14", "double-dotted half"},
		{"1/8", "A", "eighth"}, {"1/8", "A2", "quarter"}, {"1/8", "A3", "dotted quarter"}, {"1/8", "A4", "half"},
		{"1/8", "A/2", "sixteenth"}, {"1/8", "A3/2", "dotted eighth"}, {"1/8", "A/4", "thirty-second"},
		{"1/8", "A/", "sixteenth"}, {"1/8", "A//", "thirty-second"},
	} {
		p := read(t, withHeader("L:"+tt.unit+"\nK:C", tt.code))
		n := p.Notes[0]
		equal(t, tt.unit+" "+tt.code, score.ValueName(n.Duration), tt.name)
		piece := n.Pieces[0]
		if dots := strings.Count(strings.Replace(tt.name, "double-dotted", "dotted dotted", 1), "dotted"); piece.Dots != dots {
			t.Errorf("%s: %d dots, want %d", tt.code, piece.Dots, dots)
		}
		if plain := piece.Value.Scale(int64(2<<piece.Dots)-1, 1<<piece.Dots); plain != n.Duration {
			t.Errorf("%s: value %s with %d dots is not %s", tt.code, piece.Value, piece.Dots, n.Duration)
		}
	}
	p := read(t, withHeader("L:1/16\nK:C", "A15"))
	if q := p.Notes[0].Pieces[0]; q.Value != score.Frac(1, 2) || q.Dots != 3 {
		t.Errorf("A15 is %s with %d dots, want a triple dotted half note", q.Value, q.Dots)
	}
}

// TestDefaultUnit: 3.1.7.
func TestDefaultUnit(t *testing.T) {
	for _, tt := range []struct{ fields, want string }{
		{"M:2/4", "1/16"}, {"M:4/4", "1/8"}, {"M:6/8", "1/8"}, {"M:3/4", "1/8"},
		{"M:C", "1/8"}, {"M:C|", "1/8"}, {"M:none", "1/8"}, {"R:air", "1/8"},
		{"M:5/8", "1/16"}, {"M:2/4\nL:1/4", "1/4"}, {"L:1", "1"}, {"L:1/1", "1"}, {"L:1/512", "1/512"},
	} {
		equal(t, tt.fields, lengthsOf(read(t, withHeader(tt.fields+"\nK:C", "A"))), tt.want)
	}
	// A meter change in the body does not change the unit.
	equal(t, "meter change", lengthsOf(read(t, withHeader("M:4/4\nK:C", "A|[M:2/4]A|[L:1/4]A"))), "1/8 1/8 1/4")
}

// TestBrokenRhythm: 4.4, the three lines that mean the same, and the logical
// extension.
func TestBrokenRhythm(t *testing.T) {
	want := "3/16 1/16 1/16 3/16 1/8 1/8 1/8 1/8"
	for _, tune := range []string{
		withHeader("L:1/16\nK:C", "a3b cd3 a2b2c2d2"),
		withHeader("L:1/8\nK:C", "a3/2b/2 c/2d3/2 abcd"),
		withHeader("L:1/8\nK:C", "a>b c<d abcd"),
	} {
		equal(t, tune, lengthsOf(read(t, tune)), want)
	}
	for _, tt := range []struct{ code, want string }{
		{"a>>b", "7/32 1/32"}, {"a>>>b", "15/64 1/64"}, {"a<<b", "1/32 7/32"}, {"a<<<b", "1/64 15/64"},
	} {
		equal(t, tt.code, lengthsOf(read(t, withHeader("L:1/8\nK:C", tt.code))), tt.want)
	}
	// 4.12: A<{g}A and A{g}<A are A/2{g}A3/2.
	for _, code := range []string{"A<{g}A", "A{g}<A", "A/2{g}A3/2"} {
		p := read(t, withHeader("L:1/8\nK:C", code))
		equal(t, code, soundOf(p), "A4 1/16, {G5}, A4 3/16")
		equal(t, code+" onset of the grace note", p.Notes[1].Onset.String(), "1/16")
	}
}

// TestRests: 4.5, the two excerpts that are musically equivalent.
func TestRests(t *testing.T) {
	short := read(t, withHeader("M:C|\nL:1/4\nK:C", "Z4|CD EF|GA Bc"))
	long := read(t, withHeader("M:C|\nL:1/4\nK:C", "z4|z4|z4|z4|CD EF|GA Bc"))
	equal(t, "bars", barsOf(short), barsOf(long))
	equal(t, "bars", barsOf(short), "1=1 2=1 3=1 4=1 5=1 6=1")
	equal(t, "notes", soundOf(short), soundOf(long))
	if n := short.Bars[0].RestBars; n != 4 {
		t.Errorf("the multi-measure rest covers %d bars, want 4", n)
	}
	for i, r := range short.Rests {
		if !r.WholeBar || r.Onset != long.Rests[i].Onset || r.Duration != long.Rests[i].Duration || !long.Rests[i].WholeBar {
			t.Errorf("rest %d: %+v and %+v", i, r, long.Rests[i])
		}
	}
	hidden := read(t, withHeader("M:C|\nL:1/4\nK:C", "x2 CD|X|Z|"))
	equal(t, "bars with invisible rests", barsOf(hidden), "1=1 2=1 3=1")
	if len(hidden.Rests) != 1 {
		t.Errorf("%d rests, want the visible one", len(hidden.Rests))
	}
	says(t, hidden, "invisible rests")
}

// TestKeys: the table of 3.1.14.
func TestKeys(t *testing.T) {
	table := `7 C# A#m G#Mix D#Dor E#Phr F#Lyd B#Loc
6 F# D#m C#Mix G#Dor A#Phr BLyd E#Loc
5 B G#m F#Mix C#Dor D#Phr ELyd A#Loc
4 E C#m BMix F#Dor G#Phr ALyd D#Loc
3 A F#m EMix BDor C#Phr DLyd G#Loc
2 D Bm AMix EDor F#Phr GLyd C#Loc
1 G Em DMix ADor BPhr CLyd F#Loc
0 C Am GMix DDor EPhr FLyd BLoc
-1 F Dm CMix GDor APhr BbLyd ELoc
-2 Bb Gm FMix CDor DPhr EbLyd ALoc
-3 Eb Cm BbMix FDor GPhr AbLyd DLoc
-4 Ab Fm EbMix BbDor CPhr DbLyd GLoc
-5 Db Bbm AbMix EbDor FPhr GbLyd CLoc
-6 Gb Ebm DbMix AbDor BbPhr CbLyd FLoc
-7 Cb Abm GbMix DbDor EbPhr FbLyd BbLoc`
	modes := []string{"major", "minor", "mixolydian", "dorian", "phrygian", "lydian", "locrian"}
	for _, row := range strings.Split(table, "\n") {
		cells := strings.Fields(row)
		for i, name := range cells[1:] {
			key := read(t, withHeader("K:"+name, "C")).Keys[0].Key
			if fmt.Sprint(key.Fifths) != cells[0] || key.Mode != modes[i] {
				t.Errorf("K:%s is %d %s, want %s %s", name, key.Fifths, key.Mode, cells[0], modes[i])
			}
		}
	}
}

// TestKeySpelling: 3.1.14, the examples beside the table.
func TestKeySpelling(t *testing.T) {
	for _, value := range []string{"C major", "A minor", "C ionian", "A aeolian", "G mixolydian", "D dorian", "E phrygian", "F lydian", "B locrian"} {
		if key := read(t, withHeader("K:"+value, "C")).Keys[0].Key; key.Fifths != 0 || key.Other != nil {
			t.Errorf("K:%s has %d sharps", value, key.Fifths)
		}
	}
	for _, value := range []string{"F# mixolydian", "F#Mix", "F#MIX"} {
		if key := read(t, withHeader("K:"+value, "C")).Keys[0].Key; key.Fifths != 5 || key.Mode != "mixolydian" {
			t.Errorf("K:%s is %v", value, key)
		}
	}
	for _, value := range []string{"", "none"} {
		if keys := read(t, withHeader("K:"+value, "F")).Keys; len(keys) != 0 {
			t.Errorf("K:%s gives %v", value, keys)
		}
	}
	for _, tt := range []struct{ value, altered, mode, sounds string }{
		{"D Phr ^f", "Bb Eb F#", "", "F#4 Bb4 Eb5 C5"},
		{"D exp _b _e ^f", "Bb Eb F#", "", "F#4 Bb4 Eb5 C5"},
		{"D maj =c", "F#", "mixolydian", "F#4 B4 E5 C5"},
		{"D =c", "F#", "mixolydian", "F#4 B4 E5 C5"},
		{"Hp", "F# C#", "", "F#4 B4 E5 C#5"},
	} {
		p := read(t, withHeader("K:"+tt.value, "FBec"))
		equal(t, "K:"+tt.value, strings.Join(p.Keys[0].Key.Altered(), " "), tt.altered)
		equal(t, "K:"+tt.value, p.Keys[0].Key.Mode, tt.mode)
		equal(t, "K:"+tt.value, pitchesOf(p), tt.sounds)
	}
	p := read(t, withHeader("K:HP", "Fc"))
	equal(t, "K:HP", pitchesOf(p), "F#4 C#5")
	if len(p.Keys) > 0 {
		t.Error("K:HP puts a signature on the page")
	}
	says(t, p, "K:HP")
}

// TestMeters: 3.1.6.
func TestMeters(t *testing.T) {
	for _, tt := range []struct {
		value, says, symbol string
		beats, unit         int
	}{
		{"6/8", "6/8", "", 6, 8}, {"4/4", "4/4", "", 4, 4}, {"C", "4/4", "common", 4, 4}, {"C|", "cut time", "cut", 2, 2},
		{"(2+3+2)/8", "2+3+2/8", "", 7, 8}, {"2+3+2/8", "2+3+2/8", "", 7, 8},
	} {
		m := read(t, withHeader("M:"+tt.value+"\nK:C", "C")).Meters[0].Meter
		equal(t, tt.value, m.String(), tt.says)
		if m.Beats != tt.beats || m.Unit != tt.unit || m.Symbol != tt.symbol {
			t.Errorf("M:%s is %+v", tt.value, m)
		}
	}
	for _, fields := range []string{"M:none\n", ""} {
		p := read(t, withHeader(fields+"K:C", "CDEFGABcd|C"))
		if len(p.Meters) != 0 || p.Bars[0].Meter.Unit != 0 || p.Bars[0].Number != "1" {
			t.Errorf("%q: meters %v, bar %+v", fields, p.Meters, p.Bars[0])
		}
	}
}

// TestTempo: 3.1.8 and 10.1.
func TestTempo(t *testing.T) {
	for _, tt := range []struct {
		value string
		bpm   float64
		unit  string
		text  string
	}{
		{"1/2=120", 120, "1/2", ""}, {"1/4 3/8 1/4 3/8=40", 40, "5/4", ""}, {"5/4=40", 40, "5/4", ""},
		{` "Allegro" 1/4=120`, 120, "1/4", "Allegro"}, {` 3/8=50 "Slowly"`, 50, "3/8", "Slowly"}, {`"Andante"`, 0, "0", "Andante"},
		{"C=120", 120, "1/8", ""}, {"120", 120, "1/8", ""},
		{`"Andante mosso" 1/4 = 110`, 110, "1/4", "Andante mosso"}, // 13.4
	} {
		p := read(t, withHeader("Q:"+tt.value+"\nL:1/8\nK:C", "C"))
		if len(p.Tempos) != 1 {
			t.Fatalf("Q:%s gives %v", tt.value, p.Tempos)
		}
		if q := p.Tempos[0]; q.BPM != tt.bpm || q.Unit.String() != tt.unit || q.Text != tt.text {
			t.Errorf("Q:%s is %+v", tt.value, q)
		}
	}
	p := read(t, withHeader("L:1/8\nK:C", `C8|[Q:1/4=60]C8|C4[Q:"Presto"]C4`))
	if q := p.Tempos; len(q) != 2 || q[0].At != score.Frac(1, 1) || q[0].Bar != 1 || q[1].At != score.Frac(5, 2) || q[1].Bar != 2 {
		t.Errorf("tempos in the body: %+v", q)
	}
}

// TestTuplets: the table of 4.13, in simple and compound time.
func TestTuplets(t *testing.T) {
	for _, tt := range []struct{ p, simple, compound int }{
		{2, 3, 3}, {3, 2, 2}, {4, 3, 3}, {5, 2, 3}, {6, 2, 2}, {7, 2, 3}, {8, 3, 3}, {9, 2, 3},
	} {
		for meter, normal := range map[string]int{"4/4": tt.simple, "6/8": tt.compound, "9/8": tt.compound, "12/8": tt.compound, "3/4": tt.simple} {
			code := fmt.Sprintf("(%d%s g", tt.p, "abcdefgab"[:tt.p])
			p := read(t, withHeader("M:"+meter+"\nL:1/8\nK:C", code))
			n, after := p.Notes[0], p.Notes[tt.p]
			if want := (score.Ratio{Actual: tt.p, Normal: normal}); n.Pieces[0].Tuplet != want || p.Notes[tt.p-1].Pieces[0].Tuplet != want {
				t.Errorf("%s in %s is %v, want %v", code, meter, n.Pieces[0].Tuplet, want)
			}
			if want := score.Frac(int64(normal), 8); after.Onset != want || after.Duration != score.Frac(1, 8) {
				t.Errorf("%s in %s takes %s, want %s", code, meter, after.Onset, want)
			}
			if n.Pieces[0].Value != score.Frac(1, 8) {
				t.Errorf("%s prints %s", code, n.Pieces[0].Value)
			}
		}
	}
	for _, tt := range []struct{ code, want string }{
		{"(3::abc d", "1/12 1/12 1/12 1/8"}, {"(3:2abc d", "1/12 1/12 1/12 1/8"}, {"(3:2:3abc d", "1/12 1/12 1/12 1/8"},
		{"(3::2ab d", "1/12 1/12 1/8"}, {"(3:2:2ab d", "1/12 1/12 1/8"},
		{"(3:2:2 G4c2 d", "1/3 1/6 1/8"}, {"(3:2:4 G2A2Bc d", "1/6 1/6 1/12 1/12 1/8"},
		{"(3 D2E2F2 d", "1/6 1/6 1/6 1/8"}, {"(3 D3EF2 d", "1/4 1/12 1/6 1/8"},
	} {
		equal(t, tt.code, lengthsOf(read(t, tune4(tt.code))), tt.want)
	}
	equal(t, "staccato triplet (4.14)", fmt.Sprint(read(t, tune4("(3.a.b.c    % staccato triplet")).Notes[2].Marks), fmt.Sprint(score.Staccato))
}
