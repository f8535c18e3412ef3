package musicxml

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"waterkey/score"
)

// fact is what the description of a suite file says of one line of it.
type fact struct {
	file string
	line score.Line
	want string
	say  func(p *score.Part) string
}

func checkFacts(t *testing.T, facts []fact) {
	t.Helper()
	sharedFile(t, "suite")
	for _, c := range facts {
		t.Run(strings.TrimSuffix(c.file, filepath.Ext(c.file)), func(t *testing.T) {
			if got := c.say(suitePart(t, c.file, score.Selection{Line: c.line})); got != c.want {
				t.Errorf("got  %s\nwant %s", got, c.want)
			}
		})
	}
}

// cents spells pitches with their microtones: "Cb4-50" is a flat and a half.
func cents(p *score.Part) string {
	return each(p.Notes, func(n score.Note) string {
		if n.Pitch.Cents == 0 {
			return n.Pitch.String()
		}
		return fmt.Sprintf("%s%+g", n.Pitch, n.Pitch.Cents)
	})
}

// printedAccidentals are as on the page, in parentheses those that remind only.
func printedAccidentals(p *score.Part) string {
	return each(p.Notes, func(n score.Note) string {
		if n.Courtesy {
			return "(" + n.Accidental + ")"
		}
		return n.Accidental
	})
}

func restLengths(p *score.Part) string {
	return each(p.Rests, func(r score.Rest) string { return r.Duration.String() })
}

// restRuns is each printed multi-measure rest: bar, bars covered, their meter.
func restRuns(p *score.Part) string {
	out := []string{}
	for _, b := range p.Bars {
		if b.RestBars > 0 {
			out = append(out, fmt.Sprintf("%s:%d*%s", b.Number, b.RestBars, b.Meter))
		}
	}
	return strings.Join(out, " ")
}

func meters(p *score.Part) string {
	return each(p.Meters, func(m score.MeterMark) string { return m.Meter.String() })
}

// clefs is sign, staff line and shift by octaves of each clef.
func clefs(p *score.Part) string {
	return each(p.Clefs, func(c score.ClefMark) string {
		return fmt.Sprintf("%s%d%+d", c.Clef.Sign, c.Clef.Line, c.Clef.Octave)
	})
}

// keys is the bar, from 1, the signature and the mode of each key.
func keys(p *score.Part) string {
	return each(p.Keys, func(k score.KeyMark) string { return fmt.Sprintf("%d:%d%s", k.Bar+1, k.Key.Fifths, k.Key.Mode) })
}

func repeat(what string, times int) string { return strings.TrimSpace(strings.Repeat(what+" ", times)) }

// What the files of pitches (01), rests (02) and rhythms (03) say they hold.
func TestSuitePitchRestRhythm(t *testing.T) {
	checkFacts(t, []fact{
		// "there is one note with lyrics, but without a voice assigned. It should
		// still be correctly converted."
		{"01c-Pitches-NoVoiceElement.xml", score.Top, "G4", pitches},
		// "c flat-and-a-half, d half-flat, e half-sharp, f sharp-and-a half. Once
		// in the lower and once in the upper region of the staff."
		{"01d-Pitches-Microtones.xml", score.Top, "Cb4-50 D4-50 E4+50 F#4+50 Cb5-50 D5-50 E5+50 F#5+50", cents},
		// "Each measure has a normal accidental, an editorial, a cautionary and an
		// editorial and cautionary accidental."
		{"01e-Pitches-EditorialCautionaryAccidentals.xml", score.Top, "flat flat (flat) (flat) " +
			"sharp sharp (sharp) (sharp) flat-flat flat-flat (flat-flat) (flat-flat) " +
			"double-sharp double-sharp (double-sharp) (double-sharp)", printedAccidentals},
		{"01e-Pitches-EditorialCautionaryAccidentals.xml", score.Top,
			"Db4 Eb4 Fb4 Gb4 C#4 D#4 E#4 F#4 Dbb4 Ebb4 Fbb4 Gbb4 C##4 D##4 E##4 F##4", pitches},
		// "The first measure's accidentals should be normal, parenthesized,
		// bracketed, and praenthesized-and-bracketed." The rest is styling.
		{"01ea-Pitches-Parenthesis-Changed-Accidentals.xml", score.Top,
			"sharp (sharp) sharp (sharp) " + repeat("sharp", 5), printedAccidentals},
		// "Microtone accidentals can be cautionary or editorial. Each measure has
		// a normal accidental, an editorial, a cautionary and [both]"
		{"01f-Pitches-ParenthesizedMicrotoneAccidentals.xml", score.Top, repeat("D4-50", 4) + " " + repeat("C#4", 4) + " " +
			repeat("Db4-50", 4) + " " + repeat("C#4+50", 4), cents},
		{"01f-Pitches-ParenthesizedMicrotoneAccidentals.xml", score.Top, "quarter-flat quarter-flat (quarter-flat) (quarter-flat) " +
			"sharp sharp (sharp) (sharp) " +
			"three-quarters-flat three-quarters-flat (three-quarters-flat) (three-quarters-flat) " +
			"three-quarters-sharp three-quarters-sharp (three-quarters-sharp) (three-quarters-sharp)", printedAccidentals},
		// "sharp-down, sharp-up, natural-down, ... arrow-down, arrow-up": all
		// twelve stand in the file, from the flats to the arrows
		{"01g-Pitches-AllArrowAccidentals.musicxml", score.Top, "flat-up flat-down natural-up natural-down sharp-up sharp-down " +
			"double-sharp-up double-sharp-down flat-flat-up flat-flat-down arrow-up arrow-down", printedAccidentals},
		// "Complete range of Turkish and Persian accidentals", in this order
		{"01h-Pitches-TurkishPersian.musicxml", score.Top, "slash-quarter-sharp slash-sharp slash-flat double-slash-flat " +
			"sharp-1 sharp-2 sharp-3 sharp-5 flat-1 flat-2 flat-3 flat-4 sori koron", printedAccidentals},
		// "Rests can have explicit pitches to position them vertically": five
		// quarter rests, none of them a note
		{"02b-Rests-PitchedRests.xml", score.Top, "1/4 1/4 1/4 1/4 1/4 and 0 notes", func(p *score.Part) string {
			return fmt.Sprintf("%s and %d notes", restLengths(p), len(p.Notes))
		}},
		// "Multi-Measure rests should always be converted into durations that are
		// a multiple of the time signature."
		{"02d-Rests-Multimeasure-TimeSignatures.xml", score.Top, "1:2*4/4 3:3*3/4 6:2*2/4 8:2*4/4", restRuns},
		{"02d-Rests-Multimeasure-TimeSignatures.xml", score.Top, "1 1 3/4 3/4 3/4 1/2 1/2 1 1", restLengths},
		// "a rest might not have its type attribute set": it stands in the other
		// voice, and the line goes on through the pickup
		{"02e-Rests-NoType.xml", score.Top, "C5@0 A4@1/4", onsets},
		{"02e-Rests-NoType.xml", score.Top, "1/4 1", barLengths},
		// "Extreme note durations (pre 3.0): long and 128th; First with their plain
		// values, then dotted and finally doubly-dotted."
		{"03ab-Rhythm-Durations.xml", score.Top, "4 1/64 1/128 1/128 6 3/64 3/128 3/256 3/256 7 7/64 7/128 7/256 7/256", noteLengths},
		{"03ab-Rhythm-Durations.xml", score.Top, "16/4 2/64 24/4 3/32 28/4 7/32", meters},
		{"03ab-Rhythm-Durations.xml", score.Top, "4 1/32 6 3/32 7 7/32", barLengths},
		// "Two voices with a backup, that does not jump to the beginning": voice 2
		// begins on the second quarter and ends after the third
		{"03b-Rhythm-Backup.xml", score.Top, "C4@0 C4@1/4", onsets},
		{"03b-Rhythm-Backup.xml", score.Top, "3/4", barLengths},
		// "For multimeasure rests, we can also have durations that cannot be
		// expressed with dotted notes (5/16 and 9/8)."
		{"03d-Rhythm-DottedDurations-Factors.xml", score.Top, "1/8 1/4 3/4 1 5/16 7/8 9/8 31/8", restLengths},
		{"03d-Rhythm-DottedDurations-Factors.xml", score.Top, "1/8 1/4 3/4 1 1/4 1/16 7/8 1 1/8 31/8 1", noteLengths},
		// "A piece with four beamed scales"
		{"03e-Rhythm-SecondaryBeamBreaks.musicxml", score.Top, repeat("C4 D4 E4 F4 G4 A4 B4 C5", 4), pitches},
		{"03e-Rhythm-SecondaryBeamBreaks.musicxml", score.Top, repeat("1/32", 32), noteLengths},
	})
}

// "All pitch intervals in ascending jump size" (01b): each bar leads from a note
// above C5 to one as many steps below it. Upward every letter comes flat, natural
// and sharp, downward sharp, natural and flat; C5 itself has one way each.
func TestSuiteIntervalsWiden(t *testing.T) {
	p := suitePart(t, "01b-Pitches-Intervals.xml", score.Selection{})
	up, down := []string{"C5", "C#5"}, []string{"C5", "Cb5"}
	for k := 1; len(up) < 41; k++ {
		for _, alter := range []string{"b", "", "#"} {
			up = append(up, fmt.Sprintf("%c%s%d", "CDEFGAB"[k%7], alter, 5+k/7))
		}
		for _, alter := range []string{"#", "", "b"} {
			down = append(down, fmt.Sprintf("%c%s%d", "CBAGFED"[k%7], alter, 5-(k+6)/7))
		}
	}
	want := []string{}
	for i := range up {
		want = append(want, up[i], down[i])
	}
	if got := pitches(p); got != strings.Join(want, " ") {
		t.Errorf("got  %s\nwant %s", got, strings.Join(want, " "))
	}
}

func onsets(p *score.Part) string {
	return each(p.Notes, func(n score.Note) string { return n.Pitch.String() + "@" + n.Onset.String() })
}

// What the files of meters (11), clefs (12), keys (13) and staves (14) say.
func TestSuiteMeterClefKey(t *testing.T) {
	checkFacts(t, []fact{
		// "A score without a time signature (but with a key and clefs)"
		{"11b-TimeSignatures-NoTime.xml", score.Top, "[] in C major, G2+0, bars 1", func(p *score.Part) string {
			return fmt.Sprintf("%v in %s, %s, bars %s", p.Meters, p.Keys[0].Key.Name(), clefs(p), barLengths(p))
		}},
		// "(3+2)/8 and (5+3+1)/4"
		{"11c-TimeSignatures-CompoundSimple.xml", score.Top, "3+2/8 5+3+1/4", meters},
		{"11c-TimeSignatures-CompoundSimple.xml", score.Top, "5/8 9/4", barLengths},
		// "(3+2)/8+3/4", over the common unit
		{"11e-TimeSignatures-CompoundMixed.xml", score.Top, "3+2+6/8", meters},
		{"11e-TimeSignatures-CompoundMixed.xml", score.Top, "11/8", barLengths},
		// "Time signature displayed as a single number": the file gives 3/8
		{"11g-TimeSignatures-SingleNumber.xml", score.Top, "3/8", meters},
		// "Order: Percussion, treble 8vb, bass 8vb, F3, G1, C5, C2, C1, treble 8va,
		// bass 8va"
		{"12ab-Clefs-Percussion-NonTrad.xml", score.Top, "percussion0+0 G2-1 F4-1 F3+0 G1+0 C5+0 C2+0 C1+0 G2+1 F4+1", clefs},
		{"12ab-Clefs-Percussion-NonTrad.xml", score.Top, repeat("C4", 10), pitches},
		// "none clef, TAB clef, Treble": the pitches stay those of the file
		{"12ac-Clefs-TAB-Switch.xml", score.Top, "none0+0 TAB5+0 G2+0", clefs},
		{"12ac-Clefs-TAB-Switch.xml", score.Top, "C4 C4 C4", pitches},
		// "treble 15vb (C2), bass 15vb (C2), treble 15va (C6), bass 15va (C6),
		// treble 22va (C7), bass 22vb (C1)."
		{"12ad-Clefs-Extreme-Octave.xml", score.Top, "G2-2 F4-2 G2+2 F4+2 G2+3 F4-3", clefs},
		{"12ad-Clefs-Extreme-Octave.xml", score.Top, "C2 C2 C6 C6 C7 C1", pitches},
		// "A score without any key or clef defined."
		{"12b-Clefs-NoKeyOrClef.xml", score.Top, "[] [] C4 C4", func(p *score.Part) string {
			return fmt.Sprint(p.Keys, " ", p.Clefs, " ", pitches(p))
		}},
		// "from 11 flats to 7 flats and 7 sharps to 11 sharps (all marked as
		// major)"
		{"13aa-KeySignatures-Extreme.xml", score.Top, "1:-11major 2:-10major 3:-9major 4:-8major 5:-7major " +
			"6:7major 7:8major 8:9major 9:10major 10:11major", keys},
		{"13aa-KeySignatures-Extreme.xml", score.Top, "11b 10b 9b 8b 7b 7# 8# 9# 10# 11#", func(p *score.Part) string {
			return each(p.Keys, func(k score.KeyMark) string {
				signs := strings.Join(k.Key.Altered(), "")
				if n := strings.Count(signs, "#"); n > 0 {
					return fmt.Sprintf("%d#", n)
				}
				return fmt.Sprintf("%db", strings.Count(signs, "b"))
			})
		}},
		// "Tests of key signature cancelation, at default location, at right, and
		// before-barline, then cancelling a key signature that does not exist":
		// what is canceled is no signature of its own
		{"13ab-KeySignatures-Cancel.xml", score.Top, "1:3major 2:-2major 3:7major 4:-3major 5:2major", keys},
		// "Three tests of key signatures at octaves other than defaults."
		{"13ac-KeySignatures-Octaves.xml", score.Top, "1:3major 2:-2major 3:7major", keys},
		// "major, minor, ionian, dorian, phrygian, lydian, mixolydian, aeolian, and
		// locrian; All modes are given with 2 sharps."
		{"13b-KeySignatures-ChurchModes.xml", score.Top, "1:2major 2:2minor 3:2ionian 4:2dorian 5:2phrygian 6:2lydian " +
			"7:2mixolydian 8:2aeolian 9:2locrian", keys},
		// The tonics of two sharps, by the place of each mode on the white keys.
		{"13b-KeySignatures-ChurchModes.xml", score.Top, "D B D E F# G A B C#", func(p *score.Part) string {
			return each(p.Keys, func(k score.KeyMark) string { return strings.Fields(k.Key.Name())[0] })
		}},
		// "g flat-and-a-half, a flat, b half-flat, c natural, d half-sharp, e sharp,
		// f sharp-and-a-half": whole alterations are kept, halves said to be lost
		{"13d-KeySignatures-Microtones.xml", score.Top, "[Gb Ab B C D E# F#]", func(p *score.Part) string {
			return fmt.Sprint(p.Keys[0].Key.Other)
		}},
		// "the first staff has one line globally": its notes are not moved by it
		{"14a-StaffDetails-LineChanges.xml", score.Top, "D5@0 D5@1 D5@2", onsets},
	})
	// "the second part has 5 lines initially", then fewer, even inside a bar
	p := suitePart(t, "14a-StaffDetails-LineChanges.xml", score.Selection{Part: "2"})
	if got, want := onsets(p), "G4@0 G4@1 G4@3/2 G4@2 G4@5/2"; got != want {
		t.Errorf("14a, part 2: got %s, want %s", got, want)
	}
}
