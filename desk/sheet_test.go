package desk

import (
	"bytes"
	"math"
	"os"
	"testing"

	"waterkey/brass"
	"waterkey/sound"
)

// A part from memory is the part from disk, whatever its name says.
func TestPrepareFromMemory(t *testing.T) {
	data, err := os.ReadFile("../demo/season/harbor-parade.musicxml")
	if err != nil {
		t.Fatal(err)
	}
	in, err := brass.Named("tenor-f")
	if err != nil {
		t.Fatal(err)
	}
	p, err := Prepare(Request{Path: "dropped.abc", Data: data, Horn: in})
	if err != nil {
		t.Fatal(err)
	}
	if p.Part.Title != "Harbor Parade" || len(p.Part.Bars) != 32 {
		t.Errorf("%s, %d bars", p.Part.Title, len(p.Part.Bars))
	}
	if _, err := Prepare(Request{Path: "x.xml", Data: []byte{}, Horn: in}); err == nil || err.Error() != "x.xml: the file is empty" {
		t.Errorf("empty: %v", err)
	}
}

// The timeline says when notes and beats sound in the recording that Play makes:
// at half = 96 a 4/4 bar lasts 2*60/96 s, and the count-in is one bar of two beats.
func TestTimelineFollowsTheRecording(t *testing.T) {
	p, err := prepared(t, "harbor-parade.musicxml", "tenor-f")
	if err != nil {
		t.Fatal(err)
	}
	o := sound.Options{LeadIn: 0.3, CountIn: 1}
	d := p.Timeline(o)
	const bar = 2 * 60.0 / 96
	near := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 0.001 {
			t.Errorf("%s at %.4f s, want %.4f", what, got, want)
		}
	}
	near("first bar", d.Bars[0].StartS, 0.3+bar)
	near("third bar", d.Bars[2].StartS, 0.3+3*bar)
	near("first note", d.Notes[0].StartS, 0.3+bar)
	near("count", d.Beats[0].AtS, 0.3)
	near("second count", d.Beats[1].AtS, 0.3+bar/2)
	if !d.Beats[0].Down || d.Beats[1].Down || !d.Beats[2].Down {
		t.Errorf("beats %+v", d.Beats[:3])
	}
	clip, doc := p.Play(o)
	near("music", doc.MusicStarts, d.Bars[0].StartS)
	if clip.Seconds() < d.Seconds || clip.Seconds() > d.Seconds+1 || doc.TempoBPM != d.TempoBPM {
		t.Errorf("recording %.2f s at %g, timeline %.2f s at %g", clip.Seconds(), doc.TempoBPM, d.Seconds, d.TempoBPM)
	}
}

// The engraved document's notes carry the ids of the other documents.
func TestScoreCarriesTheIDs(t *testing.T) {
	p, err := prepared(t, "lantern-song.musicxml", "tenor-f")
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := p.WriteScore(&b); err != nil {
		t.Fatal(err)
	}
	for _, n := range p.Mark().Notes {
		if !bytes.Contains(b.Bytes(), []byte(`<note id="`+n.ID+`">`)) {
			t.Fatalf("no note %s", n.ID)
		}
	}
}

// Of the two glissandi of the march one lies on a partial (C3 to F3), the other on
// none (D3 to G3): only the first is drawn as one.
func TestGlissandiThatCanBePlayed(t *testing.T) {
	p, err := prepared(t, "harbor-parade.musicxml", "tenor-f")
	if err != nil {
		t.Fatal(err)
	}
	got := ""
	for _, n := range p.Mark().Notes {
		if n.Gliss {
			got += n.Bar + " " + n.Pitch + ";"
		}
	}
	if got != "21 C3;" {
		t.Errorf("%s, want C3 in bar 21 alone", got)
	}
}
