package musicxml

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"waterkey/score"
)

func readPart(t testing.TB, bars ...string) *score.Part {
	t.Helper()
	p := part(t, parse(t, doc(bars...)), score.Selection{})
	checkSound(t, "fixture", p)
	return p
}

// brief writes a note as pitch@onset+duration.
func brief(n score.Note) string {
	return fmt.Sprintf("%s@%s+%s", n.Pitch, n.Onset, n.Duration)
}

func wantNotes(t *testing.T, p *score.Part, want string) {
	t.Helper()
	if got := each(p.Notes, brief); got != want {
		t.Errorf("notes\ngot  %s\nwant %s", got, want)
	}
}

// wantSkipped checks that exactly these things were said to be passed over.
func wantSkipped(t *testing.T, p *score.Part, want ...string) {
	t.Helper()
	if !slices.Equal(p.Skipped, want) {
		t.Errorf("skipped\ngot  %q\nwant %q", p.Skipped, want)
	}
}

func TestTies(t *testing.T) {
	p := readPart(t,
		note("Bb2", 16, tieStart),
		note("Bb2", 16, tieStop, tieStart),
		note("Bb2", 4, tieStop)+note("Bb2", 4)+note("C3", 8, tieStart),
		note("D3", 16))
	wantNotes(t, p, "Bb2@0+9/4 Bb2@9/4+1/4 C3@5/2+1/2 D3@3+1")
	wantSkipped(t, p, "bar 3 (line 21): a tie leads to no note and was left out")
	pieces := each(p.Notes[0].Pieces, func(x score.Piece) string { return fmt.Sprint(x.ID, "/", x.Bar, "/", x.Duration) })
	if want := "b1n1/0/1 b2n1/1/1 b3n1/2/1/4"; pieces != want {
		t.Errorf("pieces: got %s, want %s", pieces, want)
	}
}

func TestTieOverGraceNoteAndFromIt(t *testing.T) {
	p := readPart(t,
		note("C3", 8, tieStart)+grace("D3")+note("C3", 8, tieStop),
		grace("E3", tieStart)+note("E3", 16, tieStop))
	wantNotes(t, p, "C3@0+1 D3@1/2+0 E3@1+1")
	if n := p.Notes[2]; n.Grace || len(n.Pieces) != 2 || n.ID != "b2n1" {
		t.Errorf("the tied grace note is not part of its main note: %+v", n)
	}
}

func TestDrawnTiesCountWhereNoneSound(t *testing.T) {
	tied := func(kind string) string { return `<notations><tied type="` + kind + `"/></notations>` }
	wantNotes(t, readPart(t, note("C3", 8, tied("start"))+note("C3", 8, tied("stop"))), "C3@0+1")
}

func TestTheLineTakesTheVoiceWithNotes(t *testing.T) {
	p := readPart(t,
		note("C3", 8)+note("D3", 8)+voice2(16, note("C2", 16)),
		restXML(16)+voice2(16, note("E2", 16)),
		note("F3", 16),
		`<forward><duration>4</duration></forward>`+note("G3", 4))
	wantNotes(t, p, "C3@0+1/2 D3@1/2+1/2 E2@1+1 F3@2+1 G3@13/4+1/4")
	wantSkipped(t, p,
		"bar 1 (line 13): voice 2 was left out",
		"bar 2 (line 17): voice 2 was read, because voice 1 has no notes")
	if len(p.Rests) != 0 || p.Bars[3].Length != score.Frac(1, 2) {
		t.Errorf("got rests %v and a last bar of %s; want none and 1/2", p.Rests, p.Bars[3].Length)
	}
}

func TestChordsTopAndBottom(t *testing.T) {
	chord := strings.Replace(note("E3", 8), "<note>", "<note><chord/>", 1)
	text := doc(note("C3", 8, `<notations><articulations><accent/></articulations></notations>`) + chord + note("D3", 8))
	for line, want := range map[score.Line]string{score.Top: "E3@0+1/2 D3@1/2+1/2", score.Bottom: "C3@0+1/2 D3@1/2+1/2"} {
		p := part(t, parse(t, text), score.Selection{Line: line})
		wantNotes(t, p, want)
		if !p.Notes[0].Marks.Has(score.Accent) || len(p.Skipped) != 1 {
			t.Errorf("line %d: marks %b, skipped %q; want the chord's accent and one sentence", line, p.Notes[0].Marks, p.Skipped)
		}
	}
}

func TestOverlapIsCutAtTheLaterNote(t *testing.T) {
	p := readPart(t, note("C3", 16)+"<backup><duration>4</duration></backup>"+note("D3", 4))
	wantNotes(t, p, "C3@0+3/4 D3@3/4+1/4")
	wantSkipped(t, p, "bar 1 (line 11): a note that sounds on into the next was cut short")
}

func TestBackupBeyondTheBar(t *testing.T) {
	p := readPart(t, note("C3", 4)+"<backup><duration>99</duration></backup>"+note("E4", 4))
	wantNotes(t, p, "E4@0+1/4")
	if !strings.Contains(strings.Join(p.Skipped, "\n"), "reaches beyond the start of the bar") {
		t.Errorf("skipped %q", p.Skipped)
	}
}

func TestCueHiddenAndUnpitchedNotesAreSaidOnce(t *testing.T) {
	cue := strings.Replace(note("C4", 4), "<note>", "<note><cue/>", 1)
	drum := "<note><unpitched/><duration>4</duration></note>"
	hidden := strings.Replace(note("C4", 4), "<note>", `<note print-object="no">`, 1)
	p := readPart(t, cue+drum+hidden+note("C3", 4), cue+note("D3", 12))
	wantNotes(t, p, "C3@3/4+1/4 D3@5/4+3/4")
	wantSkipped(t, p, "bar 1 (line 11): cue notes were left out, in 2 bars in all",
		"bar 1 (line 12): notes without pitch were left out", "bar 1 (line 12): hidden notes were left out")
}

func TestDynamicsAccentsAndHairpins(t *testing.T) {
	dyn := func(mark string) string { return direction("<dynamics>" + mark + "</dynamics>") }
	p := readPart(t,
		dyn("<p/>")+direction(`<wedge type="crescendo"/>`)+note("C3", 8)+
			direction(`<wedge type="stop"/>`, "<offset>-2</offset>")+dyn("<fp/>")+note("D3", 8),
		dyn("<sfz/>")+grace("E3")+note("D3", 8)+dyn("<other-dynamics>più </other-dynamics><f/>")+note("C3", 8),
		direction(`<words>dim.</words></direction-type><direction-type><dashes type="start"/>`)+note("C3", 8)+note("D3", 8),
		note("D3", 8)+direction(`<dashes type="stop"/>`)+dyn("<sf/>")+restXML(8))
	marks := each(p.Dynamics, func(d score.DynamicMark) string { return d.Mark + "@" + d.At.String() })
	if want := "p@0 p@1/2 f@3/2"; marks != want {
		t.Errorf("dynamics: got %s, want %s", marks, want)
	}
	attacks := each(p.Notes, func(n score.Note) string { return n.Attack })
	if want := " fp  sfz    "; attacks != want {
		t.Errorf("accents: got %q, want %q", attacks, want)
	}
	wedges := each(p.Wedges, func(w score.Wedge) string { return fmt.Sprint(w.From, "-", w.To, w.Grow, w.FromBar, w.ToBar) })
	if want := "0-3/8true0 0 2-7/2false2 3"; strings.ReplaceAll(wedges, " ", "") != strings.ReplaceAll(want, " ", "") {
		t.Errorf("hairpins: got %s, want %s", wedges, want)
	}
	texts := each(p.Words, func(w score.Words) string { return w.Text })
	if texts != "più" {
		t.Errorf("words: got %q, want più alone: the hairpin holds dim.", texts)
	}
	wantSkipped(t, p, "bar 4 (line 36): sf without a note that starts there was left out")
}

func TestTempoMarks(t *testing.T) {
	metro := func(unit, perMinute string) string {
		return "<metronome>" + unit + "<per-minute>" + perMinute + "</per-minute></metronome>"
	}
	dottedHalf := "<beat-unit>half</beat-unit><beat-unit-dot/>"
	p := readPart(t,
		direction("<words>Allegro con brio (</words></direction-type><direction-type>"+metro(dottedHalf, "c. 54")+
			"</direction-type><direction-type><words>)</words>", `<sound tempo="162"/>`)+note("C3", 16),
		direction("<words>più mosso</words>", `<sound tempo="170.5"/>`)+note("C3", 16),
		words("Andante")+`<sound tempo="80"/>`+note("C3", 16),
		`<sound tempo="60"/>`+direction(metro("<beat-unit>eighth</beat-unit>", "96-104"))+note("C3", 16),
		direction("<metronome><beat-unit>quarter</beat-unit><beat-unit>eighth</beat-unit></metronome>")+
			words("dolce")+words("rit.")+note("C3", 16),
		words("Largo")+note("C3", 16))
	got := each(p.Tempos, func(m score.TempoMark) string { return fmt.Sprintf("%d:%s:%g:%s;", m.Bar+1, m.Unit, m.BPM, m.Text) })
	if want := "1:3/4:54:Allegro con brio; 2:0:170.5:più mosso; 3:0:80:Andante; 4:1/8:100:; 6:0:0:Largo;"; got != want {
		t.Errorf("tempos\ngot  %s\nwant %s", got, want)
	}
	if texts := each(p.Words, func(w score.Words) string { return w.Text }); texts != "dolce rit." {
		t.Errorf("words: got %q, want dolce and rit.", texts)
	}
	wantSkipped(t, p, "bar 5 (line 31): a metronome mark that sets one note value equal to another was left out")
}

// A two-strain march with D.S. al Coda: the trio's way through the part.
func TestDalSegnoAlCoda(t *testing.T) {
	coda, segno := "<coda/>", "<segno/>"
	for name, bars := range map[string][]string{
		"words":  {words("To Coda"), words("D.S. al Coda"), direction(coda)},
		"sign":   {direction(coda + "</direction-type><direction-type><words>To</words>"), words("D. S. al Coda"), direction(coda)},
		"sounds": {`<sound tocoda="c"/>`, `<sound dalsegno="s"/>`, `<sound coda="c"/>`},
		"twice":  {direction(coda), words("Dal Segno al Coda"), direction(coda)},
	} {
		p := readPart(t, note("C3", 16), direction(segno)+note("D3", 16), note("E3", 16)+bars[0],
			note("F3", 16)+bars[1], bars[2]+note("G3", 16))
		order, err := p.Order()
		if err != nil || !slices.Equal(order, []int{0, 1, 2, 3, 1, 2, 4}) || len(p.Words) != 0 {
			t.Errorf("%s: got %v, %v, words %v; want 0 1 2 3 1 2 4 and no words", name, order, err, p.Words)
		}
	}
}

func TestDaCapoAlFineAndRepeats(t *testing.T) {
	barline := func(location, inner string) string {
		return `<barline location="` + location + `">` + inner + "</barline>"
	}
	p := readPart(t,
		barline("left", `<repeat direction="forward"/>`)+note("C3", 16),
		barline("left", `<ending number="1, 2" type="start"/>`)+note("D3", 16)+
			barline("right", `<ending number="1, 2" type="stop"/><repeat direction="backward"/>`),
		barline("left", `<ending number="3" type="start"/>`)+note("E3", 16)+words("Fine")+
			barline("right", `<ending number="3" type="discontinue"/>`),
		note("F3", 16)+words("D.C. al Fine"))
	order, err := p.Order()
	if err != nil || !slices.Equal(order, []int{0, 1, 0, 1, 0, 2, 3, 0, 2}) {
		t.Errorf("got %v, %v", order, err)
	}
	if p.Bars[3].Endings != nil || !p.Bars[2].Fine || p.Bars[3].Fine || !p.Bars[3].DaCapo {
		t.Errorf("bars: %+v", p.Bars[2:])
	}
}

func TestEndingThatNeverCloses(t *testing.T) {
	p := readPart(t, `<barline location="left"><ending number="1" type="start"/></barline>`+note("C3", 16), note("D3", 16))
	if p.Bars[0].Endings == nil || p.Bars[1].Endings != nil {
		t.Errorf("endings %v and %v; want only the first bar under one", p.Bars[0].Endings, p.Bars[1].Endings)
	}
	wantSkipped(t, p, "bar 1 (line 11): an ending that is never closed was read as one bar long")
}

func TestSlursByNumber(t *testing.T) {
	slur := func(kind string, number int) string {
		return fmt.Sprintf(`<notations><slur type="%s" number="%d"/></notations>`, kind, number)
	}
	p := readPart(t,
		note("C3", 4, slur("start", 1))+note("D3", 4, slur("stop", 1)+slur("start", 1))+note("E3", 4, slur("stop", 1))+note("F3", 4),
		note("G3", 8, slur("start", 2))+note("A3", 8), note("C3", 16, slur("stop", 3)))
	got := each(p.Notes, func(n score.Note) string { return fmt.Sprint(n.SlurFrom, n.SlurTo) })
	if want := "false true true true true false false false false false false false false false"; got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	wantSkipped(t, p, "bar 2 (line 18): a slur that never ends in this line was left out",
		"bar 3 (line 23): the end of a slur without a start in this line was left out")
}

func TestAttributesChangeInMidBar(t *testing.T) {
	p := readPart(t, firstAttributes+note("C3", 8)+
		"<attributes><key><fifths>2</fifths></key><clef><sign>C</sign><line>4</line></clef><transpose><chromatic>-2</chromatic></transpose></attributes>"+
		note("D3", 8), note("E3", 16)+"<attributes><key><fifths>2</fifths></key></attributes>")
	wantNotes(t, p, "C3@0+1/2 C3@1/2+1/2 D3@1+1")
	if n := p.Notes[1]; n.Written.String() != "D3" {
		t.Errorf("written %s, want D3", n.Written)
	}
	if len(p.Keys) != 2 || p.Keys[1].At != score.Frac(1, 2) || p.Bars[0].Key.Fifths != -1 || p.Bars[1].Key.Fifths != 2 {
		t.Errorf("keys %v, bars %v", p.Keys, p.Bars)
	}
	if len(p.Clefs) != 2 || p.Clefs[1].Clef.String() != "tenor" || p.Clefs[1].At != score.Frac(1, 2) {
		t.Errorf("clefs %v", p.Clefs)
	}
}

func TestConcertScoreKeepsThePage(t *testing.T) {
	text := strings.Replace(doc("<attributes><divisions>4</divisions><for-part><part-transpose><diatonic>-1</diatonic><chromatic>-2</chromatic></part-transpose></for-part></attributes>"+note("C4", 16)),
		"<part-list>", "<defaults><concert-score/></defaults><part-list>", 1)
	p := part(t, parse(t, text), score.Selection{})
	if n := p.Notes[0]; n.Pitch.String() != "C4" || n.Written.String() != "C4" || len(p.Skipped) != 1 {
		t.Errorf("sounds %s, written %s, skipped %q", n.Pitch, n.Written, p.Skipped)
	}
}

func TestEmptyBarHasTheMetersLength(t *testing.T) {
	p := readPart(t, note("C3", 4), "", `<note><rest measure="yes"/></note>`)
	if got := barLengths(p); got != "1/4 1 1" {
		t.Errorf("bars %s, want 1/4 1 1", got)
	}
	if len(p.Rests) != 1 || !p.Rests[0].WholeBar {
		t.Errorf("rests %+v, want one of a whole bar", p.Rests)
	}
}

func TestTopStaffOfFullScoreSpeaksForAll(t *testing.T) {
	text := doc(direction("<words>Allegro</words>", `<sound tempo="132"/>`)+direction("<rehearsal>A</rehearsal>")+words("dolce")+note("C5", 16),
		words("rit.")+note("C5", 16))
	second := doc(note("C3", 16), note("D3", 16))
	second = second[strings.Index(second, `<part id="P1">`):strings.Index(second, "</score-partwise>")]
	text = strings.Replace(text, "</score-partwise>", strings.Replace(second, "P1", "P2", 1)+"</score-partwise>", 1)
	p := part(t, parse(t, text), score.Selection{Part: "P2"})
	if len(p.Tempos) != 1 || p.Tempos[0].BPM != 132 || p.Tempos[0].Text != "Allegro" {
		t.Errorf("tempos %v, want the top staff's Allegro", p.Tempos)
	}
	if got := each(p.Words, func(w score.Words) string { return fmt.Sprint(w.Text, w.Bar) }); got != "[A]0 rit.1" {
		t.Errorf("words %q, want [A] and rit., not dolce", got)
	}
}

func TestTimewise(t *testing.T) {
	by := doc(note("C3", 16, tieStart), note("C3", 16, tieStop))
	bars := by[strings.Index(by, `    <measure number="1">`):strings.Index(by, "  </part>")]
	text := strings.ReplaceAll(bars, "</measure>", "</part></measure>")
	for _, n := range []string{"1", "2"} {
		text = strings.Replace(text, `<measure number="`+n+`">`, `<measure number="`+n+`" implicit="no"><part id="P1">`, 1)
	}
	text = `<score-timewise><part-list><score-part id="P1"><part-name>Trombone</part-name></score-part></part-list>` + text +
		`<measure number="3"/></score-timewise>`
	p := part(t, parse(t, text), score.Selection{})
	wantNotes(t, p, "C3@0+2")
	if len(p.Bars) != 3 || p.Bars[2].Number != "3" || p.Bars[2].Length != score.Frac(1, 1) {
		t.Errorf("bars %+v", p.Bars)
	}
}

func TestNoteIDs(t *testing.T) {
	own := strings.Replace(note("C3", 4), "<note>", `<note id="b1n2">`, 1)
	p := readPart(t, own+note("D3", 4)+own+note("E3", 4))
	if got := each(p.Notes, func(n score.Note) string { return n.ID }); got != "b1n2 b1n2-2 b1n3 b1n4" {
		t.Errorf("ids %s", got)
	}
}
