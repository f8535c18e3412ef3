package musicxml

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"waterkey/score"
)

// The files 31 to 99 of the public test suite once more: signs, spanners and
// headings that the other tests of them leave open, staves and voices, and what
// the reader must say it left out. Each file's own words stand beside the fact.

// roadSigns lists segno and coda by the index of their bar.
func roadSigns(p *score.Part) string {
	var out []string
	for i, b := range p.Bars {
		if b.Segno {
			out = append(out, fmt.Sprintf("segno@%d", i))
		}
		if b.Coda {
			out = append(out, fmt.Sprintf("coda@%d", i))
		}
	}
	return strings.Join(out, " ")
}

// spanners lists in which bar, from 1, a note has a slur to the next note, a
// glissando, a trill or a tremolo.
func spanners(p *score.Part) string {
	var out []string
	for _, n := range p.Notes {
		for _, s := range []struct {
			name  string
			there bool
		}{
			{"slur", n.SlurTo}, {"gliss", n.GlissTo}, {"trill", n.Marks.Has(score.Trill)}, {"tremolo", n.Marks.Has(score.Tremolo)},
		} {
			if s.there {
				out = append(out, fmt.Sprintf("%s@%s", s.name, p.Bars[n.Bar].Number))
			}
		}
	}
	return strings.Join(out, " ")
}

func headers(p *score.Part) string { return p.Composer + " | " + p.Name }

func onsetsFromZero(p *score.Part) string {
	return each(p.Notes, func(n score.Note) string { return n.Onset.String() })
}

func TestSuiteDirectionsAndSpanners(t *testing.T) {
	checkFacts(t, []fact{
		// "All <direction> elements": four rehearsal marks A, B, Test, Crc; segno, coda and words; abc-ffz among the dynamics;
		// "subito p" at the end.
		{"31a-Directions.xml", score.Top, `segno@1 coda@1 | "[A]" "[B]" "[Test]" "[Crc]" "words" "abc-ffz" "subito"`, all(roadSigns, wordList)},
		// The same: a wedge over the first quarter of bar 9, a metronome mark of 60 in bar 12; in bar 14 "ppp<fff", its wedge a
		// quarter long and moved by an offset of two quarters.
		{"31a-Directions.xml", score.Top, `8-33/4:true 55/4-14:true | 11:"" 1/4=60`, all(wedges, tempos)},
		// "both above", "acc below", "ten below", "stacc above": lyrics of the last two notes
		{"32ac-Notations4.xml", score.Top, "- - - - -stacc+marc -stacc+ten+acc", markNames},
		// "Different Arpeggio directions (normal, up, down, non-arpeggiate)": seven chords C4 E5 G5, all a quarter long
		{"32d-Arpeggio.xml", score.Top, times(7, "G5") + " | " + times(7, "1/4"), all(pitches, noteLengths)},
		{"32d-Arpeggio.xml", score.Bottom, times(7, "C4") + " | " + times(7, "1/4"), all(pitches, noteLengths)},
		// "tuplet, slur (solid, dashed), ... tr + wavy-line, ... glissando (wavy), ... slide (solid), ... two-note tremolo (B to D#)"
		{"33a-Spanners.xml", score.Top, "slur@2 slur@2 slur@3 slur@3 trill@6 gliss@16 gliss@18 tremolo@20 tremolo@20 | 3:2 3", all(spanners, tupletRuns)},
		// "All types of octave shifts": no note is moved in time.
		{"33d-Spanners-OctaveShifts.xml", score.Top, "0 1/8 1/4 3/8 1/2 5/8 3/4 7/8 15/16", onsetsFromZero},
		// "Several header fields and part names can contain quotes"
		{"51b-Header-Quotes.xml", score.Top, `Some "Tester" Name | Staff "Test"`, headers},
		// "first the key signature should be one sharp, after the change it should have no accidentals"
		{"72c-TransposingInstruments-Change.xml", score.Top, "1:1major 2:0major | C4 C4 C4", all(keys, writtenPitches)},
		// An example whose beams never end: "one either needs to ignore all beaming information or close all beams". One slur
		// goes over all; five thirty-second notes and an eighth.
		{"99a-Sibelius5-IgnoreBeaming.xml", score.Top, "E6> <F#6> <F#6> <F#6> <G#6> <B6 | 1/32 1/32 1/32 1/8 1/32 1/32", all(slurs, noteLengths)},
	})
}

// "stopped" is the one technique among those of 32ab that changes the sound as a
// mute does; the lyric names it. No other note of the file is marked.
func TestSuiteStoppedNote(t *testing.T) {
	d := open(t, sharedFile(t, "suite/32ab-Notations3.xml"))
	found, notes := 0, noteElements(d)
	for _, n := range part(t, d, score.Selection{}).Notes {
		want := score.Mark(0)
		if notes[n.ID].child("lyric").child("text").value() == "stopped" {
			want = score.Muted
			found++
		}
		if n.Marks != want {
			t.Errorf("note %s has the marks %b, want %b", n.ID, n.Marks, want)
		}
	}
	if found != 1 {
		t.Errorf("%d notes are stopped, want 1", found)
	}
}

func TestSuiteVoicesAndStaves(t *testing.T) {
	checkFacts(t, []fact{
		// "Two voices share one staff": the first, with an accent and a fermata on its first note, an mf under its second.
		{"42a-MultiVoice-TwoVoicesOnStaff-Lyrics.xml", score.Top, "E5 D5 B4 D5 B3> <C5 | 1/2 1/4 1/4 1/4 3/8 1/8 | mf@1/2",
			all(slurs, noteLengths, dynamics)},
		{"42a-MultiVoice-TwoVoicesOnStaff-Lyrics.xml", score.Top, "-acc+ferm - - - - -", markNames},
		// "a clef change in the middle of a measure and a <backward> for voice 2 jumping back beyond that clef change"
		{"42b-MultiVoice-MidMeasureClefChange.xml", score.Top, "treble@0 bass@3/8 treble@3/4 | 3/4 3/4", all(clefPlaces, barLengths)},
		// "A simple piano staff"
		{"43a-PianoStaff.xml", score.Top, "F4 | treble@0", all(pitches, clefPlaces)},
		// "different keys and clefs for each of its staves": the upper has neither sharps nor flats.
		{"43b-MultiStaff-DifferentKeys.xml", score.Top, "F4 | 1:0 | treble@0", all(pitches, keys, clefPlaces)},
		// "The key and clef for the second staff is given only after a backward"
		{"43c-MultiStaff-DifferentKeysAfterBackup.xml", score.Top, "F4 | 1:0 | treble@0", all(pitches, keys, clefPlaces)},
		// "The voice from the second staff has some notes/chords on the first staff": those are read where they stand.
		{"43d-MultiStaff-StaffChange.xml", score.Top, "E4 E4 C5 E4 G4 C4 G4 | 1/8 3/8 1/2 5/8 9/8 5/4 11/8", all(pitches, onsetsFromZero)},
		// "each element (ffff, wedge and clef changes) applies only to one voice or one staff": wedge and G clef are the lower's.
		{"43e-Multistaff-ClefDynamics.xml", score.Top, "ffff@0 p@3/4 |  | treble@0 mezzo-soprano@2 | 1:0major 2:2major",
			all(dynamics, wedges, clefPlaces, keys)},
		// "Normally, a slurred group of notes is assigned only one lyrics syllable."
		{"61d-Lyrics-Melisma.xml", score.Top, "C5> <E5> <C5> <E5 C5 C5> <E5", slurs},
		// "Grace notes shall not mess up the lyrics": nor the lengths
		{"61f-Lyrics-GracedNotes.xml", score.Top, "1/4 0 1/4 1/4 0 1/4 1/2 0 0 0 1/4 1/4 | 1 1", all(noteLengths, barLengths)},
		// "The staff will only contain one c' note (NO chord) for all of them"
		{"71f-AllChordTypes.xml", score.Top, times(37, "C4"), pitches},
		// "multiple subsequent harmony elements, indicating a harmony change during a note"
		{"71g-MultipleChordnames.xml", score.Top, "A4 G4 | 1/2 1/2", all(pitches, noteLengths)},
		// "A five-line staff with bass clef for Timpani": a tied note over the barline, then another
		{"73a-Percussion.xml", score.Top, "E3 A2 | 3/2 1/2 | bass@0", all(pitches, noteLengths, clefPlaces)},
	})
}

// 99b is 61h with its beams to be ignored, so the notes are the same.
func TestSuiteBeamsDoNotMatter(t *testing.T) {
	say := all(slurs, noteLengths, restOnsets, barLengths)
	beamed := say(suitePart(t, "61h-Lyrics-BeamsMelismata.xml", score.Selection{}))
	if got := say(suitePart(t, "99b-Lyrics-BeamsMelismata-IgnoreBeams.xml", score.Selection{})); got != beamed || len(got) < 100 {
		t.Errorf("got  %s\nwant %s", got, beamed)
	}
}

func numbered(n int) []string {
	var out []string
	for i := range n {
		out = append(out, fmt.Sprintf("P%d", i))
	}
	return out
}

// What the 41 files say of their parts. Brackets that group staves are layout.
func TestSuitePartNames(t *testing.T) {
	for file, want := range map[string][]string{
		// "A piece with four parts [...] converted in the correct order?"
		"41a-MultiParts-Partorder.xml": {"Part 1", "Part 2", "Part 3", "Part 4"},
		// "A piece with 20 parts [...] correctly sorted": without names, so by their ids
		"41b-MultiParts-MoreThan10.xml": numbered(20),
		// "A huge orchestra score with 28 parts"
		"41c-StaffGroups.xml": {"Piccolo", "Flute 1", "Flute 2", "Oboe", "English Horn", "Clarinet in Eb", "Clarinet in Bb 1", "Clarinet in Bb 2",
			"Bass Clarinet", "Bassoon 1", "Bassoon 2", "Contrabassoon", "Horn in F 1", "Horn in F 2", "Trumpet in C 1", "Trumpet in C 2",
			"Trombone 1", "Trombone 2", "Tuba", "Timpani", "Percussion", "Harp", "Piano", "Violin I", "Violin II", "Viola", "Cello", "Contrabass"},
		// "One group [...] goes from staff 2 to 4"; five staves
		"41d-StaffGroups-Nested.xml": repeated("MusicXML Part", 5),
		// "Part names and abbreviations can contain line breaks."
		"41e-StaffGroups-InstrumentNames-Linebroken.xml": {"Long Staff Name"},
		// "another group [...] goes from staff 3 to 5"
		"41f-StaffGroups-Overlapping.xml": repeated("MusicXML Part", 5),
		// "Since this piece has only one part, it is clear which part is described by the one part element."
		"41g-PartNoId.xml": {"MusicXML Part"},
		// "One can either convert all the parts present, but not listed in the part-list, or simply [...] ignore them."
		"41h-TooManyParts.xml": {"MusicXML Part", "P3", "P4"},
		// "the second one (same part-name) overrides it with a custom text"
		"41i-PartNameDisplay-Override.xml": {"Part name", "Overridden Part Name"},
	} {
		d := open(t, sharedFile(t, "suite/"+file))
		var got []string
		for i := range d.Parts() {
			got = append(got, part(t, d, score.Selection{Part: fmt.Sprint(i + 1)}).Name)
		}
		if !slices.Equal(got, want) {
			t.Errorf("%s:\ngot  %q\nwant %q", file, got, want)
		}
	}
}

func repeated(name string, n int) []string { return slices.Repeat([]string{name}, n) }

// leftOutOnce are sentences that stand once, at their first place, in the part
// given by its number.
var leftOutOnce = []struct {
	file, part, says string
}{
	// dashes in bar 9 with no words: an extent of nothing that is named
	{"31a-Directions.xml", "1", "bar 9 (line 476): dashes without words were left out"},
	// "All <notation> elements": the lyric is "acc.mark"
	{"32a-Notations.xml", "1", "accidental marks on notes were left out"},
	// "All <ornament> elements": the lyrics are "wavy" and "line"
	{"32aa-Notations2_Ornaments.xml", "1", "wavy lines without a trill sign were left out"},
	// "single-note trill spanner", "dashes"
	{"33a-Spanners.xml", "1", "bar 7 (line 297): wavy lines without a trill sign were left out"},
	{"33a-Spanners.xml", "1", "dashes without words were left out"},
	// "two-note tremolo (B to D#)"
	{"33a-Spanners.xml", "1", "that a tremolo goes to and fro between two notes was left out"},
	// "Barlines can appear at mid-measure positions, without using an implicit measure!"
	{"46b-MidmeasureBarline.xml", "1", "bar 1 (line 41): a barline in the middle of the bar was left out"},
	// "A part with no id attribute."
	{"41g-PartNoId.xml", "1", "the part has no id; it was read as the only part"},
	// "more part elements than the part-list section gives"
	{"41h-TooManyParts.xml", "2", "bar 1 (line 28): the part list leaves the part out; it goes by its id"},
	{"41h-TooManyParts.xml", "3", "bar 1 (line 38): the part list leaves the part out; it goes by its id"},
	// the wedge of the lower staff
	{"43e-Multistaff-ClefDynamics.xml", "1", "the directions on staff 2 were left out"},
	// "the MusicXML file does not make sense in the first place": ending 2 stops in bar 4, after it was discontinued in bar 3
	{"45f-Repeats-InvalidEndings.xml", "1", "bar 4 (line 79): the end of an ending without a start was left out"},
	// "The displayed instrument name should also be updated."
	{"72c-TransposingInstruments-Change.xml", "1", "the part's new name, Clarinet in Bb, was left out"},
	// "a one-line percussion staff with only unpitched notes"
	{"73a-Percussion.xml", "2", "notes without pitch were left out"},
	{"73a-Percussion.xml", "3", "notes without pitch were left out"},
	// "A wavy line starts on the first note, ends on the second, starts again on the second"
	{"99c-Wavy-Lines-No-Numbers.xml", "1", "wavy lines without a trill sign were left out"},
}

func TestSuiteSaysOnceWhatIsLeftOut(t *testing.T) {
	for _, c := range leftOutOnce {
		checkSaidOnce(t, suitePart(t, c.file, score.Selection{Part: c.part}), c.file, c.says)
	}
}

// checkSaidOnce wants one sentence that holds the words, with its first bar and
// its line; a run of bars would be another kind of sentence.
func checkSaidOnce(t *testing.T, p *score.Part, file, says string) {
	t.Helper()
	count := 0
	for _, s := range p.Skipped {
		if strings.Contains(s, says) && strings.HasPrefix(s, "bar ") && strings.Contains(s, "(line ") {
			count++
		}
	}
	if count != 1 {
		t.Errorf("%s, %s: %q is said %d times in %q, want once", file, p.Name, says, count, p.Skipped)
	}
}

// Lyrics, chord names and figured bass are one sentence for the part, however
// many bars hold them.
func TestSuiteSaysTextsOnce(t *testing.T) {
	for pattern, says := range map[string]string{
		"61*": "lyrics were left out", "71[acdfg]*": "chord symbols were left out", "74a*": "figured bass was left out",
		"75a*": "accordion-registration directions were left out", "99[bcd]*": "lyrics were left out",
	} {
		files, err := filepath.Glob(filepath.Join(sharedFile(t, "suite"), pattern))
		if err != nil || len(files) == 0 {
			t.Fatalf("%s: %v, %v", pattern, files, err)
		}
		for _, path := range files {
			checkSaidOnce(t, part(t, open(t, path), score.Selection{}), filepath.Base(path), says)
		}
	}
}

// Where the page is sound nothing is said: the files that a single line holds
// whole.
func TestSuiteNothingToSay(t *testing.T) {
	for _, file := range []string{
		"32b-Articulations-Texts.xml", "32c-MultipleNotationChildren.xml", "32e-Fermatas.musicxml", "33b-Spanners-Tie.xml", "33c-Spanners-Slurs.xml",
		"33f-Trill-EndingOnGraceNote.xml", "41a-MultiParts-Partorder.xml", "41i-PartNameDisplay-Override.xml", "45a-SimpleRepeat.xml",
		"45b-RepeatWithAlternatives.xml", "45c-RepeatMultipleTimes.xml", "45d-Repeats-Nested-Alternatives.xml",
		"45e-Repeats-Nested-Alternatives.xml", "45g-Repeats-NotEnded.xml", "46a-Barlines.xml",
		"46c-Midmeasure-Clef.xml", "46d-PickupMeasure-ImplicitMeasures.xml", "46f-IncompleteMeasures.xml", "52a-PageLayout.xml", "52b-Breaks.xml",
		"72a-TransposingInstruments.xml", "72b-TransposingInstruments-Full.xml", "99a-Sibelius5-IgnoreBeaming.xml",
	} {
		if p := suitePart(t, file, score.Selection{}); len(p.Skipped) > 0 {
			t.Errorf("%s: %q", file, p.Skipped)
		}
	}
}

// A trill's wavy line may be cut up over tied notes, and a page may print the
// part's name again: nothing is lost then, and nothing said.
func TestNothingIsLostSoNothingSaid(t *testing.T) {
	const wavy = `<wavy-line type="start"/><wavy-line type="stop"/>`
	p := part(t, parse(t, doc(
		"<print><part-name-display><display-text>Trombone</display-text></part-name-display></print>"+
			note("C4", 4, tieStart, "<notations><ornaments>"+wavy+"<trill-mark/></ornaments></notations>"),
		note("C4", 4, tieStop, "<notations><ornaments>"+wavy+"</ornaments></notations>"),
	)), score.Selection{})
	if len(p.Skipped) > 0 || len(p.Notes) != 1 || p.Notes[0].Marks != score.Trill || p.Name != "Trombone" {
		t.Errorf("%s: %+v, skipped %q", p.Name, p.Notes, p.Skipped)
	}
}
