package midi

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"waterkey/score"

	"gitlab.com/gomidi/midi/v2/smf"
)

// Every error says where it is and what would do, and comes with nothing else.
func TestDamage(t *testing.T) {
	const end = " 00 FF 2F 00"
	named := "00 FF 03 03 54 62 6E " // Tbn
	good := hexFile(t, 1, 96, "00 90 3C 40 60 3C 00"+end)
	manyTempos := strings.Repeat("00 FF 51 03 07 A1 20 ", maxTempos+1)
	for name, c := range map[string]struct {
		data []byte
		want string
	}{
		"empty":                    {nil, "march.mid: byte 0: this is no Standard MIDI File"},
		"text":                     {[]byte("<score-partwise version=\"4.0\">"), "one begins with MThd"},
		"short header":             {patched(bytes.Clone(good), 7, 5), "byte 4: the header has a length of 5 bytes; 6 is right"},
		"header beyond the file":   {patched(bytes.Clone(good), 4, 0x7F), "the header has a length of"},
		"format 2":                 {hexFile(t, 2, 96, end), "byte 8: a file of format 2 holds separate pieces"},
		"format 3":                 {hexFile(t, 3, 96, end), "format 3 is unknown; 0 and 1 are read"},
		"no tracks":                {hexFile(t, 1, 96), "byte 10: the header promises 0 tracks; 1 to 1024 are read"},
		"too many tracks":          {patched(bytes.Clone(good), 10, 0xFF), "promises 65281 tracks"},
		"frames of film":           {hexFile(t, 1, 0xE728, end), "byte 12: ticks count frames of film, 25 a second"},
		"no ticks":                 {hexFile(t, 1, 0, end), "a quarter note has 0 ticks; 960 is usual"},
		"a track is missing":       {patched(bytes.Clone(good), 11, 2), "byte 33: the file ends after 1 of 2 tracks"},
		"chunk beyond the file":    {patched(bytes.Clone(good), 18, 0x7F), `byte 18: chunk "MTrk" has a length of 2130706443 bytes; 11 are left in the file`},
		"cut short":                {good[:len(good)-3], `chunk "MTrk" has a length of 11 bytes; 8 are left`},
		"event cut short":          {hexFile(t, 1, 96, named+"00 90 3C"), `march.mid, part "Tbn": track 1, byte 30: the track ends inside an event`},
		"delta without event":      {hexFile(t, 1, 96, "00 90 3C 40 60"), "track 1, byte 27: the track ends after a delta time"},
		"quantity without end":     {hexFile(t, 1, 96, "81 81"), "the track ends inside a variable-length quantity"},
		"long quantity":            {hexFile(t, 1, 96, "81 81 81 81 00 90 3C 40"), "track 1, byte 22: a variable-length quantity has more than 4 bytes"},
		"no running status":        {hexFile(t, 1, 96, "00 3C 40"+end), "byte 3C stands where a status is due"},
		"meta cancels the running": {hexFile(t, 1, 96, "00 90 3C 40 00 FF 01 00 00 3C 00"+end), "track 1, byte 31: byte 3C stands where a status is due"},
		"data byte too high":       {hexFile(t, 1, 96, "00 90 3C 90"+end), "track 1, byte 25: data byte 90 is above 7F"},
		"real-time status":         {hexFile(t, 1, 96, "00 F8"+end), "status F8 has no place in a file"},
		"meta beyond the track":    {hexFile(t, 1, 96, "00 FF 01 8F FF FF 7F 41"), "track 1, byte 23: an event has a length of 33554431 bytes; 1 are left in the track"},
		"exclusive beyond":         {hexFile(t, 1, 96, "00 F0 05 01 02"), "an event has a length of 5 bytes; 2 are left"},
		"meta without kind":        {hexFile(t, 1, 96, "00 FF"), "the track ends inside an event"},
		"second track":             {hexFile(t, 1, 96, "00 FF 2F 00", "00 91"), "track 2, byte 35: the track ends inside an event"},
		"too many tempos":          {hexFile(t, 1, 96, manyTempos), "more than the 20000 changes of tempo"},
	} {
		t.Run(name, func(t *testing.T) {
			d, err := Parse("dir/march.mid", c.data)
			var e *score.ReadError
			if d != nil || !errors.As(err, &e) || e.File != "march.mid" {
				t.Fatalf("got %v and %T %v, want nothing and a *score.ReadError with its file", d, err, err)
			}
			if !strings.Contains(err.Error(), c.want) {
				t.Errorf("got  %s\nwant %s", err, c.want)
			}
		})
	}
}

// What only shows when a part is made of it.
func TestPartErrors(t *testing.T) {
	const end = " 00 FF 2F 00"
	for name, c := range map[string]struct {
		data []byte
		sel  score.Selection
		grid Grid
		want string
	}{
		"no notes":       {hexFile(t, 1, 96, "00 FF 2F 00"), score.Selection{}, DefaultGrid, "march.mid: the file has no pitched notes"},
		"drums only":     {hexFile(t, 1, 96, "00 99 23 40 60 23 00"+end), score.Selection{}, DefaultGrid, "no pitched notes"},
		"no such part":   {exampleOne(t), score.Selection{Part: "Horn"}, DefaultGrid, `no part is called "Horn"; the parts are "Track 2", "Track 3", "Track 4"`},
		"several parts":  {exampleOne(t), score.Selection{Part: "tr"}, DefaultGrid, `"tr" is the start of several parts' names`},
		"grid":           {exampleOne(t), score.Selection{}, Grid{Binary: 31, Triplet: 24}, "a grid of 1/31 is no binary note value"},
		"triplet grid":   {exampleOne(t), score.Selection{}, Grid{Binary: 32, Triplet: 32}, "a grid of 1/32 is no triplet value"},
		"endless pieces": {hexFile(t, 0, 1, "00 FF 58 04 01 06 18 08 00 90 3C 40 FF FF FF 7F 3C 00"+end), score.Selection{}, DefaultGrid, `march.mid, part "Channel 1", bar 20000: the file is longer than the 20000 bars that are read`},
	} {
		t.Run(name, func(t *testing.T) {
			p, err := parsed(t, c.data).PartOn(c.sel, c.grid)
			var e *score.ReadError
			if p != nil || !errors.As(err, &e) || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, %v; want %s", p, err, c.want)
			}
		})
	}
}

func TestSelectionOfParts(t *testing.T) {
	file := smf.NewSMF1()
	for _, name := range []string{"March", "Trombone", "Trombone 2", "Tuba"} {
		events := []event{{message: smf.MetaTrackSequenceName(name)}}
		if name != "March" {
			events = append(events, event{0, begins, []byte{0x90, 60, 64}}, event{960, ends, []byte{0x80, 60, 0}})
		}
		if err := file.Add(track(events, 960)); err != nil {
			t.Fatal(err)
		}
	}
	var b bytes.Buffer
	if _, err := file.WriteTo(&b); err != nil {
		t.Fatal(err)
	}
	d := parsed(t, b.Bytes())
	for want, name := range map[string]string{"": "Trombone", "track3": "Trombone 2", "trombone": "Trombone", "TROMBONE 2": "Trombone 2", "3": "Tuba", "tu": "Tuba"} {
		if p := partOf(t, d, score.Selection{Part: want}); p.Name != name || p.Title != "March" {
			t.Errorf("part %q: %s of %s, want %s of March", want, p.Name, p.Title, name)
		}
	}
}

func TestOpenFiles(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "example.mid")
	if err := os.WriteFile(path, exampleOne(t), 0o600); err != nil {
		t.Fatal(err)
	}
	if d, err := Open(path); err != nil || len(d.Parts()) != 3 {
		t.Errorf("got %v, %v; want three parts", d, err)
	}
	huge := filepath.Join(dir, "huge.mid")
	if err := os.WriteFile(huge, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Truncate(huge, maxFileBytes+1); err != nil {
		t.Fatal(err)
	}
	for path, want := range map[string]string{
		filepath.Join(dir, "none.mid"): "none.mid: ",
		huge:                           "huge.mid: the file has 16777217 bytes; at most 16777216 are read",
	} {
		d, err := Open(path)
		var e *score.ReadError
		if d != nil || !errors.As(err, &e) || !strings.HasPrefix(err.Error(), want) {
			t.Errorf("got %v, %v; want %s", d, err, want)
		}
	}
}

// A part of more notes than are read is refused with the limit.
func TestTooManyNotes(t *testing.T) {
	d := &Document{strands: []*strand{{id: "1", name: "Trombone", notes: make([]struck, maxNotes+1)}}}
	if _, err := d.Part(score.Selection{}); err == nil || !strings.Contains(err.Error(), "at most 100000 are read") {
		t.Errorf("%v", err)
	}
}
