package reading

import (
	"strings"
	"testing"

	"waterkey/finding"
	"waterkey/score"
	"waterkey/score/scoretest"
)

func allText(fs []finding.Finding) string {
	text := ""
	for _, f := range fs {
		text += f.Says + " | " + f.Do + "\n"
	}
	return text
}

// TestValveBrassSpeaksOfValves: no sentence on valve brass speaks of what only a
// slide horn has.
func TestValveBrassSpeaksOfValves(t *testing.T) {
	const text = "=ff F3/16( E3/16( F3/16( B2/16 Bb2/4~ F3/4 Bb3/8( C4/8 D4/2( Eb4/2 =pp F2/1 E2/1 C3/2~ G3/2 F3/4 F4/4 Bb2/4 r/4"
	for _, in := range []string{"trumpet-bb", "horn-f-bb", "euphonium", "euphonium-3", "baritone", "tuba-bb", "tuba-c", "tuba-eb", "tuba-f"} {
		part := scoretest.Part(t, common, 120, text)
		part.Notes[4].Marks |= score.Trill
		part.Notes[6].Marks |= score.Falloff
		got := allText(Walk(page(t, in, part)))
		for _, word := range []string{"attachment", " position", "Thumb", "cm of slide", "the slide between", "the slide moves", "through every slide", "slide late"} {
			if strings.Contains(got, word) {
				t.Errorf("%s speaks of %q:\n%s", in, word, got)
			}
		}
	}
}

// What begins the low and the high register as players count it (common practice, the
// staff as measure): on trumpet and horn written B3, below the first leger line, and
// written A5, on the first above; on a tenor trombone A2 and F4.
func TestRegistersByInstrument(t *testing.T) {
	for _, c := range []struct {
		instrument, low, notLow, high, notHigh string // sounding
	}{
		{"trumpet-bb", "A3", "Bb3", "G5", "F#5"},
		{"horn-f-bb", "E3", "F3", "D5", "C#5"},
		{"tenor-f", "A2", "Bb2", "F4", "E4"},
		{"euphonium", "A2", "Bb2", "F4", "E4"},
		{"tuba-f", "E2", "F2", "C4", "B3"},
	} {
		p := page(t, c.instrument, scoretest.Part(t, common, 60, c.low+"/4 "+c.notLow+"/4 "+c.high+"/4 "+c.notHigh+"/4"))
		if !p.isLow(0) || p.isLow(1) || !p.isHigh(2) || p.isHigh(3) {
			t.Errorf("%s: low %t %t, high %t %t", c.instrument, p.isLow(0), p.isLow(1), p.isHigh(2), p.isHigh(3))
		}
	}
}

// TestTuning: a trumpet's low D and C sharp are sharp and its third slide is drawn
// (published: the3rdhalf.com, "Tuning tendencies of brass instruments"; every trumpet
// method); a euphonium without compensation can only lip its low B, written C sharp
// (the same source); fifth partials are 14 cents flat (the harmonic series).
func TestTuning(t *testing.T) {
	for _, c := range []struct {
		name, instrument, text string
		says, do               string
	}{
		{"trumpet", "trumpet-bb", "C4/2 B3/2", "B3 with 123, 41 cents sharp; C4 with 13, 17 cents sharp", "Draw the third slide for B3 (2.4 cm) and C4 (1.0 cm); check"},
		{"no slide to draw", "euphonium-3", "B2/1", "Off pitch by itself: B2 with 123, 41 cents sharp.", "Lip down B2;"},
		{"horn", "horn-f-bb", "G2/1", "G2 with 13, 17 cents sharp", "Bring down with hand and lip G2;"},
		{"fifth partial", "trumpet-bb", "D5/1", "D5 open, 14 cents flat.", "Lip up D5;"},
		{"too short to tell", "trumpet-bb", "C4/16 F4/16 F4/8 F4/4 F4/2", "", ""},
		{"in tune", "trumpet-bb", "F4/1", "", ""},
		{"a slide horn leans", "tenor", "D4/1", "", ""},
	} {
		got := tuning(page(t, c.instrument, scoretest.Part(t, common, 120, c.text)))
		if c.says == "" && len(got) == 0 {
			continue
		}
		if len(got) != 1 || got[0].Kind != "fingering" || c.says == "" || !strings.Contains(got[0].Says, c.says) || !strings.HasPrefix(got[0].Do, c.do) {
			t.Errorf("%s: %+v, want %q and %q", c.name, got, c.says, c.do)
		}
	}
}

// TestAwkwardFingers: changes in which fingers cross are drilled most (from memory:
// method books); a thumb crosses no finger, and slow ones are easy.
func TestAwkwardFingers(t *testing.T) {
	for _, c := range []struct{ name, instrument, text, want string }{
		{"crossing", "trumpet-bb", "Ab4/8 F#4/8 Ab4/8 F#4/8 C4/2", "A♭4 to F♯4 (1 to 23) in bar 1"},
		{"slow", "trumpet-bb", "Ab4/1 F#4/1", ""},
		{"one finger", "trumpet-bb", "Bb4/16 A4/16 Bb4/16 A4/16 Bb4/2.", ""},
		{"thumb alone", "horn-f-bb", "C4/16 F4/16 C4/16 F4/16 C4/2.", ""},
		{"a slide", "tenor", "Ab3/16 F#3/16 Ab3/16 F#3/16 C3/2.", ""},
	} {
		got := allText(awkwardFingers(page(t, c.instrument, scoretest.Part(t, common, 150, c.text))))
		if c.want == "" && got != "" || !strings.Contains(got, c.want) {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// A quick shake between written E flat and D goes with the third valve held or
// alone (common practice: 3 stands in for 12 where it spares fingers).
func TestAlternateFingering(t *testing.T) {
	p := page(t, "trumpet-bb", scoretest.Part(t, common, 140, "C4/16 D4/16 C4/16 D4/16 C4/16 D4/16 C4/16 D4/16 C4/2"))
	got := allText(alternate(p))
	if !strings.Contains(got, "D4 with 3 instead of 12; the usual ones would take") || !strings.Contains(got, "finger moves more") {
		t.Errorf("%q", got)
	}
	if got := alternate(page(t, "trumpet-bb", scoretest.Part(t, common, 60, "C4/2 D4/2"))); len(got) != 0 {
		t.Errorf("slow notes: %+v", got)
	}
}

// TestValveGlissandos: a horn rips over the partials of one fingering; valves draw no
// line (common practice).
func TestValveGlissandos(t *testing.T) {
	for _, c := range []struct{ name, instrument, text, kind, says, do string }{
		{"rip", "horn-f-bb", "F3/2~ C5/2", "glissando", "Glissando F3 to C5 in bar 1: with T0 throughout, over partials 3 to 9.", "fingering of the goal"},
		{"broken chord", "trumpet-bb", "Bb3/2~ F4/2", "glissando-impossible", "valves step", "halfway"},
		{"bend", "trumpet-bb", "C5/2~ D5/2", "glissando-impossible", "valves step", "Bend from C5"},
		{"wide", "trumpet-bb", "A3/2~ Bb4/2", "glissando-impossible", "valves step", "halfway"},
		{"into a rip", "horn-f-bb", "E4/2~ F5/2", "glissando-impossible", "valves step", "rip up over its partials"},
		{"out of reach", "trumpet-bb", "C3/2~ Bb3/2", "glissando-impossible", "C3 is not on a trumpet in B flat.", "Settle that note first"},
	} {
		got := glissando(page(t, c.instrument, scoretest.Part(t, common, 60, c.text)))
		if len(got) != 1 || got[0].Kind != c.kind || !strings.Contains(got[0].Says, c.says) || !strings.Contains(got[0].Do, c.do) {
			t.Errorf("%s: %+v, want %s: %q and %q", c.name, got, c.kind, c.says, c.do)
		}
	}
}

// TestValveTrills: the usual trill fingerings (published: trill charts of the trumpet,
// written D to E with 1-3 and 3, G to A open and 12; from memory), and the horn's lip
// trill over partials 8 and 9 of the open horn (common practice).
func TestValveTrills(t *testing.T) {
	for _, c := range []struct {
		instrument, low, high, how string
		ok                         bool
	}{
		{"trumpet-bb", "C4", "D4", "a valve trill, 13 and 3", true},
		{"trumpet-bb", "F4", "G4", "a valve trill, open and 12", true},
		{"trumpet-bb", "Bb4", "C5", "a valve trill, open and 1", true},
		{"tuba-f", "Ab2", "Bb2", "fingers cross, 23 and 1", false},
		{"trumpet-bb", "Db5", "Eb5", "fingers cross, 2 and 1", false},
		{"horn-f-bb", "F4", "G4", "a lip trill open, partials 8 and 9", true},
		{"horn-f-bb", "E4", "F4", "a valve trill, T2 and T0", true},
		{"trumpet-bb", "C3", "D3", "out of reach", false},
	} {
		p := page(t, c.instrument, scoretest.Part(t, common, 60, "F4/1"))
		low, _ := score.ParsePitch(c.low)
		high, _ := score.ParsePitch(c.high)
		if how, ok := p.trillWay(low, high); how != c.how || ok != c.ok {
			t.Errorf("%s, %s to %s: %q %t, want %q %t", c.instrument, c.low, c.high, how, ok, c.how, c.ok)
		}
	}
}

// TestValveSlurs: notes of one fingering are slurred by the lip alone, all others with
// the valves (common practice).
func TestValveSlurs(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"few", "F4/2( Bb4/2", ""},
		{"valves", "C4/4( D4/4( C4/4( D4/4( C4/1", "All 4 slurs from note to note change the fingering."},
		{"lip", "Bb3/4( F4/4( Bb4/4( F4/4( Bb4/1", "All 4 slurs from note to note go on the lip alone; the widest is B♭3 to F4 in bar 1, 7 semitones open."},
		{"one", "Bb3/4( F4/4( G4/4( F4/4( G4/1", "Of 4 slurs from note to note, one goes on the lip alone: B♭3 to F4 in bar 1, 7 semitones open."},
	} {
		got := allText(slurs(page(t, "trumpet-bb", scoretest.Part(t, common, 60, c.text))))
		if c.want == "" && got != "" || !strings.HasPrefix(got, c.want) {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// A note that an instrument does not have is looked for on its own kind, and nobody is
// told how to play it low.
func TestOutOfReachOnValveBrass(t *testing.T) {
	got := allText(Walk(page(t, "euphonium-3", scoretest.Part(t, common, 60, "C2/1"))))
	if !strings.Contains(got, "C2 in bar 1: not to be had on this instrument, the three-valve euphonium. | The euphonium has") || strings.Contains(got, "Low notes") {
		t.Errorf("%s", got)
	}
}
