package musicxml

import (
	"fmt"
	"strings"
	"testing"

	"waterkey/score"
)

func TestElementLimit(t *testing.T) {
	if _, err := parseTree("<a><a/><a/></a>", 3); err != nil {
		t.Error(err)
	}
	if _, err := parseTree("<a><a/><a/></a>", 2); err == nil || !strings.Contains(err.Error(), "more than 2 elements and attributes") {
		t.Errorf("got %v", err)
	}
}

func TestRestatedSignaturesAreNoChange(t *testing.T) {
	p := readPart(t, note("C3", 16), strings.Replace(firstAttributes, "<divisions>4</divisions>", "", 1)+note("C3", 16))
	if len(p.Clefs) != 1 || len(p.Keys) != 1 || len(p.Meters) != 1 {
		t.Errorf("clefs %v, keys %v, meters %v; want one of each", p.Clefs, p.Keys, p.Meters)
	}
}

func TestTranspositionByOctavesAndWithoutSteps(t *testing.T) {
	for inner, want := range map[string]string{
		"<diatonic>0</diatonic><chromatic>0</chromatic><octave-change>-1</octave-change>": "C2",
		"<chromatic>-2</chromatic>":                                 "Bb2",
		"<chromatic>-14</chromatic>":                                "Bb1",
		"<chromatic>3</chromatic>":                                  "Eb3",
		"<diatonic>-5</diatonic><chromatic>-9</chromatic><double/>": "Eb2",
	} {
		p := readPart(t, "<attributes><divisions>4</divisions><transpose>"+inner+"</transpose></attributes>"+note("C3", 16))
		if n := p.Notes[0]; n.Pitch.String() != want || n.Written.String() != "C3" {
			t.Errorf("%s: sounds %s, written %s; want %s and C3", inner, n.Pitch, n.Written, want)
		}
	}
}

func TestOctaveTranspositionKeepsTheSpelling(t *testing.T) {
	p := readPart(t, "<attributes><divisions>4</divisions><transpose><chromatic>0</chromatic><octave-change>-1</octave-change></transpose></attributes>"+note("G#3", 16))
	if got := pitches(p); got != "G#2" {
		t.Errorf("sounds %s, want G#2", got)
	}
}

// MusicXML writes microtones as decimal semitones; 01d of the suite has "c
// flat-and-a-half, d half-flat, e half-sharp, f sharp-and-a half".
func TestMicrotones(t *testing.T) {
	for alter, want := range map[string]string{
		"-1.5": "Cb3 -50", "-0.5": "C3 -50", "0.5": "C3 50", "1.5": "C#3 50", "0.75": "C#3 -25", "-0.75": "Cb3 25", "2": "C##3 0",
	} {
		p := readPart(t, strings.Replace(note("C3", 16), "<octave>", "<alter>"+alter+"</alter><octave>", 1))
		if got := fmt.Sprint(p.Notes[0].Pitch, " ", p.Notes[0].Pitch.Cents); got != want {
			t.Errorf("alter %s: got %s, want %s", alter, got, want)
		}
	}
}

func TestRepeatSignsInUnusualPlaces(t *testing.T) {
	back := `<repeat direction="backward"/>`
	p := readPart(t,
		note("C3", 16),
		`<barline location="left"><ending number="1" type="start"/></barline>`+note("C3", 16)+`<barline location="right">`+back+`</barline>`,
		note("C3", 16),
		`<barline location="left">`+back+`</barline>`+note("C3", 8)+`<barline location="middle">`+back+`</barline>`+note("C3", 8))
	got := each(p.Bars, func(b score.Bar) string { return fmt.Sprint(b.RepeatEnd, b.Endings) })
	if want := "0 [] 2 [1] 2 [] 0 []"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
	wantSkipped(t, p, "bar 4 (line 24): a repeat sign in the middle of the bar was left out")
}

func TestDirectionsFindTheirMoment(t *testing.T) {
	dyn := func(mark, rest string) string { return direction("<dynamics><"+mark+"/></dynamics>", rest) }
	chord := strings.Replace(note("E3", 4), "<note>", "<note><chord/>", 1)
	p := readPart(t,
		note("C3", 4)+dyn("p", "")+chord+ // inside a chord: where the chord starts
			dyn("f", "<offset>2</offset>")+ // moved on the page only
			dyn("ff", `<offset sound="yes">4</offset>`)+
			dyn("mf", "<staff>2</staff>")+ // of another staff
			note("D3", 12))
	got := each(p.Dynamics, func(d score.DynamicMark) string { return d.Mark + "@" + d.At.String() })
	if want := "p@0 f@1/4 ff@1/2"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

func TestPrintedTempoGoesBeforePlayback(t *testing.T) {
	metro := direction("<metronome><beat-unit>half</beat-unit><per-minute>60</per-minute></metronome>")
	for name, bar := range map[string]string{
		"first": metro + `<sound tempo="111"/>`, "second": `<sound tempo="111"/>` + metro,
	} {
		p := readPart(t, bar+note("C3", 16))
		if len(p.Tempos) != 1 || p.Tempos[0].BPM != 60 || p.Tempos[0].Unit != score.Frac(1, 2) {
			t.Errorf("%s: %v; want half note = 60", name, p.Tempos)
		}
	}
}

func TestDashesMayFollowTheirWords(t *testing.T) {
	p := readPart(t, words("cresc.")+direction(`<dashes type="start" number="2"/>`)+note("C3", 16)+direction(`<dashes type="stop" number="2"/>`), note("C3", 16))
	if len(p.Wedges) != 1 || !p.Wedges[0].Grow || p.Wedges[0].To != score.Frac(1, 1) || p.Wedges[0].ToBar != 0 || len(p.Words) != 0 {
		t.Errorf("hairpins %+v, words %v; want one through the first bar and no words", p.Wedges, p.Words)
	}
	p = readPart(t, words("rit.")+direction(`<dashes type="start"/>`)+note("C3", 16)+direction(`<dashes type="stop"/>`))
	if len(p.Wedges) != 0 || len(p.Words) != 1 {
		t.Errorf("hairpins %v, words %v; rit. is no hairpin", p.Wedges, p.Words)
	}
}

func TestMarksOnLaterPiecesAndChordNotes(t *testing.T) {
	n := func(s string) string { return "<notations>" + s + "</notations>" }
	chord := strings.Replace(note("C2", 4, n(`<slur type="start"/>`)), "<note>", "<note><chord/>", 1)
	p := readPart(t,
		note("C3", 4, tieStart)+note("C3", 4, tieStop+n(`<slur type="start" number="2"/><slide type="start"/>`))+note("D3", 8, n(`<slur type="stop" number="2"/>`)),
		note("E3", 4)+chord+note("F3", 12, n(`<slur type="stop"/>`)))
	got := each(p.Notes, func(x score.Note) string { return fmt.Sprint(x.SlurTo, x.SlurFrom, x.GlissTo) })
	if want := "true false true false true false true false false false true false"; got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
}

func TestAccentBeforeARestFindsNoNoteInTheNextBar(t *testing.T) {
	sf := direction("<dynamics><sf/></dynamics>")
	p := readPart(t, sf+restXML(4)+note("C3", 4)+sf+restXML(8), note("D3", 16))
	if got := each(p.Notes, func(n score.Note) string { return n.Attack }); got != "sf " || len(p.Skipped) != 1 {
		t.Errorf("accents %q, skipped %q; want the first note's alone", got, p.Skipped)
	}
}

func TestWholeBarRests(t *testing.T) {
	rest := func(divisions int, kind string) string {
		return strings.Replace(restXML(divisions), "</note>", kind+"</note>", 1)
	}
	p := readPart(t, rest(16, "<type>whole</type>"), rest(16, ""), rest(8, "")+rest(8, "<type>half</type>"),
		"<attributes><time><beats>3</beats><beat-type>4</beat-type></time></attributes>"+rest(12, "<type>half</type><dot/>"), rest(12, "<type>whole</type>"), rest(8, ""),
		"<attributes><time><beats>6</beats><beat-type>4</beat-type></time></attributes>"+rest(24, "<type>whole</type><dot/>"))
	if got := each(p.Rests, func(r score.Rest) string { return fmt.Sprint(r.WholeBar) }); got != "true true false false false true false false" {
		t.Errorf("got %s", got)
	}
}

func TestSecondStaffIsLeftOut(t *testing.T) {
	p := readPart(t, strings.Repeat(note("C3", 8, "<staff>1</staff>")+note("C2", 8, "<staff>2</staff>"), 1), note("D2", 16, "<staff>2</staff>"))
	wantNotes(t, p, "C3@0+1/2")
	wantSkipped(t, p, "bars 1 to 2 (line 12): the notes on staff 2 were left out")
}

func TestCourtesyAccidentals(t *testing.T) {
	p := readPart(t, note("C3", 4, "<accidental>natural</accidental>")+note("C3", 4, `<accidental cautionary="yes">natural</accidental>`)+
		note("C3", 8, `<accidental parentheses="yes">natural</accidental>`))
	got := each(p.Notes, func(n score.Note) string { return fmt.Sprint(n.Accidental, n.Courtesy) })
	if want := "naturalfalse naturaltrue naturaltrue"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

func TestChordNoteWithNothingToStandOn(t *testing.T) {
	chord := strings.Replace(note("E3", 8), "<note>", "<note><chord/>", 1)
	p := readPart(t, chord+grace("D3")+chord)
	wantNotes(t, p, "E3@0+1/2 D3@1/2+0 E3@1/2+1/2")
	if p.Bars[0].Length != score.Frac(1, 1) {
		t.Errorf("the bar lasts %s, want 1", p.Bars[0].Length)
	}
}

func TestMutes(t *testing.T) {
	harmon := func(closed string) string {
		return "<notations><technical><harmon-mute><harmon-closed>" + closed + "</harmon-closed></harmon-mute></technical></notations>"
	}
	p := readPart(t, note("C3", 4, harmon("yes"))+note("C3", 4, harmon("no"))+
		note("C3", 4, "<play><mute>straight</mute></play>")+note("C3", 4, "<play><mute>off</mute></play>"))
	if got := each(p.Notes, func(n score.Note) string { return fmt.Sprint(n.Marks.Has(score.Muted)) }); got != "true false true false" {
		t.Errorf("got %s", got)
	}
}

func TestHeadingsFromTheFirstPage(t *testing.T) {
	credit := func(kind, text string) string {
		return "<credit page=\"1\"><credit-type>" + kind + "</credit-type><credit-words>" + text + "</credit-words></credit>"
	}
	text := strings.Replace(doc(note("C3", 16)), "<part-list>", credit("composer", "N. N.")+credit("title", "A March")+"<part-list>", 1)
	if p := part(t, parse(t, text), score.Selection{}); p.Title != "A March" || p.Composer != "N. N." {
		t.Errorf("got %q by %q", p.Title, p.Composer)
	}
	text = strings.Replace(doc(note("C3", 16)), "<part-list>", "<credit><credit-words>A </credit-words><credit-words>Waltz</credit-words></credit><part-list>", 1)
	if p := part(t, parse(t, text), score.Selection{}); p.Title != "A Waltz" || p.Composer != "" {
		t.Errorf("got %q by %q", p.Title, p.Composer)
	}
}

func TestPartNamesAndCounts(t *testing.T) {
	cue := strings.Replace(note("C4", 4), "<note>", "<note><cue/>", 1)
	for display, want := range map[string]string{
		`<part-name-display><display-text>Trombone in B</display-text><accidental-text>flat</accidental-text></part-name-display>`: "Trombone in B flat",
		`<part-name-display print-object="no"><display-text>Trombone in B</display-text></part-name-display>`:                      "Trombone",
	} {
		d := parse(t, strings.Replace(doc(cue+note("C3", 12)), "</part-name>", "</part-name>"+display, 1))
		if got := d.Parts(); len(got) != 1 || got[0] != (score.PartInfo{ID: "P1", Name: want, Notes: 1}) {
			t.Errorf("got %+v, want %s with one note", got, want)
		}
	}
}

func TestMeasureTextIsTheNumberPrinted(t *testing.T) {
	text := strings.Replace(doc(note("C3", 16)), `<measure number="1">`, `<measure number="1" text="1a" implicit="yes">`, 1)
	if b := part(t, parse(t, text), score.Selection{}).Bars[0]; b.Number != "1a" || !b.Implicit || b.Line != 10 {
		t.Errorf("got %+v", b)
	}
}

func TestTimewisePartMayPauseInTheMiddle(t *testing.T) {
	bar := func(n, inner string) string { return `<measure number="` + n + `">` + inner + "</measure>" }
	in := func(id, inner string) string { return `<part id="` + id + `">` + inner + "</part>" }
	text := "<score-timewise>" + bar("1", in("A", firstAttributes+note("C3", 16))) + bar("2", in("B", firstAttributes+note("E3", 16))) +
		bar("3", in("A", note("D3", 16))+in("B", note("F3", 16))) + "</score-timewise>"
	d := parse(t, text)
	wantNotes(t, part(t, d, score.Selection{Part: "A"}), "C3@0+1 D3@2+1")
	// B has no meter yet in bar 1, so that bar has no length there
	wantNotes(t, part(t, d, score.Selection{Part: "B"}), "E3@0+1 F3@1+1")
}

func TestTopStaffLeadsTheWayForAll(t *testing.T) {
	text := doc(words("rit.")+note("C5", 16)+words("Fine"), note("C5", 16)+words("D.C. al Fine"))
	second := doc(words("rit.")+note("C3", 16), note("D3", 16))
	second = second[strings.Index(second, `<part id="P1">`):strings.Index(second, "</score-partwise>")]
	text = strings.Replace(text, "</score-partwise>", strings.Replace(second, "P1", "P2", 1)+"</score-partwise>", 1)
	p := part(t, parse(t, text), score.Selection{Part: "P2"})
	if !p.Bars[0].Fine || !p.Bars[1].DaCapo || len(p.Words) != 1 {
		t.Errorf("bars %+v, words %v; want Fine, D.C. and one rit.", p.Bars, p.Words)
	}
}
