package midi

import (
	"bytes"
	"errors"
	"math"
	"strings"
	"testing"

	"waterkey/score"
	"waterkey/score/scoretest"

	"github.com/google/go-cmp/cmp"
	"gitlab.com/gomidi/midi/v2/smf"
	"pgregory.net/rapid"
)

var four = score.Meter{Beats: 4, Unit: 4}

// heard is a note as a reader of the file gets it.
type heard struct {
	key, velocity uint8
	on, off       float64 // seconds
}

func write(t testing.TB, p *score.Part, o Options) (*score.Performance, *smf.SMF) {
	t.Helper()
	pf, err := p.Perform(score.Tempo{})
	if err != nil {
		t.Fatal(err)
	}
	var buf bytes.Buffer
	if err := Write(&buf, pf, o); err != nil {
		t.Fatal(err)
	}
	file, err := smf.ReadFrom(&buf)
	if err != nil {
		t.Fatal(err)
	}
	return pf, file
}

// clock sums the tempo map itself, in double precision; the library's own
// TimeAt counts whole microseconds.
func clock(file *smf.SMF) func(tick int64) float64 {
	perQuarter := float64(file.TimeFormat.(smf.MetricTicks).Resolution())
	return func(tick int64) float64 {
		now, at, bpm := 0.0, int64(0), 120.0
		s := 0.0
		for _, e := range file.Tracks[0] {
			now += float64(e.Delta)
			next := min(int64(now), tick)
			s += float64(next-at) / perQuarter * 60 / bpm
			at = next
			e.Message.GetMetaTempo(&bpm)
		}
		return s + float64(tick-at)/perQuarter*60/bpm
	}
}

func read(file *smf.SMF) []heard {
	seconds := clock(file)
	var out []heard
	open := map[uint8]int{}
	now := int64(0)
	for _, e := range file.Tracks[1] {
		now += int64(e.Delta)
		var ch, key, velocity uint8
		switch {
		case e.Message.GetNoteStart(&ch, &key, &velocity):
			open[key] = len(out)
			out = append(out, heard{key: key, velocity: velocity, on: seconds(now)})
		case e.Message.GetNoteEnd(&ch, &key):
			out[open[key]].off = seconds(now)
		}
	}
	return out
}

// Reference: MIDI 1.0 numbers A4 (440 Hz) 69 and middle C 60; E2, the lowest
// note of a straight tenor trombone, is 40 and its Bb1 pedal 34.
func TestNoteNumbers(t *testing.T) {
	_, file := write(t, scoretest.Part(t, four, 60, "A4/4 C4/4 E2/4 Bb1/4"), Options{})
	var keys []uint8
	for _, n := range read(file) {
		keys = append(keys, n.key)
	}
	if diff := cmp.Diff([]uint8{69, 60, 40, 34}, keys); diff != "" {
		t.Errorf("keys (-want +got):\n%s", diff)
	}
}

// What a reader hears is the performance, to within a tick.
func TestNotesComeBackAtTheirSeconds(t *testing.T) {
	for name, c := range map[string]struct {
		meter score.Meter
		bpm   float64
		text  string
		edit  func(*score.Part)
	}{
		"plain":   {four, 97, "Bb3/4 C4/4' D4/4- F3/8( G3/8 Bb3/2> r/4 F4/16 F4/16^ F4/8", nil},
		"cut":     {score.Meter{Beats: 2, Unit: 2, Symbol: "cut"}, 101.7, "Bb3/2 C4/2 D4/1", nil},
		"fermata": {four, 71, "Bb3/4 C4/4! r/4 D4/4 F3/1", nil},
		"repeat and change of tempo": {four, 88, "Bb3/1 C4/4 D4/4 Bb3/4 A3/4", func(p *score.Part) {
			p.Bars[1].RepeatEnd = 2
			p.Tempos = append(p.Tempos, score.TempoMark{At: score.Frac(5, 4), Bar: 1, BPM: 133, Unit: score.Frac(1, 4)})
		}},
		"grace": {four, 90, "Bb3/2 C4/4 D4/4", func(p *score.Part) {
			p.Notes[1].Grace, p.Notes[1].Duration, p.Notes[1].Pieces[0].Duration = true, score.Time{}, score.Time{}
		}},
		"long": {four, 127.3, strings.Repeat("Bb3/4 C4/4 D4/4 F4/4 ", 300), nil},
	} {
		p := scoretest.Part(t, c.meter, c.bpm, c.text)
		if c.edit != nil {
			c.edit(p)
		}
		pf, file := write(t, p, Options{})
		got := read(file)
		if len(got) != len(pf.Notes) {
			t.Errorf("%s: %d notes, want %d", name, len(got), len(pf.Notes))
			continue
		}
		worst := 0.0
		for i, n := range pf.Notes {
			share := score.Seconds(pf.Written(i).SoundedShare())
			worst = max(worst, math.Abs(got[i].on-float64(n.Start)), math.Abs(got[i].off-float64(n.Start+share*(n.End-n.Start))))
		}
		bpm, unit, _ := p.OpeningTempo()
		tick := 60 / bpm / (4 * unit.Float()) / DefaultTicks
		t.Logf("%s: at most %.3f ms off, a tick is %.3f", name, 1000*worst, 1000*tick)
		if worst > tick {
			t.Errorf("%s: a note is %.3f ms off, a tick is %.3f", name, 1000*worst, 1000*tick)
		}
	}
}

func TestVelocities(t *testing.T) {
	p := scoretest.Part(t, four, 60, "=ppp C4/4 =mf C4/4 C4/4> C4/4^ =fff C4/4 =p C4/4 C4/4 C4/4")
	p.Notes[6].Attack, p.Notes[7].Attack = "sfz", "fp"
	_, file := write(t, p, Options{})
	var got []uint8
	for _, n := range read(file) {
		got = append(got, n.velocity)
	}
	if diff := cmp.Diff([]uint8{16, 80, 92, 96, 127, 48, 80, 96}, got); diff != "" {
		t.Errorf("velocities (-want +got):\n%s", diff)
	}
}

// Header, names, program, meters and keys. Reference: General MIDI Level 1
// counts Trombone as 58 from 1, so the byte is 57; format 1 has several tracks.
func TestHeadings(t *testing.T) {
	p := scoretest.Part(t, four, 60, "F3/1 Bb3/1 G3/1")
	p.Title, p.Name = "Étude", "Trombone 2"
	quarter := score.Frac(1, 4)
	p.Notes[0].Duration, p.Notes[0].Pieces[0].Duration = quarter, quarter
	p.Bars[0].Length, p.Bars[0].Implicit = quarter, true // a pickup
	for i := 1; i < 3; i++ {
		start := quarter.Add(score.Frac(int64(i-1), 1))
		p.Bars[i].Start, p.Notes[i].Onset, p.Notes[i].Pieces[0].Onset = start, start, start
	}
	for i, k := range []score.Key{{Fifths: -1}, {Fifths: -1}, {Fifths: 2, Mode: "minor"}} {
		p.Bars[i].Key = k
	}
	_, file := write(t, p, Options{Ticks: 480})
	if file.Format() != 1 || len(file.Tracks) != 2 || file.TimeFormat != smf.MetricTicks(480) {
		t.Errorf("format %d, %d tracks, %v; want 1, 2, 480 ticks", file.Format(), len(file.Tracks), file.TimeFormat)
	}
	type meter struct {
		tick               int64
		num, denom, clocks uint8
	}
	type key struct {
		tick        int64
		num         uint8
		major, flat bool
	}
	var meters []meter
	var keys []key
	var names []string
	var programs []uint8
	for _, track := range file.Tracks {
		now := int64(0)
		for _, e := range track {
			now += int64(e.Delta)
			var a, b, c, d uint8
			var major, flat bool
			var name string
			switch {
			case e.Message.GetMetaTimeSig(&a, &b, &c, &d):
				meters = append(meters, meter{now, a, b, c})
			case e.Message.GetMetaKeySig(&a, &b, &major, &flat):
				keys = append(keys, key{now, b, major, flat})
			case e.Message.GetMetaTrackName(&name):
				names = append(names, name)
			case e.Message.GetProgramChange(&a, &b):
				programs = append(programs, b)
			}
		}
	}
	for _, diff := range []string{
		cmp.Diff([]meter{{0, 1, 4, 24}, {480, 4, 4, 24}}, meters, cmp.AllowUnexported(meter{})),
		cmp.Diff([]key{{0, 1, true, true}, {2400, 2, false, false}}, keys, cmp.AllowUnexported(key{})),
		cmp.Diff([]string{"Étude", "Trombone 2"}, names),
		cmp.Diff([]uint8{57}, programs),
	} {
		if diff != "" {
			t.Errorf("(-want +got):\n%s", diff)
		}
	}
}

// The bend runs one way from none to the next note's pitch, along an even
// slide, and is undone before that note begins. Reference: pitch bend is 14
// bits wide, so a semitone of twelve is 8192/12 = 683 units.
func TestGlissandoIsABend(t *testing.T) {
	_, file := write(t, scoretest.Part(t, four, 60, "F3/2~ B2/2"), Options{})
	var bend []int16
	noteOns, atSecond := 0, int16(-1)
	for _, e := range file.Tracks[1] {
		var ch, key, velocity uint8
		var relative int16
		var absolute uint16
		if e.Message.GetPitchBend(&ch, &relative, &absolute) {
			bend = append(bend, relative)
		}
		if e.Message.GetNoteStart(&ch, &key, &velocity) {
			if noteOns++; noteOns == 2 {
				atSecond = bend[len(bend)-1]
			}
		}
	}
	if len(bend) < 190 || bend[0] != 0 || atSecond != 0 {
		t.Fatalf("%d bends, first %v, %d at the second note; want some 200, 0 and 0", len(bend), bend[:min(3, len(bend))], atSecond)
	}
	slid := bend[:len(bend)-1]
	for i := 1; i < len(slid); i++ {
		if slid[i] >= slid[i-1] {
			t.Errorf("bend %d: %d after %d does not fall", i, slid[i], slid[i-1])
		}
	}
	if last := float64(slid[len(slid)-1]); math.Abs(last+6*8192/12.) > 40 {
		t.Errorf("last bend %g, want some %g for six semitones down", last, -6*8192/12.)
	}
	// Half way the period is the mean of both: 1200 log2((1+2^(1/2))/2) = 326 cents.
	if mid := float64(slid[len(slid)/2]); math.Abs(mid+3.26*8192/12) > 40 {
		t.Errorf("half way the bend is %g, want some %g", mid, -3.26*8192/12)
	}
}

func TestRefusals(t *testing.T) {
	quarter := score.Frac(1, 4)
	slow := scoretest.Part(t, four, 60, "C4/1")
	slow.Tempos[0] = score.TempoMark{BPM: 3, Unit: quarter}
	for want, c := range map[string]struct {
		part *score.Part
		o    Options
	}{
		"try 960":                       {scoretest.Part(t, four, 60, "C4/1"), Options{Ticks: 40_000}},
		"trombone is 58":                {scoretest.Part(t, four, 60, "C4/1"), Options{Program: 129}},
		"C10 in bar 1 is note 132":      {scoretest.Part(t, four, 60, "C10/1"), Options{}},
		"3 quarter notes a minute do n": {slow, Options{}},
	} {
		pf, err := c.part.Perform(score.Tempo{})
		if err != nil {
			t.Fatal(err)
		}
		var buf bytes.Buffer
		if err := Write(&buf, pf, c.o); err == nil || !strings.Contains(err.Error(), want) || buf.Len() > 0 {
			t.Errorf("error %v with %d bytes written, want one with %q and nothing", err, buf.Len(), want)
		}
	}
}

// closer notes whether it was closed.
type closer struct {
	bytes.Buffer
	closed bool
}

func (c *closer) Close() error { c.closed = true; return nil }

func TestWriterStaysOpen(t *testing.T) {
	pf, err := scoretest.Part(t, four, 60, "C4/1").Perform(score.Tempo{})
	if err != nil {
		t.Fatal(err)
	}
	var c closer
	if err := Write(&c, pf, Options{}); err != nil || c.closed {
		t.Errorf("error %v, closed %t", err, c.closed)
	}
	if err := Write(brokenWriter{}, pf, Options{}); !errors.Is(err, errFull) {
		t.Errorf("error %v of a full disk, want %v", err, errFull)
	}
}

var errFull = errors.New("no space left")

type brokenWriter struct{}

func (brokenWriter) Write([]byte) (int, error) { return 0, errFull }

// Whatever the tempo, the file keeps to the clock over a hundred bars.
func TestTempoMapDoesNotDrift(t *testing.T) {
	text := strings.Repeat("C4/1 ", 100)
	rapid.Check(t, func(rt *rapid.T) {
		p := scoretest.Part(t, four, rapid.Float64Range(30, 250).Draw(rt, "bpm"), text)
		p.Notes[rapid.IntRange(0, 99).Draw(rt, "held")].Marks |= score.Fermata
		pf, file := write(t, p, Options{})
		end := clock(file)(100 * 4 * DefaultTicks)
		if off := end - float64(pf.Length()); math.Abs(off) > drift+1e-6 {
			rt.Fatalf("the file ends %.6f s off", off)
		}
	})
}
