package sound

import (
	"bytes"
	"io"
	"math"
	"testing"
	"time"

	"waterkey/audio"
	"waterkey/score"

	"github.com/google/go-cmp/cmp"
)

func TestBreathIsSilence(t *testing.T) {
	p := page(t, written{"Bb3", 2, slur(false, true)}, written{"C4", 2, slur(true, false)})
	x := play(t, p, Options{Breaths: []Breath{{After: 0, Room: 0.4}}})
	if got := peak(seconds(x, 1.65, 1.99)); got != 0 {
		t.Errorf("peak %g in the breath, want silence", got)
	}
	if got := dbfs(seconds(x, 1.3, 1.5)) - ReferenceDBFS; math.Abs(got) > 0.3 {
		t.Errorf("%.2f dB before the breath, want mf", got)
	}
}

func TestShapeLeansOnTheHighPoint(t *testing.T) {
	p := page(t, written{"Bb3", 4, nil}, written{"Bb3", 4, nil})
	x := play(t, p, Options{Shape: Arcs([]Arc{{0, 4, 8}})})
	flat := play(t, p, Options{})
	for _, c := range []struct{ at, db float64 }{{2, 0.5}, {4.5, 1.125}, {7, -0.75}} {
		got := dbfs(seconds(x, c.at-0.05, c.at+0.05)) - dbfs(seconds(flat, c.at-0.05, c.at+0.05))
		if math.Abs(got-c.db) > 0.2 {
			t.Errorf("%g s: bent by %.2f dB, want %.2f", c.at, got, c.db)
		}
	}
}

func TestEverySecondBarIsSilent(t *testing.T) {
	p := page(t, written{"Bb3", 4, marked(score.Tenuto)}, written{pitch: "C4", quarters: 6}, written{pitch: "D4", quarters: 2})
	x := play(t, p, Options{Click: true, Inner: InTurn{1, 1}})
	if peak(seconds(x, 4, 8)) != 0 {
		t.Error("the second bar sounds")
	}
	if peak(seconds(x, 0, 3)) == 0 || peak(seconds(x, 10, 11)) == 0 {
		t.Error("the first or the third bar is silent")
	}
}

func TestPlayAlongGivesCues(t *testing.T) {
	p := page(t, written{pitch: "Bb3", quarters: 2}, written{quarters: 2}, written{pitch: "C4", quarters: 4})
	type cue struct{ at, hz float64 }
	var got []cue
	for _, tone := range Tones(perform(t, p), Options{PlayAlong: true, CountIn: 1}) {
		if !tone.isTick() {
			got = append(got, cue{float64(tone.Start), math.Round(tone.Hz)})
		}
	}
	if diff := cmp.Diff([]cue{{3, 233}, {7, 262}}, got, cmp.AllowUnexported(cue{})); diff != "" {
		t.Errorf("cues (-want +got):\n%s", diff)
	}
}

// Passage, divisions, accents and a conducted count-in.
func TestCountAndClick(t *testing.T) {
	p := page(t, written{pitch: "Bb3", quarters: 4}, written{pitch: "C4", quarters: 4})
	pf := perform(t, p)
	o := Options{Bars: Bars{From: 1}, CountIn: 1}
	if got := Offset(pf, o); got != 0 || MusicStart(pf, o) != 4 {
		t.Errorf("offset %g, start %g; want 0 and 4", got, MusicStart(pf, o))
	}
	tones := Tones(pf, o)
	if last := tones[len(tones)-1]; len(tones) != 5 || last.Note != 1 || last.Start != 4 {
		t.Errorf("%d tones, the last of note %d at %g; want 5, 1, 4", len(tones), last.Note, last.Start)
	}
	var got []Attack
	for _, tone := range Tones(pf, Options{Bars: Bars{To: 1}, Click: true, Divide: 2, Accents: []int{2, 4}}) {
		if tone.isTick() {
			got = append(got, tone.Attack)
		}
	}
	want := []Attack{Beat, Division, Downbeat, Division, Beat, Division, Downbeat, Division}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("ticks (-want +got):\n%s", diff)
	}
	fast, err := p.Perform(score.Tempo{BPM: 200})
	if err != nil {
		t.Fatal(err)
	}
	ticks := Tones(fast, Options{CountIn: Conducted})
	if got := MusicStart(fast, Options{CountIn: Conducted}); math.Abs(float64(got)-8*0.3) > 1e-9 || ticks[7].Attack != Upbeat {
		t.Errorf("a fast count-in lasts %g s with a last tick of %d; want two bars, 2.4, and the upbeat", got, ticks[7].Attack)
	}
}

// Closed form: a just fifth does not beat, an equal one does, by 3*220 less
// 2*329.63 = 0.74 Hz.
func TestDrone(t *testing.T) {
	d := Drone{Pitches: []score.Pitch{score.PitchFromMIDI(57), score.PitchFromMIDI(64)}, End: 6}
	for just, want := range map[bool]float64{false: 329.6276, true: 330} {
		d.Just = just
		x := Render(d.Tones(440), Options{}).Channels[0]
		if got := frequency(seconds(x, 1.5, 5.5), want, DefaultRate); math.Abs(got-want) > 0.01 {
			t.Errorf("just %t: the fifth is at %.3f Hz, want %.3f", just, got, want)
		}
		if soft := dbfs(seconds(x, 0.02, 0.08)) - dbfs(seconds(x, 2, 3)); soft > -15 {
			t.Errorf("just %t: begins %.1f dB below its level, want a soft onset", just, soft)
		}
	}
}

func TestLadderGoesFromSlowToGoal(t *testing.T) {
	p := page(t, written{pitch: "Bb3", quarters: 1}, written{quarters: 3})
	var runs []Run
	for _, bpm := range []float64{40, 50, 60} {
		pf, err := p.Perform(score.Tempo{BPM: bpm})
		if err != nil {
			t.Fatal(err)
		}
		runs = append(runs, Run{pf, Options{CountIn: 1}})
	}
	tones, starts := Ladder(runs, 2)
	var notes []float64
	for _, tone := range tones {
		if !tone.isTick() {
			notes = append(notes, float64(tone.Start))
		}
	}
	for k, start := range starts {
		if want := float64(start + MusicStart(runs[k].Performance, runs[k].Options)); math.Abs(notes[k]-want) > 1e-9 {
			t.Errorf("run %d: its note starts at %g, want %g", k, notes[k], want)
		}
	}
	// A bar of four quarters counted and one played, with its rests, and the pause.
	if want := score.Seconds(2*4*60/40.0 + 2); len(starts) != 3 || math.Abs(float64(starts[1]-want)) > 1e-9 {
		t.Errorf("runs start at %v, want the second at %g", starts, want)
	}
}

// The stream is the clip, byte for byte, whatever the pieces it is read in.
func TestStreamIsTheFile(t *testing.T) {
	p := page(t, written{"Bb3", 1, slur(false, true)}, written{"F4", 2, slur(true, false)}, written{"A3", 1, marked(score.Accent)})
	o := Options{Click: true, CountIn: 1, Timbre: &TenorTrombone, Rate: 44101}
	tones := Tones(perform(t, p), o)
	var file bytes.Buffer
	if err := audio.WriteWAV(&file, Render(tones, o)); err != nil {
		t.Fatal(err)
	}
	s := NewStream(tones, o)
	r := s.WAV()
	var got []byte
	for piece := 1; ; piece = piece%5000 + 777 {
		b := make([]byte, piece)
		n, err := r.Read(b)
		got = append(got, b[:n]...)
		if err == io.EOF {
			break
		}
	}
	if !bytes.Equal(got, file.Bytes()) || s.WAVLen() != int64(file.Len()) {
		t.Errorf("the stream has %d bytes (%d announced) and differs from the file of %d", len(got), s.WAVLen(), file.Len())
	}
}

// BenchmarkFirst100ms is how long a player waits for a stream of two minutes.
func BenchmarkFirst100ms(b *testing.B) {
	var tones []Tone
	for i := range 600 {
		start := score.Seconds(i) * 0.2
		tones = append(tones, Tone{Start: start, End: start + 0.2, Hz: score.PitchFromMIDI(40 + i%24).Hz(440)})
	}
	x := make([]float64, DefaultRate/10)
	worst := time.Duration(0)
	for b.Loop() {
		began := time.Now()
		if _, err := NewStream(tones, Options{Timbre: &TenorTrombone}).Read(x); err != nil {
			b.Fatal(err)
		}
		worst = max(worst, time.Since(began))
	}
	b.ReportMetric(float64(worst.Microseconds())/1000, "ms_worst")
}
