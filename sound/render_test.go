package sound

import (
	"bytes"
	"math"
	"math/cmplx"
	"slices"
	"testing"

	"waterkey/audio"
	"waterkey/score"

	"pgregory.net/rapid"
)

func TestClipEndsShortlyAfterTheLastTone(t *testing.T) {
	for _, rate := range []int{0, 44100, 16000} {
		c := Render([]Tone{{Start: 5, End: 6, Hz: 220}, {Start: 1, End: 2, Hz: 220}}, Options{Rate: rate})
		if want := (Options{Rate: rate}).filled().Rate; c.Rate != want || len(c.Channels) != 1 {
			t.Errorf("rate %d and %d channels, want %d and 1", c.Rate, len(c.Channels), want)
		}
		if got := c.Seconds(); math.Abs(got-6.25) > 1e-4 {
			t.Errorf("%g s, want 6.25", got)
		}
		if p := peak(c.Channels[0][:c.Rate]); p != 0 {
			t.Errorf("peak %g before the first tone", p)
		}
	}
	if c := Render(nil, Options{}); c.Len() != 0 {
		t.Errorf("no tones make %d samples", c.Len())
	}
}

func TestSameBytesTwice(t *testing.T) {
	p := page(t, written{"Bb3", 1, slur(false, true)}, written{"F4", 2, slur(true, false)}, written{"A3", 1, marked(score.Accent)})
	var files [2]bytes.Buffer
	for i := range files {
		o := Options{Click: true, CountIn: 1}
		if err := audio.WriteWAV(&files[i], Render(Tones(perform(t, p), o), o)); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(files[0].Bytes(), files[1].Bytes()) {
		t.Error("two renderings differ")
	}
}

// Faults that a caller plants are there to the cent, the millisecond and the
// decibel.
func TestChangedTones(t *testing.T) {
	p := page(t, written{pitch: "Bb3", quarters: 2}, written{pitch: "C4", quarters: 2}, written{pitch: "D4", quarters: 2})
	tones := Tones(perform(t, p), Options{})
	tones[0].Hz *= math.Exp2(17.0 / 1200)
	tones[1].Start += 0.1
	tones[1].Level -= 6
	tones[2].End += 1
	x := Render(tones, Options{}).Channels[0]
	if got := cents(frequency(seconds(x, 0.3, 1.3), 233.0819, DefaultRate), 233.0819); math.Abs(got-17) > 0.1 {
		t.Errorf("a tone 17 cents sharp sounds %.2f cents sharp", got)
	}
	if p := peak(seconds(x, 1.96, 2.099)); p > 0 {
		t.Errorf("peak %g before the late tone starts", p)
	}
	if got := dbfs(seconds(x, 3, 3.5)) - ReferenceDBFS; math.Abs(got+6) > 0.2 {
		t.Errorf("a tone 6 dB too soft is at %.2f dB", got)
	}
	if got := dbfs(seconds(x, 6, 6.6)) - ReferenceDBFS; math.Abs(got) > 0.2 {
		t.Errorf("a tone held a second too long is at %.2f dB by then", got)
	}
}

// One player has one tone at a time: a tone that is held into the next is cut.
func TestLaterToneCutsEarlier(t *testing.T) {
	x := Render([]Tone{{End: 3, Hz: 220}, {Start: 1, End: 3, Hz: 330}}, Options{}).Channels[0]
	// 220 Hz is no partial of 330 Hz.
	if db := 20 * math.Log10(cmplx.Abs(line(seconds(x, 1.2, 2.2), 220, DefaultRate))); db > -90 {
		t.Errorf("the first tone is still there at %.1f dBFS", db)
	}
}

// Any list of tones of one player gives finite samples within full scale.
func TestAnyTones(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tones := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Tone {
			start := score.Seconds(rapid.Float64Range(-0.2, 0.6).Draw(t, "start"))
			return Tone{
				Start: start, End: start + score.Seconds(rapid.Float64Range(-0.1, 0.4).Draw(t, "length")),
				Hz:     rapid.Float64Range(-10, 1500).Draw(t, "hz"),
				HzEnd:  rapid.SampledFrom([]float64{0, 0, 110, 30_000}).Draw(t, "end"),
				Level:  rapid.Float64Range(-200, 40).Draw(t, "level"),
				Swell:  rapid.SliceOfN(rapid.Float64Range(-20, 20), 0, 4).Draw(t, "swell"),
				Burst:  rapid.Float64Range(0, 12).Draw(t, "burst"),
				Attack: Attack(rapid.IntRange(0, int(Sforzando)).Draw(t, "attack")), Connects: rapid.Bool().Draw(t, "connects"),
			}
		}), 0, 6).Draw(t, "tones")
		slices.SortFunc(tones, func(a, b Tone) int { return int(1e6 * (a.Start - b.Start)) })
		for i, v := range Render(tones, Options{Rate: 16000}).Channels[0] {
			if !(math.Abs(v) < 1) {
				t.Fatalf("sample %d is %g", i, v)
			}
		}
	})
}

// BenchmarkRender plays two minutes of moving notes at changing levels, on a plain
// tone and on the sound of a trombone; on one core with GOMAXPROCS=1.
func BenchmarkRender(b *testing.B) {
	for name, timbre := range map[string]*Timbre{"plain": nil, "trombone": &TenorTrombone} {
		b.Run(name, func(b *testing.B) { benchmarkRender(b, timbre) })
	}
}

func benchmarkRender(b *testing.B, timbre *Timbre) {
	var tones []Tone
	for i := range 600 {
		start := score.Seconds(i) * 0.2
		hz := score.PitchFromMIDI(40 + i%24).Hz(440)
		tones = append(tones, Tone{Start: start, End: start + 0.2, Hz: hz, Level: float64(i%7)*4 - 12, Connects: i%3 > 0})
	}
	seconds := 0.0
	for b.Loop() {
		seconds += Render(tones, Options{Timbre: timbre}).Seconds()
	}
	b.ReportMetric(seconds/b.Elapsed().Seconds(), "x_realtime")
}

// BenchmarkRests plays one note in ten minutes.
func BenchmarkRests(b *testing.B) {
	seconds := 0.0
	for b.Loop() {
		seconds += Render([]Tone{{Start: 600, End: 601, Hz: 220}}, Options{}).Seconds()
	}
	b.ReportMetric(seconds/b.Elapsed().Seconds(), "x_realtime")
}
