package musicxml

import (
	"fmt"
	"strings"
	"testing"

	"waterkey/score"
)

// mutedNotes says of each note whether it is muted: m, or - for open.
func mutedNotes(p *score.Part) string {
	return each(p.Notes, func(n score.Note) string {
		if n.Marks.Has(score.Muted) {
			return "m"
		}
		return "-"
	})
}

// The words for the mute in four languages, and those for taking it out (common
// practice). What only sounds like them changes nothing.
func TestMuteWords(t *testing.T) {
	for text, want := range map[string]string{
		"con sord.": "- m m", "con sordino": "- m m", "Solo con sordini": "- m m", "mit Dämpfer": "- m m", "avec sourdine": "- m m",
		"straight mute": "- m m", "with cup mute": "- m m", "muted": "- m m", "(mute)": "- m m", "gestopft": "- m m",
		"muta in Bb": "- - -", "sordamente": "- - -", "open the bell": "- - -", "dolce": "- - -",
	} {
		p := readPart(t, note("C3", 4)+words(text)+note("D3", 8), note("E3", 16))
		if got := mutedNotes(p); got != want {
			t.Errorf("%s: got %s, want %s", text, got, want)
		}
		if want != "- - -" && len(p.Words) != 1 {
			t.Errorf("%s: the words are %v; want them kept", text, p.Words)
		}
	}
	for _, text := range []string{"senza sord.", "via sordini", "ohne Dämpfer", "Dämpfer weg", "sans sourdine", "open", "(open)", "no mute", "mute off", "mute out"} {
		p := readPart(t, words("con sord.")+note("C3", 8)+words(text)+note("D3", 8), note("E3", 16))
		if got := mutedNotes(p); got != "m - -" {
			t.Errorf("%s: got %s, want m - -", text, got)
		}
	}
}

// Signs and playback put a mute in and out as words do.
func TestMuteSignsAndPlayback(t *testing.T) {
	p := readPart(t,
		`<sound><play><mute>cup</mute></play></sound>`+note("C3", 8)+`<sound><play><mute>off</mute></play></sound>`+note("C3", 8),
		direction(`<string-mute type="on"/>`)+note("C3", 8)+direction(`<string-mute type="off"/>`)+note("C3", 8))
	if got := mutedNotes(p); got != "m - m -" {
		t.Errorf("got %s, want m - m -", got)
	}
}

func ornamented(ornament string) string {
	return note("C3", 16, "<notations><ornaments>"+ornament+"</ornaments></notations>")
}

// Ornaments keep their names, with the accidentals printed above and below them.
func TestOrnamentsAreToldApart(t *testing.T) {
	p := readPart(t,
		ornamented("<trill-mark/><accidental-mark>flat</accidental-mark>"),
		ornamented(`<inverted-turn/><accidental-mark placement="below">sharp</accidental-mark><accidental-mark>flat</accidental-mark>`),
		ornamented("<mordent/>"), ornamented("<inverted-mordent/>"), ornamented("<schleifer/>"),
		ornamented(`<tremolo type="single">2</tremolo>`), ornamented(`<tremolo type="unmeasured">0</tremolo>`), ornamented("<tremolo/>"),
		ornamented("<accidental-mark>flat</accidental-mark>"))
	if got := ornaments(p); got != "trill-mark^flat inverted-turn^flat_sharp mordent inverted-mordent schleifer" {
		t.Errorf("got %s", got)
	}
	if got := strokes(p); got != "2" {
		t.Errorf("strokes %s, want 2 on one note", got)
	}
	want := "-tr -orn -orn -orn -orn -trem -trem -trem -"
	if got := markNames(p); got != want {
		t.Errorf("got %s, want %s", got, want)
	}
	wantSkipped(t, p, "bar 9 (line 43): accidental marks on notes were left out")
}

// A tied note and a chord keep the ornament of whichever piece carries it.
func TestOrnamentsOfTiesAndChords(t *testing.T) {
	tr := "<notations><ornaments><trill-mark/></ornaments></notations>"
	chord := strings.Replace(note("E3", 16, tr), "<note>", "<note><chord/>", 1)
	p := readPart(t, note("C3", 16, tieStart), note("C3", 16, tieStop, tr), note("G3", 16)+chord)
	if got := ornaments(p); got != "trill-mark trill-mark" || len(p.Notes) != 2 {
		t.Errorf("%d notes, ornaments %s; want one on each of two", len(p.Notes), got)
	}
}

// The sign at the left of a bar ends the bar before; the sign there goes first.
func TestBarlinesEndTheirBars(t *testing.T) {
	line := func(where, style string) string {
		return `<barline location="` + where + `"><bar-style>` + style + `</bar-style></barline>`
	}
	p := readPart(t, note("C3", 16), line("left", "light-light")+note("C3", 16)+line("right", "dotted"),
		line("left", "heavy-light")+note("C3", 16)+line("right", "wavy"), note("C3", 16)+line("right", "light-heavy"))
	if got := barStyleNames(p); got != "light-light dotted - light-heavy" {
		t.Errorf("got %s", got)
	}
	wantSkipped(t, p, `bar 3 (line 20): the barline "wavy" was read as a plain one`)
}

func TestHairpinsFromAndToNothing(t *testing.T) {
	p := readPart(t,
		direction(`<wedge type="crescendo" niente="yes"/>`)+note("C3", 16)+direction(`<wedge type="stop"/>`),
		direction(`<wedge type="diminuendo"/>`)+note("C3", 16)+direction(`<wedge type="stop" niente="yes"/>`),
		direction(`<wedge type="diminuendo"/>`)+note("C3", 16)+direction(`<wedge type="stop"/>`))
	if got := each(p.Wedges, func(w score.Wedge) string { return fmt.Sprint(w.Grow, w.Niente) }); got != "true true false true false false" {
		t.Errorf("got %s", got)
	}
}

// What a single line of plain notes cannot hold is said, with its name.
func TestRareSignsAreSaid(t *testing.T) {
	notations := func(s string) string { return note("C3", 16, "<notations>"+s+"</notations>") }
	for bar, want := range map[string]string{
		notations(`<articulations><other-articulation>ping</other-articulation></articulations>`):                                      `the articulation "ping" was left out`,
		notations(`<other-notation type="single">bisbigliando</other-notation>`):                                                       `the notation "bisbigliando" was left out`,
		notations(`<technical><double-tongue/></technical>`):                                                                           "double-tongue marks on notes were left out",
		note("C3", 16, "<notehead>x</notehead>"):                                                                                       "note heads of other shapes were read as plain ones",
		strings.Replace(note("C3", 16), "<note>", `<note time-only="2">`, 1):                                                           "that some notes are for single passes of a repeat was left out; they were read for all",
		note("C3", 16) + `<barline location="right"><repeat direction="backward" after-jump="yes"/></barline>`:                         "that the repeat is taken again after a jump was left out",
		note("C3", 8) + `<barline location="middle"><repeat direction="backward"/></barline>` + note("C3", 8):                          "a repeat sign in the middle of the bar was left out",
		direction("<metronome><beat-unit>quarter</beat-unit><beat-unit>half</beat-unit></metronome>") + note("C3", 16):                 "a metronome mark that sets one note value equal to another was left out",
		direction(`<octave-shift type="down"/>`) + note("C3", 16):                                                                      "octave lines were left out; the notes stand where they sound",
		direction(`<scordatura/>`) + note("C3", 16):                                                                                    "scordatura directions were left out",
		note("C3", 16, `<notations><ornaments><tremolo type="start">3</tremolo></ornaments></notations>`):                              "that a tremolo goes to and fro between two notes was left out",
		`<attributes><measure-style><beat-repeat type="start"/></measure-style><divisions>4</divisions></attributes>` + note("C3", 16): "beat-repeat signs were left out; the notes of the file were read",
	} {
		p := readPart(t, bar)
		if len(p.Skipped) != 1 || !strings.HasPrefix(p.Skipped[0], "bar 1 (line 1") || !strings.HasSuffix(p.Skipped[0], "): "+want) {
			t.Errorf("skipped %q, want %q", p.Skipped, want)
		}
	}
}

// A sign that repeats the bar before stands for notes that the file may leave out.
func TestRepeatedBarsWithoutNotesAreSaid(t *testing.T) {
	style := func(kind string) string {
		return `<attributes><measure-style><measure-repeat type="` + kind + `">1</measure-repeat></measure-style></attributes>`
	}
	p := readPart(t, note("C3", 16), style("start")+restXML(16), "", note("C3", 16), style("stop")+restXML(16))
	const says = "a sign repeats here what stands before, but the file holds no notes to read"
	if got := strings.Join(p.Skipped, "; "); !strings.Contains(got, "bars 2 to 3 (line 14): "+says) || strings.Count(got, says) != 1 {
		t.Errorf("skipped %s", got)
	}
}

// Playback attributes may imply a repeat, as in a trio, and hide a metronome mark;
// all other playback is of no concern.
func TestPlaybackOnly(t *testing.T) {
	p := readPart(t, note("C3", 16), `<sound forward-repeat="yes" dynamics="80" pizzicato="yes"/>`+note("C3", 16),
		direction(`<metronome print-object="no"><beat-unit>half</beat-unit><per-minute>60</per-minute></metronome>`)+note("C3", 16))
	if !p.Bars[1].RepeatStart || p.Bars[0].RepeatStart || len(p.Skipped) > 0 {
		t.Errorf("bars %+v, skipped %q", p.Bars, p.Skipped)
	}
	if got := tempos(p); got != `2:"" 0=120` {
		t.Errorf("got %s; want 120 quarter notes without a printed unit", got)
	}
}

func TestDirectiveAmongTheAttributes(t *testing.T) {
	p := readPart(t, strings.Replace(firstAttributes, "</attributes>", "<directive>Allegro</directive></attributes>", 1)+note("C3", 16))
	if got := tempos(p); got != `0:"Allegro" 0=0` {
		t.Errorf("got %s", got)
	}
}
