package musicxml

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"waterkey/score"
)

// suiteRefused are the files of the test suite that are damaged.
var suiteRefused = map[string]string{
	"32ad-Notations5.musicxml": "not well-formed",
}

// Every file of the suite is read, every part of it, or refused with its place.
func TestSuiteIsReadOrRefused(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(sharedFile(t, "suite"), "*.*"))
	if err != nil || len(files) < 100 {
		t.Fatalf("found %d files, %v", len(files), err)
	}
	for _, path := range files {
		name := filepath.Base(path)
		d, err := Open(path)
		if says, damaged := suiteRefused[name]; damaged {
			var e *score.ReadError
			if d != nil || !errors.As(err, &e) || e.File != name || e.Line == 0 || !strings.Contains(e.Error(), says) {
				t.Errorf("%s: got %v, %v; want an error that says %q with file and line", name, d, err, says)
			}
			continue
		}
		if err != nil {
			t.Error(err)
			continue
		}
		for i := range d.Parts() {
			p, err := d.Part(score.Selection{Part: fmt.Sprint(i + 1)})
			if err != nil {
				t.Error(err)
				continue
			}
			checkSound(t, name, p)
		}
	}
}

// checkSound checks what must hold of any part: bars join, notes come in order
// and lie in their bars, and everything points to bars that exist.
func checkSound(t testing.TB, name string, p *score.Part) {
	t.Helper()
	var at score.Time
	for i, b := range p.Bars {
		if b.Start != at || b.Length.Sign() < 0 {
			t.Errorf("%s: bar %d starts at %s and lasts %s; want a start at %s", name, i, b.Start, b.Length, at)
		}
		at = b.End()
	}
	ids := map[string]bool{}
	for i, n := range p.Notes {
		b := p.Bars[n.Bar]
		if n.Onset.Less(b.Start) || b.End().Less(n.Onset) || n.ID == "" || ids[n.ID] || len(n.Pieces) == 0 {
			t.Errorf("%s: note %d is unsound: %+v", name, i, n)
		}
		ids[n.ID] = true
		if i > 0 && n.Onset.Less(p.Notes[i-1].Onset) {
			t.Errorf("%s: note %s starts before the one before", name, n.ID)
		}
		sum := score.Time{}
		for _, piece := range n.Pieces {
			sum = sum.Add(piece.Duration)
		}
		if sum != n.Duration || n.Duration.Sign() < 0 || n.Grace != (n.Duration.Sign() == 0) {
			t.Errorf("%s: note %s lasts %s, its pieces %s", name, n.ID, n.Duration, sum)
		}
	}
}

func suitePart(t *testing.T, name string, sel score.Selection) *score.Part {
	t.Helper()
	return part(t, open(t, sharedFile(t, "suite/"+name)), sel)
}

// pitches spells the sounding pitches.
func pitches(p *score.Part) string {
	out := []string{}
	for _, n := range p.Notes {
		out = append(out, n.Pitch.String())
	}
	return strings.Join(out, " ")
}

func each[T any](xs []T, say func(T) string) string {
	out := []string{}
	for _, x := range xs {
		out = append(out, say(x))
	}
	return strings.Join(out, " ")
}

func noteLengths(p *score.Part) string {
	return each(p.Notes, func(n score.Note) string { return n.Duration.String() })
}

func barLengths(p *score.Part) string {
	return each(p.Bars, func(b score.Bar) string { return b.Length.String() })
}

// ascending spells n white keys from a pitch up, each with one accidental.
func ascending(from string, n int, accidental string) string {
	const letters = "CDEFGAB"
	place := strings.IndexByte(letters, from[0]) + 7*int(from[1]-'0')
	out := []string{}
	for k := place; k < place+n; k++ {
		out = append(out, fmt.Sprintf("%c%s%d", letters[k%7], accidental, k/7))
	}
	return strings.Join(out, " ")
}

// The suite says in each file what it holds ("description" in its header).
// What is compared here comes from those words, quoted above each case.
func TestSuiteDescriptions(t *testing.T) {
	sharedFile(t, "suite")
	cases := []struct {
		file, want string
		say        func(p *score.Part) string
	}{
		// "All pitches from G to c'''' in ascending steps; First without
		// accidentals, then with a sharp and then with a flat accidental, then
		// with explicit natural accidentals. Double alterations and cautionary
		// accidentals are tested at the end."
		{"01a-Pitches-Pitches.xml",
			ascending("G2", 32, "") + " " + ascending("G2", 32, "#") + " " + ascending("G2", 32, "b") + " " +
				ascending("E4", 8, "") + " C##5 Cbb5 C#5 C#5 C#5 C#5", pitches},
		// "A two-bar multi-measure rest, a whole rest, a half, etc. until a
		// 1024th-rest, then the same with dotted durations."
		{"02a-Rests-Durations.xml", "2 0 0 0 0 0", func(p *score.Part) string {
			return each(p.Bars, func(b score.Bar) string { return fmt.Sprint(b.RestBars) })
		}},
		{"02a-Rests-Durations.xml", "1 1/2 1/4 1/8 1/16 1/32 1/64 1/128 1/256 1/512 1/1024", func(p *score.Part) string {
			return each(p.Rests[2:13], func(r score.Rest) string { return r.Duration.String() })
		}},
		{"02a-Rests-Durations.xml", "3/4 3/8 3/16 3/32 3/64 3/128 3/256 3/512 3/1024 3/2048 3/2048", func(p *score.Part) string {
			dotted := []score.Rest{}
			for _, r := range p.Rests {
				if r.Dots == 1 {
					dotted = append(dotted, r)
				}
			}
			return each(dotted, func(r score.Rest) string { return r.Duration.String() })
		}},
		// "Four multi-measure rests: 3 measures, 15 measures, 1 measure, and 12
		// measures." (A rest of one bar is not written as a multi-measure one.)
		{"02c-Rests-MultiMeasureRests.xml", "1:3 4:15 20:12 of 31", func(p *score.Part) string {
			out := ""
			for _, b := range p.Bars {
				if b.RestBars > 0 {
					out += fmt.Sprintf("%s:%d ", b.Number, b.RestBars)
				}
			}
			return out + fmt.Sprintf("of %d", len(p.Bars))
		}},
		// "All common note durations, from brevis, whole until 64th; First with
		// their plain values, then dotted and finally doubly-dotted (to 32nd)."
		{"03aa-Rhythm-Durations.xml", "2 1 1/2 1/4 1/8 1/16 1/32 1/64 1/64 " +
			"3 3/2 3/4 3/8 3/16 3/32 3/64 3/128 3/128 7/4 7/8 7/16 7/32 7/64 7/128 7/128", noteLengths},
		// "the first half measure uses a division of 1, which then changes to 8
		// in the middle of the first measure and to 38 in the middle of the
		// second measure."
		{"03c-Rhythm-DivisionChange.xml", "1/4 1/4 1/4 1/4 1/2 1/2", noteLengths},
		// "2/2 (alla breve, symbol="cut"), 4/4 (C, symbol="common"), 2/2, 3/2,
		// 2/4, 3/4, 4/4, 5/4, 3/8, 6/8, 12/8"
		{"11a-TimeSignatures.xml", "2/2cut 4/4common 2/2 3/2 2/4 3/4 4/4 5/4 3/8 6/8 12/8", func(p *score.Part) string {
			return each(p.Meters, func(m score.MeterMark) string {
				return fmt.Sprintf("%d/%d%s", m.Meter.Beats, m.Meter.Unit, m.Meter.Symbol)
			})
		}},
		// "3/8+2/8+3/4 and 5/2+1/8", over their common unit
		{"11d-TimeSignatures-CompoundMultiple.xml", "3+2+6/8 20+1/8", func(p *score.Part) string {
			return each(p.Meters, func(m score.MeterMark) string { return m.Meter.String() })
		}},
		{"11d-TimeSignatures-CompoundMultiple.xml", "11/8 21/8", barLengths},
		// "A time signature of 3/8 with the symbol="cut" attribute"
		{"11f-TimeSignatures-SymbolMeaning.xml", "3/8", func(p *score.Part) string { return p.Meters[0].Meter.String() }},
		// "Senza-misura time signature"
		{"11h-TimeSignatures-SenzaMisura.xml", "free time", func(p *score.Part) string { return p.Meters[0].Meter.String() }},
		// "Four traditional clefs: G-treble, C-alto, C-tenor, F-bass"; all on C4
		{"12aa-Clefs_Pitch_Traditional.xml", "treble alto tenor bass", func(p *score.Part) string {
			return each(p.Clefs, func(c score.ClefMark) string { return c.Clef.String() })
		}},
		{"12aa-Clefs_Pitch_Traditional.xml", "C4 C4 C4 C4", pitches},
		// "from 7 flats to 7 sharps (each one first one measure in major, then
		// one measure in minor)"
		{"13a-KeySignatures.xml", sevenFlatsToSevenSharps(), func(p *score.Part) string {
			return each(p.Keys, func(k score.KeyMark) string { return fmt.Sprintf("%d%s", k.Key.Fifths, k.Key.Mode) })
		}},
		// "(f sharp, a flat, b flat) and (c flatflat, g sharp sharp, d flat, b
		// sharp, f natural)"
		{"13c-KeySignatures-NonTraditional.xml", "[F# Ab Bb] [Cbb G## Db B# F]", func(p *score.Part) string {
			return each(p.Keys, func(k score.KeyMark) string { return fmt.Sprint(k.Key.Other) })
		}},
		// "Mid-Measure Key-Change: 2 sharps, 2 flats, 0 sharps/flats, 7 sharps,
		// no mode."
		{"13e-KeySignatures-MidMeasure-Change.xml", "0:2 1/4:-2 1/2:0 3/4:7", func(p *score.Part) string {
			return each(p.Keys, func(k score.KeyMark) string { return fmt.Sprintf("%s:%d%s", k.At, k.Key.Fifths, k.Key.Mode) })
		}},
		// "Some tuplets (3:2, 3:2, 3:2, 4:2, 4:1, 7:3, 6:2)"
		{"23a-Tuplets.xml", "3:2 9, 4:2 4, 4:1 4, 7:3 7, 6:2 6", tupletRuns},
		// "a 5:2 tuplet inside a 3:2 tuple (all consisting of written eighth
		// notes)": 1/8 * 2/3 = 1/12, * 2/5 = 1/30
		{"23d-Tuplets-Nested.xml", "1/12 1/12 1/30 1/30 1/30 1/30 1/30 1/12 1/12", noteLengths},
		// "acciaccatura, appoggiatura; beamed grace notes; grace notes with
		// accidentals": s is a stroke
		{"24a-GraceNotes.xml", "D5 E5 D5 D5 D5 D5s E5 D5 D5s D5s E5 E5 D#5 Db5 Ab4", func(p *score.Part) string {
			out := []string{}
			for _, n := range p.Notes {
				if n.Grace && n.Slashed {
					out = append(out, n.Pitch.String()+"s")
				} else if n.Grace {
					out = append(out, n.Pitch.String())
				}
			}
			return strings.Join(out, " ")
		}},
		// "A grace note that appears at the measure end"
		{"24c-GraceNote-MeasureEnd.xml", "E5@0 E5@1/2 G5@1 A5@1", func(p *score.Part) string {
			return each(p.Notes, func(n score.Note) string { return n.Pitch.String() + "@" + n.Onset.String() })
		}},
		// "all three notes should have a staccato and an accent"
		{"32c-MultipleNotationChildren.xml", "true true true", func(p *score.Part) string {
			return each(p.Notes, func(n score.Note) string { return fmt.Sprint(n.Marks == score.Staccato|score.Accent) })
		}},
		// "Two simple tied whole notes"
		{"33b-Spanners-Tie.xml", "F4 2 in 2", func(p *score.Part) string {
			return fmt.Sprintf("%s %s in %d", pitches(p), noteLengths(p), len(p.Notes[0].Pieces))
		}},
		// "A note can be the end of one slur and the start of a new slur. Also
		// [...] in the second measure [...] one slur goes over all four notes,
		// and another slur goes from the second to the third note."
		{"33c-Spanners-Slurs.xml", "> <> <> < > <> <> <", func(p *score.Part) string {
			return each(p.Notes, func(n score.Note) string {
				s := ""
				if n.SlurFrom {
					s += "<"
				}
				if n.SlurTo {
					s += ">"
				}
				return s
			})
		}},
		// "All different types of glissando defined in MusicXML": each from the
		// first note of a pair to the second
		{"33h-Spanners-Glissando.xml", strings.TrimSpace(strings.Repeat("true false ", 10)), func(p *score.Part) string {
			return each(p.Notes, func(n score.Note) string { return fmt.Sprint(n.GlissTo) })
		}},
		// "A 3/8 pickup measure, a measure that is split into one (incomplete,
		// only 2/4) measure and an implicit measure, and an incomplete measure
		// (containg 3/4)."
		{"46d-PickupMeasure-ImplicitMeasures.xml", "3/8 true 1/2 false 1/2 true 3/4 false", func(p *score.Part) string {
			return each(p.Bars, func(b score.Bar) string { return fmt.Sprint(b.Length, b.Implicit) })
		}},
		// "In this case the movement-title should be chosen, even though the
		// work-title exists."
		{"51d-EmptyTitle.xml", "Empty work-title, non-empty movement-title", func(p *score.Part) string { return p.Title }},
		// "The whole piece is in Bb major (sounding), so first the key signature
		// should be one sharp, after the change it should have no accidentals.":
		// a written C4 for clarinet in E flat, then B flat
		{"72c-TransposingInstruments-Change.xml", "Eb4 Bb3 Bb3", pitches},
		// "Compressed MusicXML file"
		{"90a-Compressed-MusicXML.mxl", "Compressed MusicXML file: C#4 C#4 C#4 C#4", func(p *score.Part) string {
			return p.Title + ": " + pitches(p)
		}},
	}
	for _, c := range cases {
		t.Run(strings.TrimSuffix(c.file, filepath.Ext(c.file)), func(t *testing.T) {
			if got := c.say(suitePart(t, c.file, score.Selection{})); got != c.want {
				t.Errorf("got  %s\nwant %s", got, c.want)
			}
		})
	}
}

func sevenFlatsToSevenSharps() string {
	out := []string{}
	for f := -7; f <= 7; f++ {
		out = append(out, fmt.Sprintf("%dmajor %dminor", f, f))
	}
	return strings.Join(out, " ")
}

// tupletRuns lists neighboring notes of one ratio: "3:2 9" is nine of them.
func tupletRuns(p *score.Part) string {
	out := []string{}
	n := 0
	for i, note := range p.Notes {
		ratio := note.Pieces[0].Tuplet
		if ratio == (score.Ratio{}) {
			continue
		}
		n++
		if i+1 == len(p.Notes) || p.Notes[i+1].Pieces[0].Tuplet != ratio {
			out = append(out, fmt.Sprintf("%d:%d %d", ratio.Actual, ratio.Normal, n))
			n = 0
		}
	}
	return strings.Join(out, ", ")
}

// The order of playing, by the descriptions of the 45 files; bars count from 1.
func TestSuitePlayedOrder(t *testing.T) {
	sharedFile(t, "suite")
	for file, want := range map[string]string{
		// "A simple, repeated measure (repeated 5 times)"
		"45a-SimpleRepeat.xml": "1 1 1 1 1 2",
		// "A simple repeat with two alternative endings (volta brackets)."
		"45b-RepeatWithAlternatives.xml": "1 2 1 3 4",
		// times 5 and 3, one after the other
		"45c-RepeatMultipleTimes.xml": "1 2 3 2 3 2 3 2 3 2 3 4 5 6 7 4 5 6 7 4 5 6 7 8",
		// five endings in a row, four with a repeat sign
		"45d-Repeats-Nested-Alternatives.xml": "1 2 1 3 4 5 1 6 7 8 9 1 10 1 11 12",
		// "The barline between measure 7 and 8 [...] Should be a repeat on both
		// sides!"
		"45e-Repeats-Nested-Alternatives.xml": "1 2 1 3 4 5 5 6 7 6 8 9 8 9 10",
		// "A forward-repeating bar line without an ending repeat bar."
		"45g-Repeats-NotEnded.xml": "1 2",
	} {
		p := suitePart(t, file, score.Selection{})
		order, err := p.Order()
		if err != nil {
			t.Fatal(err)
		}
		got := each(order, func(i int) string { return p.Bars[i].Number })
		if got != want {
			t.Errorf("%s:\ngot  %s\nwant %s", file, got, want)
		}
	}
}

// "Trumpet in Bb, Horn in Eb, Piano; All of them show the C major scale (the
// trumpet with 2 sharp, the horn with 3 sharp)." (72a), and "Each part plays a
// c”, just displayed in different display pitches" (72b).
func TestSuiteTransposition(t *testing.T) {
	d := open(t, sharedFile(t, "suite/72a-TransposingInstruments.xml"))
	for i, fifths := range []int{2, 3, 0} {
		p := part(t, d, score.Selection{Part: fmt.Sprint(i + 1)})
		if got := pitches(p); got != "C4 D4 E4 F4 G4 A4 B4 C5" || p.Keys[0].Key.Fifths != fifths {
			t.Errorf("%s: got %s in %s", p.Name, got, p.Keys[0].Key.Name())
		}
	}
	if p := part(t, d, score.Selection{Part: "trumpet"}); p.Notes[0].Written.String() != "D4" {
		t.Errorf("the trumpet's first written note is %s, want D4", p.Notes[0].Written)
	}
	for _, file := range []string{"72b-TransposingInstruments-Full.xml", "72d-TransposingInstruments-scorePitch.xml"} {
		d = open(t, sharedFile(t, "suite/"+file))
		for i, info := range d.Parts() {
			p := part(t, d, score.Selection{Part: fmt.Sprint(i + 1)})
			if got := p.Notes[0].Pitch.MIDI(); got != 72 { // c'' is MIDI 72
				t.Errorf("%s, %s: sounds %s, want C5", file, info.Name, p.Notes[0].Pitch)
			}
		}
	}
}

// The lyrics of 32a name the mark of each note.
func TestSuiteMarksAreThoseTheLyricsName(t *testing.T) {
	d := open(t, sharedFile(t, "suite/32a-Notations.xml"))
	want := map[string]score.Mark{
		"ferm.": score.Fermata, "normal ferm.": score.Fermata, "angled ferm.": score.Fermata, "square ferm.": score.Fermata,
		"inv.ferm.": score.Fermata, "acc.": score.Accent, "str.-acc.": score.Marcato, "stacc.": score.Staccato,
		"ten.": score.Tenuto, "det.-leg.": score.Staccato | score.Tenuto, "stacc.ss": score.Staccatissimo,
		"spicc.": score.Staccatissimo, "scoop": score.Falloff, "plop": score.Falloff, "doit": score.Falloff,
		"falloff": score.Falloff, "breath": score.BreathAfter, "caes.": score.BreathAfter,
		"stress": 0, "unstr.": 0, "soft-acc.": 0,
	}
	notes := noteElements(d)
	for _, n := range part(t, d, score.Selection{}).Notes {
		lyric := notes[n.ID].child("lyric").child("text").value()
		mark, known := want[lyric]
		delete(want, lyric)
		if known && n.Marks != mark {
			t.Errorf("note %s with the lyric %q has marks %b, want %b", n.ID, lyric, n.Marks, mark)
		}
	}
	if len(want) > 0 {
		t.Errorf("no note was found for %v", want)
	}
}
