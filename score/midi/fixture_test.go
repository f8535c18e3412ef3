package midi

import (
	"bytes"
	"encoding/binary"
	"encoding/hex"
	"path/filepath"
	"strings"
	"testing"

	"waterkey/score"
	"waterkey/score/musicxml"

	gomidi "gitlab.com/gomidi/midi/v2"
	"gitlab.com/gomidi/midi/v2/smf"
)

// shared is the folder of real material beside the repository.
const shared = "../../../shared/data"

// sharedScores lists the real parts, or skips the test aloud.
func sharedScores(t testing.TB) []string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(shared, "scores", "*.musicxml"))
	if err != nil {
		t.Fatal(err)
	}
	if len(files) == 0 {
		t.Skipf("shared data not here: no parts in %s", filepath.Join(shared, "scores"))
	}
	return files
}

// demoScores lists the parts of the demo season.
func demoScores(t testing.TB) []string {
	t.Helper()
	files, err := filepath.Glob("../../demo/season/*.musicxml")
	if err != nil || len(files) == 0 {
		t.Fatalf("%d demo parts, %v", len(files), err)
	}
	return files
}

// performance reads a part from MusicXML and plays it.
func performance(t testing.TB, path string) *score.Performance {
	t.Helper()
	doc, err := musicxml.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	p, err := doc.Part(score.Selection{})
	if err != nil {
		t.Fatal(err)
	}
	pf, err := p.Perform(score.Tempo{})
	if err != nil {
		t.Fatal(err)
	}
	return pf
}

// written is the performance as a MIDI file.
func written(t testing.TB, pf *score.Performance) []byte {
	t.Helper()
	var buf bytes.Buffer
	if err := Write(&buf, pf, Options{}); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

func parsed(t testing.TB, data []byte) *Document {
	t.Helper()
	d, err := Parse("dir/march.mid", data)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func partOf(t testing.TB, d *Document, sel score.Selection) *score.Part {
	t.Helper()
	p, err := d.Part(sel)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// only reads the first part of a file.
func only(t testing.TB, data []byte) *score.Part {
	t.Helper()
	return partOf(t, parsed(t, data), score.Selection{})
}

// hexFile makes a file of hexadecimal bytes: a header, and a chunk of each
// track's events.
func hexFile(t testing.TB, format, division int, tracks ...string) []byte {
	t.Helper()
	b := []byte("MThd\x00\x00\x00\x06")
	for _, n := range []int{format, len(tracks), division} {
		b = binary.BigEndian.AppendUint16(b, uint16(n))
	}
	for _, events := range tracks {
		data, err := hex.DecodeString(strings.Join(strings.Fields(events), ""))
		if err != nil {
			t.Fatal(err)
		}
		b = append(b, "MTrk"...)
		b = binary.BigEndian.AppendUint32(b, uint32(len(data)))
		b = append(b, data...)
	}
	return b
}

// quarter is the ticks to a quarter note of the files below.
const quarter = 480

// tone is a note of a test file: ticks and key.
type tone struct {
	on, length int64
	key        uint8
}

// tones makes a file of format 1: a track of other events at their ticks, and
// one called Trombone of notes.
func tones(t testing.TB, others []event, notes ...tone) []byte {
	t.Helper()
	end := int64(0)
	events := []event{{message: smf.MetaTrackSequenceName("Trombone")}}
	for _, n := range notes {
		events = append(events,
			event{n.on, begins, gomidi.NoteOn(channel, n.key, 64)},
			event{n.on + n.length, ends, gomidi.NoteOff(channel, n.key)})
		end = max(end, n.on+n.length)
	}
	file := smf.NewSMF1()
	file.TimeFormat = smf.MetricTicks(quarter)
	for _, tr := range []smf.Track{track(others, 0), track(events, end)} {
		if err := file.Add(tr); err != nil {
			t.Fatal(err)
		}
	}
	var b bytes.Buffer
	if _, err := file.WriteTo(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// row is notes of one length after another, each held for a share of it.
func row(length int64, share float64, keys ...uint8) []tone {
	var out []tone
	for i, k := range keys {
		if k > 0 {
			out = append(out, tone{int64(i) * length, int64(float64(length) * share), k})
		}
	}
	return out
}

// meterAt and the like are meta events at a tick.
func meterAt(tick int64, beats, unit, clocks uint8) event {
	return event{tick: tick, message: smf.MetaTimeSig(beats, unit, clocks, thirtySeconds)}
}

func tempoAt(tick int64, bpm float64) event {
	return event{tick: tick, message: smf.MetaTempo(bpm)}
}

func keyAt(tick int64, fifths int) event {
	return event{tick: tick, message: smf.MetaKey(0, true, uint8(max(fifths, -fifths)), fifths < 0)}
}

// page writes notes and rests as text: pitch or r, written value, dots, tuplet,
// ~ for a tie to the next piece, ' for staccato; bars are divided by |.
func page(p *score.Part) string {
	type item struct {
		at   score.Time
		bar  int
		text string
	}
	var items []item
	put := func(at score.Time, bar int, text string) { items = append(items, item{at, bar, text}) }
	for _, n := range p.Notes {
		for i, c := range n.Pieces {
			text := n.Pitch.String() + value(c.Value, c.Dots, c.Tuplet)
			switch {
			case i+1 < len(n.Pieces):
				text += "~"
			case n.Marks.Has(score.Staccato):
				text += "'"
			case n.Marks.Has(score.Staccatissimo):
				text += "\""
			}
			if n.Marks.Has(score.Fermata) {
				text += "!"
			}
			if n.Grace {
				text = "(" + text + ")"
			}
			put(c.Onset, c.Bar, text)
		}
	}
	for _, x := range p.Rests {
		text := "r" + value(x.Value, x.Dots, x.Tuplet)
		if x.WholeBar {
			text = "rest"
		}
		put(x.Onset, x.Bar, text)
	}
	var b strings.Builder
	for bar := range p.Bars {
		if bar > 0 {
			b.WriteString(" |")
		}
		var own []item
		for _, it := range items {
			if it.bar == bar {
				own = append(own, it)
			}
		}
		for len(own) > 0 {
			first := 0
			for i, it := range own {
				if it.at.Less(own[first].at) {
					first = i
				}
			}
			b.WriteString(" " + own[first].text)
			own = append(own[:first], own[first+1:]...)
		}
	}
	return strings.TrimSpace(b.String())
}

// value is "/4" for a quarter, "/4." dotted, "/8:3" in a triplet.
func value(v score.Time, dots int, r score.Ratio) string {
	s := "/" + score.Frac(v.Den(), v.Num()).String() + strings.Repeat(".", dots)
	if r.Actual > 0 {
		s += ":" + score.Frac(int64(r.Actual), 1).String()
	}
	return s
}
