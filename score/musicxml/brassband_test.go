package musicxml

import (
	"fmt"
	"testing"
)

func transposed(diatonic, chromatic int) string {
	return fmt.Sprintf("<transpose><diatonic>%d</diatonic><chromatic>%d</chromatic></transpose>", diatonic, chromatic)
}

func clefXML(sign string, line, octaves int) string {
	return fmt.Sprintf("<clef><sign>%s</sign><line>%d</line><clef-octave-change>%d</clef-octave-change></clef>", sign, line, octaves)
}

// How brass parts are written (common practice): the brass band's treble clef, in
// which the E flat bass and the B flat bass sound an octave below the E flat horn
// and the B flat trombone; the orchestra's horn and trumpet; the wind band's B flat
// bass clef of the Low Countries; and trombones at concert pitch in any clef. A
// clef with an octave sign moves the notes on the page, not what the file says.
func TestBrassTranspositionsAndClefs(t *testing.T) {
	for _, c := range []struct{ name, attributes, written, sounds, clef string }{
		{"B flat trombone, baritone and euphonium in treble clef", clefXML("G", 2, 0) + transposed(-8, -14), "C5", "Bb3", "treble"},
		{"the same on G", clefXML("G", 2, 0) + transposed(-8, -14), "G4", "F3", "treble"},
		{"the same on E", clefXML("G", 2, 0) + transposed(-8, -14), "E5", "D4", "treble"},
		{"the same with octaves apart", clefXML("G", 2, 0) + "<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic><octave-change>-1</octave-change></transpose>", "C5", "Bb3", "treble"},
		{"B flat cornet", clefXML("G", 2, 0) + transposed(-1, -2), "C5", "Bb4", "treble"},
		{"E flat tenor horn", clefXML("G", 2, 0) + transposed(-5, -9), "C5", "Eb4", "treble"},
		{"E flat soprano cornet", clefXML("G", 2, 0) + transposed(2, 3), "C5", "Eb5", "treble"},
		{"E flat bass", clefXML("G", 2, 0) + transposed(-12, -21), "C5", "Eb3", "treble"},
		{"B flat bass", clefXML("G", 2, 0) + transposed(-15, -26), "C5", "Bb2", "treble"},
		{"horn in F", clefXML("G", 2, 0) + transposed(-4, -7), "C5", "F4", "treble"},
		{"B flat trombone in transposed bass clef", clefXML("F", 4, 0) + transposed(-1, -2), "C4", "Bb3", "bass"},
		{"bass trombone of the brass band", clefXML("F", 4, 0), "Bb1", "Bb1", "bass"},
		{"tenor clef", clefXML("C", 4, 0), "Bb3", "Bb3", "tenor"},
		{"alto clef", clefXML("C", 3, 0), "D4", "D4", "alto"},
		{"treble clef with an 8 below", clefXML("G", 2, -1), "C4", "C4", "treble (octave down)"},
		{"bass clef with an 8 below", clefXML("F", 4, -1), "C2", "C2", "bass (octave down)"},
	} {
		p := readPart(t, "<attributes><divisions>4</divisions>"+c.attributes+"</attributes>"+note(c.written, 16))
		n := p.Notes[0]
		if n.Pitch.String() != c.sounds || n.Written.String() != c.written || p.Clefs[0].Clef.String() != c.clef || len(p.Skipped) > 0 {
			t.Errorf("%s: written %s in %s sounds %s, want %s; skipped %q", c.name, n.Written, p.Clefs[0].Clef, n.Pitch, c.sounds, p.Skipped)
		}
	}
}

// The trombonist's rule for brass-band parts (common practice): read them as tenor
// clef with two flats more. So a note on any place of the treble staff sounds as
// the same place of the tenor-clef staff, B and E lowered.
func TestTrebleClefReadsAsTenorClefWithTwoFlats(t *testing.T) {
	const trebleLine2, tenorLine4 = 4*7 + 4, 4 * 7 // G4 and C4, in steps from C0
	for place := -4; place <= 12; place++ {        // steps above the bottom line
		written, read := trebleLine2-2+place, tenorLine4-6+place
		name := func(step int) (letter string, octave int) { return "CDEFGAB"[step%7 : step%7+1], step / 7 }
		letter, octave := name(written)
		page := fmt.Sprintf("%s%d", letter, octave)
		letter, octave = name(read)
		if letter == "B" || letter == "E" {
			letter += "b"
		}
		p := readPart(t, "<attributes><divisions>4</divisions>"+transposed(-8, -14)+"</attributes>"+note(page, 16))
		if got, want := p.Notes[0].Pitch.String(), fmt.Sprintf("%s%d", letter, octave); got != want {
			t.Errorf("written %s sounds %s; in tenor clef with two flats it reads %s", page, got, want)
		}
	}
}

// A separately printed part of a score in concert pitch is said to differ.
func TestPartTransposeIsSaid(t *testing.T) {
	p := readPart(t, "<attributes><divisions>4</divisions><for-part><part-clef><sign>G</sign><line>2</line></part-clef>"+
		"<part-transpose><diatonic>-8</diatonic><chromatic>-14</chromatic></part-transpose></for-part></attributes>"+note("Bb3", 16))
	wantSkipped(t, p, "bar 1 (line 11): the transposition for a separately printed part was left out; the page is in concert pitch")
	if n := p.Notes[0]; n.Pitch != n.Written || n.Pitch.String() != "Bb3" {
		t.Errorf("sounds %s, written %s, want Bb3", n.Pitch, n.Written)
	}
}

// A whole bar in an exact place keeps its length when the key sign stands at
// another octave or the staff changes its lines: neither moves a note.
func TestKeyOctavesAndStaffDetailsMoveNothing(t *testing.T) {
	p := readPart(t, `<attributes><divisions>4</divisions><key><fifths>-1</fifths><key-octave number="1">2</key-octave></key>`+
		"<staff-details><staff-lines>3</staff-lines></staff-details></attributes>"+note("C3", 16))
	if got := pitches(p); got != "C3" || len(p.Skipped) > 0 || p.Keys[0].Key.Fifths != -1 {
		t.Errorf("%s in %+v, skipped %q", got, p.Keys, p.Skipped)
	}
}
