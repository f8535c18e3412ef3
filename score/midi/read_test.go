package midi

import (
	"slices"
	"strings"
	"testing"

	"waterkey/score"

	"github.com/google/go-cmp/cmp"
	"gitlab.com/gomidi/midi/v2/smf"
)

// Reference: the example of "Standard MIDI Files 1.0" (MIDI Manufacturers
// Association, RP-001, 1996), appendix "Program fragments and example MIDI
// files", as one track and as four. A copy of the document was read for the
// first; the events of the other three note tracks are from memory and agree
// with its chunk lengths and its list of events.
const exampleTempo = "00 FF 58 04 04 02 18 08  00 FF 51 03 07 A1 20 "

func exampleZero(t testing.TB) []byte {
	return hexFile(t, 0, 96, exampleTempo+`00 C0 05 00 C1 2E 00 C2 46
		00 92 30 60 00 3C 60 60 91 43 40 60 90 4C 20
		81 40 82 30 40 00 3C 40 00 81 43 40 00 80 4C 40 00 FF 2F 00`)
}

func exampleOne(t testing.TB) []byte {
	return hexFile(t, 1, 96, exampleTempo+"83 00 FF 2F 00",
		"00 C0 05  81 40 90 4C 20  81 40 4C 00  00 FF 2F 00",
		"00 C1 2E  60 91 43 40  82 20 43 00  00 FF 2F 00",
		"00 C2 46  00 92 30 60  00 3C 60  83 00 30 00  00 3C 00  00 FF 2F 00")
}

// The document's music: over four beats at 120, C3 and C4 whole on channel 3,
// G4 from the second beat on channel 2, E5 from the third on channel 1.
func TestExampleOfTheStandard(t *testing.T) {
	for name, c := range map[string]struct {
		data  []byte
		parts []score.PartInfo
	}{
		"format 0": {exampleZero(t), []score.PartInfo{
			{ID: "channel1", Name: "Channel 1", Notes: 1}, {ID: "channel2", Name: "Channel 2", Notes: 1}, {ID: "channel3", Name: "Channel 3", Notes: 2}}},
		"format 1": {exampleOne(t), []score.PartInfo{
			{ID: "track2", Name: "Track 2", Notes: 1}, {ID: "track3", Name: "Track 3", Notes: 1}, {ID: "track4", Name: "Track 4", Notes: 2}}},
	} {
		t.Run(name, func(t *testing.T) {
			d := parsed(t, c.data)
			if diff := cmp.Diff(c.parts, d.Parts()); diff != "" {
				t.Errorf("parts (-want +got):\n%s", diff)
			}
			var pages []string
			for _, sel := range []score.Selection{{Part: "1"}, {Part: "2"}, {Part: "3"}, {Part: "3", Line: score.Bottom}} {
				p := partOf(t, d, sel)
				pages = append(pages, page(p))
				want := score.TempoMark{BPM: 120, Unit: score.Frac(1, 4)}
				if len(p.Tempos) != 1 || p.Tempos[0] != want || p.Bars[0].Meter.String() != "4/4" {
					t.Errorf("tempos %v, meter %s, want 120 quarter notes in 4/4", p.Tempos, p.Bars[0].Meter)
				}
			}
			if diff := cmp.Diff([]string{"r/2 E5/2", "r/4 G4/2.", "C4/1", "C3/1"}, pages); diff != "" {
				t.Errorf("pages (-want +got):\n%s", diff)
			}
		})
	}
}

// Reference: the table of variable-length quantities of the same document.
func TestQuantities(t *testing.T) {
	for want, text := range map[int]string{
		0: "\x00", 0x40: "\x40", 0x7F: "\x7F", 0x80: "\x81\x00", 0x2000: "\xC0\x00", 0x3FFF: "\xFF\x7F",
		0x4000: "\x81\x80\x00", 0x100000: "\xC0\x80\x00", 0x1FFFFF: "\xFF\xFF\x7F",
		0x200000: "\x81\x80\x80\x00", 0x8000000: "\xC0\x80\x80\x00", 0xFFFFFFF: "\xFF\xFF\xFF\x7F",
	} {
		s := &survey{data: []byte(text + "\x55")}
		if got, width, err := s.quantity(0, len(text)+1); got != want || width != len(text) || err != nil {
			t.Errorf("% X: %d in %d bytes, %v; want %d in %d", text, got, width, err, want, len(text))
		}
	}
}

// Reference: MIDI 1.0 numbers A4 69 and middle C 60; the ends of its range are
// C-1 and G9.
func TestNoteNumbersRead(t *testing.T) {
	p := only(t, tones(t, nil, row(quarter, 1, 69, 60, 0, 127)...))
	low := only(t, tones(t, nil, tone{0, 4 * quarter, 0}))
	if got := page(p) + " | " + page(low); got != "A4/4 C4/4 r/4 G9/4 | C-1/1" {
		t.Errorf("got %s", got)
	}
}

// What the file gives is on the page.
func TestHeadingsRead(t *testing.T) {
	p := only(t, tones(t, []event{
		{message: smf.MetaTrackSequenceName("\xC9tude")}, // ISO-8859-1
		meterAt(0, 3, 4, 24), keyAt(0, -3), {tick: 0, message: smf.MetaMarker("A")},
		meterAt(3*quarter, 6, 8, 36), {tick: 3 * quarter, message: smf.MetaKey(0, false, 2, false)},
	}, row(quarter, 1, 63, 65, 68, 66, 61)...))
	if p.Title != "Étude" || p.Name != "Trombone" || p.ID != "track2" {
		t.Errorf("title %q, name %q, id %q", p.Title, p.Name, p.ID)
	}
	if got, want := page(p), "Eb4/4 F4/4 Ab4/4 | F#4/4 C#4/8~ C#4/8 r/4"; got != want {
		t.Errorf("page %s, want %s", got, want)
	}
	dotted := score.Frac(3, 8)
	for _, diff := range []string{
		cmp.Diff([]score.KeyMark{{Key: score.Key{Fifths: -3, Mode: "major"}}, {At: score.Frac(3, 4), Bar: 1, Key: score.Key{Fifths: 2, Mode: "minor"}}}, p.Keys, times),
		cmp.Diff([]score.MeterMark{{Meter: score.Meter{Beats: 3, Unit: 4}}, {At: score.Frac(3, 4), Bar: 1, Meter: score.Meter{Beats: 6, Unit: 8}}}, p.Meters, times),
		cmp.Diff([]score.TempoMark{{BPM: 120, Unit: score.Frac(1, 4)}}, p.Tempos, times),
		cmp.Diff([]score.Words{{Text: "A"}}, p.Words, times),
		cmp.Diff([]string{"b1n1", "b1n2", "b1n3", "b2n1", "b2n2"}, ids(p)),
	} {
		if diff != "" {
			t.Errorf("(-want +got):\n%s", diff)
		}
	}
	if unit, beats := p.Felt(1); unit != dotted || beats != 2 {
		t.Errorf("bar 2 is felt in %d times %s, want 2 times 3/8", beats, unit)
	}
}

var times = cmp.AllowUnexported(score.Time{})

func ids(p *score.Part) []string {
	var out []string
	for _, n := range p.Notes {
		out = append(out, n.ID)
	}
	return out
}

// Strange but legal files are read, and what was done is said.
func TestStrangeFiles(t *testing.T) {
	head := "00 FF 58 04 04 02 18 08 00 FF 51 03 07 A1 20 "
	end := " 00 FF 2F 00"
	cases := map[string]struct {
		data       []byte
		page, says string
	}{
		"no end of track":      {hexFile(t, 0, 96, head+"00 90 3C 40 83 00 3C 00"), "C4/1", "track 1: the end of track is missing"},
		"bytes after the end":  {hexFile(t, 0, 96, head+"00 90 3C 40 83 00 3C 00"+end+" AA BB"), "C4/1", "track 1: 2 bytes after its end"},
		"bytes after the file": {append(hexFile(t, 0, 96, head+"00 90 3C 40 83 00 3C 00"+end), 1, 2, 3), "C4/1", "3 bytes after the last track"},
		"unknown chunk":        {spliced(hexFile(t, 0, 96, head+"00 90 3C 40 83 00 3C 00"+end), 14, "XFIH\x00\x00\x00\x02ab"), "C4/1", `a chunk "XFIH" was left out`},
		"format 0, two tracks": {hexFile(t, 0, 96, head+end, "00 90 3C 40 83 00 3C 00"+end), "C4/1", "read as format 1"},
		"note never ended":     {hexFile(t, 0, 96, head+"00 90 3C 40 60 90 3E 40 82 20 3E 00"+end), "C4/4 D4/2.", "bar 1: a note that never ends"},
		"never ended, last":    {hexFile(t, 0, 96, head+"00 90 3C 40 83 00 FF 2F 00"), "C4/1", "bar 1: a note that never ends"},
		"struck twice":         {hexFile(t, 0, 96, head+"00 90 3C 40 60 3C 40 82 20 3C 00 00 3C 00"+end), "C4/4 C4/2.", "bar 1: a note struck again"},
		"no length":            {hexFile(t, 0, 96, head+"00 90 3C 40 00 3C 00 00 3E 40 83 00 3E 00"+end), "D4/1", "bar 1: a note without length"},
		"percussion":           {hexFile(t, 0, 96, head+"00 99 23 40 00 90 3C 40 83 00 3C 00 00 89 23 00"+end), "C4/1", "bar 1: percussion (channel 10) was left out"},
		"pitch bend":           {hexFile(t, 0, 96, head+"00 90 3C 40 60 E0 00 50 82 20 90 3C 00"+end), "C4/1", "bar 1: pitch bend was left out"},
		"no meter":             {hexFile(t, 0, 96, "00 90 3C 40 83 00 3C 00"+end), "C4/1", "the file gives no meter; it was read in 4/4"},
		"no key":               {hexFile(t, 0, 96, "00 90 3C 40 83 00 3C 00"+end), "C4/1", "the file gives no key"},
		"velocities":           {hexFile(t, 0, 96, "00 90 3C 40 83 00 3C 00"+end), "C4/1", "velocities are no marks"},
		"absurd meter":         {hexFile(t, 0, 96, "00 FF 58 04 00 02 18 08 00 90 3C 40 83 00 3C 00"+end), "C4/1", "bar 1: a meter that cannot be read"},
		"tempo of 0":           {hexFile(t, 0, 96, "00 FF 51 03 00 00 00 00 90 3C 40 83 00 3C 00"+end), "C4/1", "bar 1: a tempo without end"},
		"absurd key":           {hexFile(t, 0, 96, "00 FF 59 02 0B 00 00 90 3C 40 83 00 3C 00"+end), "C4/1", "a key of 11 fifths, mode 0"},
		"notes before a meter": {tones(t, []event{meterAt(4*quarter, 3, 4, 24)}, row(quarter, 1, 60, 62, 64, 65, 67)...), "C4/4 D4/4 E4/4 F4/4 | G4/4 r/4 r/4", "no meter is given at the start"},
		"meter inside a bar":   {tones(t, []event{meterAt(0, 4, 4, 24), meterAt(7*quarter, 3, 4, 24)}, tone{0, 10 * quarter, 60}), "C4/1~ | C4/2.~ | C4/2.", "bar 2: a bar is cut short"},
		"pickup":               {tones(t, []event{meterAt(0, 1, 4, 24), meterAt(quarter, 4, 4, 24)}, row(quarter, 1, 60, 65, 65, 65, 65)...), "C4/4 | F4/4 F4/4 F4/4 F4/4", "bar 0: one bar of 1/4 before 4/4 was read as a pickup"},
		"silent pickup":        {tones(t, []event{meterAt(0, 1, 4, 24), meterAt(quarter, 4, 4, 24)}, tone{quarter, 4 * quarter, 60}), "r/4 | C4/1", ""},
		"pickup that starts off the beat": {tones(t, []event{meterAt(0, 3, 8, 24), meterAt(720, 4, 4, 24)},
			tone{0, 240, 60}, tone{240, 160, 62}, tone{400, 160, 64}, tone{560, 160, 65}, tone{720, 1920, 67}), "C4/8 D4/8:3 E4/8:3 F4/8:3 | G4/1", "bar 0: one bar of 3/8"},
		"two chords":            {tones(t, nil, tone{0, 1920, 60}, tone{5, 1915, 64}, tone{1920, 1920, 60}, tone{1920, 1920, 64}), "E4/1 | E4/1", "bar 1: the lower notes of chords were left out, 2 times in all"},
		"too close":             {tones(t, nil, tone{0, 25, 60}, tone{20, 460, 62}, tone{497, 1400, 64}), "D4/4 E4/2.", "bar 1: notes too close together"},
		"after the last":        {tones(t, nil, tone{7, 1700, 60}, tone{1912, 55, 62}), "C4/1 | D4/32 r/32 r/16 r/8 r/4 r/2", "bar 2: the start of 2 of 2 notes"},
		"chord":                 {tones(t, nil, tone{0, 4 * quarter, 60}, tone{5, 4*quarter - 5, 64}), "E4/1", "bar 1: the lower notes of chords"},
		"sounds on":             {tones(t, nil, tone{0, 4 * quarter, 60}, tone{2 * quarter, 2 * quarter, 64}), "C4/2 E4/2", "bar 1: a note that sounds on"},
		"exclusive and escape":  {hexFile(t, 0, 96, head+"00 F0 03 43 12 F7 00 F7 01 F8 00 90 3C 40 83 00 3C 00"+end), "C4/1", ""},
		"longer header":         {spliced(patched(hexFile(t, 0, 96, head+"00 90 3C 40 83 00 3C 00"+end), 7, 8), 14, "\x00\x00"), "C4/1", ""},
		"other pressure events": {hexFile(t, 0, 96, head+"00 D0 11 00 A0 3C 11 00 90 3C 40 83 00 3C 00"+end), "C4/1", ""},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			p := only(t, c.data)
			if got := page(p); got != c.page {
				t.Errorf("page %s, want %s", got, c.page)
			}
			if !slices.ContainsFunc(p.Skipped, func(s string) bool { return strings.Contains(s, c.says) }) {
				t.Errorf("said %q, want %q", p.Skipped, c.says)
			}
			checkFilled(t, p)
		})
	}
}

// spliced puts bytes into a file, patched changes one.
func spliced(b []byte, at int, text string) []byte { return slices.Insert(b, at, []byte(text)...) }

func patched(b []byte, at int, to byte) []byte { b[at] = to; return b }

// Several tracks are tracks, whatever the format says; and a note that never
// ends stops with its track.
func TestTracksOfFormatZero(t *testing.T) {
	d := parsed(t, hexFile(t, 0, 96, "00 FF 2F 00", "00 90 3C 40 83 00 FF 2F 00"))
	want := []score.PartInfo{{ID: "track2", Name: "Track 2", Notes: 1}}
	if diff := cmp.Diff(want, d.Parts()); diff != "" {
		t.Errorf("parts (-want +got):\n%s", diff)
	}
	if got := d.strands[0].notes[0]; got != (struck{key: 60, off: 384}) {
		t.Errorf("got %+v, want key 60 up to tick 384", got)
	}
}

// A pickup carries no number of its own, and the next bar is bar 1.
func TestPickupIsNumberedZero(t *testing.T) {
	p := only(t, tones(t, []event{meterAt(0, 1, 4, 24), meterAt(quarter, 4, 4, 24)}, row(quarter, 1, 60, 65, 65, 65, 65)...))
	if b := p.Bars; len(b) != 2 || !b[0].Implicit || b[0].Number != "0" || b[1].Number != "1" || len(p.Meters) != 1 {
		t.Errorf("bars %+v with %d meters, want a pickup and bar 1 in one meter", b, len(p.Meters))
	}
}

// A tick of the file, then the marks of its tempo map.
func TestTempos(t *testing.T) {
	bar := int64(4 * quarter)
	notes := row(2*quarter, 1, 60, 62, 60, 62, 60, 62, 60, 62, 60, 62, 60, 62, 60, 62, 60, 62)
	sway := []event{tempoAt(0, 100)}
	for i := range int64(24) {
		sway = append(sway, tempoAt(2*bar+i*quarter/2, []float64{80, 96, 70}[i%3]))
	}
	sway = append(sway, tempoAt(5*bar, 100))
	type mark struct {
		bar  string
		bpm  float64
		unit score.Time
	}
	quarterNote, half := score.Frac(1, 4), score.Frac(1, 2)
	for name, c := range map[string]struct {
		events []event
		want   []mark
		held   string
	}{
		"none is 120":                         {nil, []mark{{"1", 120, quarterNote}}, ""},
		"97, no whole number of microseconds": {[]event{tempoAt(0, 97)}, []mark{{"1", 97, quarterNote}}, ""},
		"change at a beat":                    {[]event{tempoAt(0, 100), tempoAt(bar+2*quarter, 140)}, []mark{{"1", 100, quarterNote}, {"2", 140, quarterNote}}, ""},
		"within a fiftieth":                   {[]event{tempoAt(0, 100), tempoAt(bar, 101), tempoAt(2*bar, 99)}, []mark{{"1", 100, quarterNote}}, ""},
		"cut time":                            {[]event{meterAt(0, 2, 2, 24), tempoAt(0, 120)}, []mark{{"1", 60, half}}, ""},
		"felt by the click":                   {[]event{meterAt(0, 4, 4, 48), tempoAt(0, 120)}, []mark{{"1", 60, half}}, ""},
		"fermata":                             {[]event{tempoAt(0, 100), tempoAt(bar+2*quarter, 66), tempoAt(2*bar, 100)}, []mark{{"1", 100, quarterNote}}, "b2n2"},
		"fermata on the first note":           {[]event{tempoAt(0, 50), tempoAt(2*quarter, 100)}, []mark{{"1", 100, quarterNote}}, "b1n1"},
		"ritardando of a bar":                 {[]event{tempoAt(0, 100), tempoAt(bar, 90), tempoAt(bar+quarter, 80), tempoAt(bar+3*quarter, 70), tempoAt(2*bar, 100)}, []mark{{"1", 100, quarterNote}}, ""},
		"restless start":                      {[]event{tempoAt(0, 80), tempoAt(quarter, 90), tempoAt(bar, 100)}, []mark{{"1", 100, quarterNote}}, ""},
		// 3 / (1/80 + 1/96 + 1/70): each lasts an eighth.
		"three bars of rubato": {sway, []mark{{"1", 100, quarterNote}, {"3", 80.64, quarterNote}, {"6", 100, quarterNote}}, ""},
	} {
		t.Run(name, func(t *testing.T) {
			p := only(t, tones(t, c.events, notes...))
			if p.Tempos[0].At.Sign() != 0 {
				t.Errorf("the first tempo stands at %s", p.Tempos[0].At)
			}
			var got []mark
			for _, m := range p.Tempos {
				got = append(got, mark{p.Bars[m.Bar].Number, m.BPM, m.Unit})
			}
			if diff := cmp.Diff(c.want, got, cmp.AllowUnexported(mark{}, score.Time{})); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
			held := ""
			for _, n := range p.Notes {
				if n.Marks.Has(score.Fermata) {
					held += n.ID
				}
			}
			if held != c.held {
				t.Errorf("held %q, want %q", held, c.held)
			}
		})
	}
}

// The survey changes nothing in a sound file.
func TestSurveyKeepsEveryEvent(t *testing.T) {
	for _, data := range [][]byte{exampleZero(t), exampleOne(t), written(t, performance(t, demoScores(t)[0]))} {
		s, err := look(data)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(data, s.sound()); diff != "" {
			t.Errorf("(-file +survey):\n%s", diff)
		}
	}
}

// Two notes of one key in two channels of a track do not end one another.
func TestChannelsOfATrack(t *testing.T) {
	p := only(t, hexFile(t, 1, 96, "00 FF 2F 00",
		"00 90 3C 40 60 80 3C 00 00 91 3C 40 60 81 3C 00 00 90 3E 40 81 40 80 3E 00 00 FF 2F 00"))
	if got := page(p); got != "C4/4 C4/4 D4/2" {
		t.Errorf("got %s", got)
	}
}
