package audio

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// withHum adds a hum with falling multiples and a little noise, in amplitudes.
func withHum(c *Clip, hz, hum, noise float64) *Clip {
	rng := rand.New(rand.NewPCG(9, 10))
	out := &Clip{Rate: c.Rate}
	x := slices.Clone(c.Channels[0])
	for i := range x {
		t := float64(i) / float64(c.Rate)
		for k := 1.0; k <= 3; k++ {
			x[i] += hum / k * math.Sin(2*math.Pi*hz*k*t+k)
		}
		x[i] += noise * rng.NormFloat64()
	}
	out.Channels = [][]float64{x}
	return out
}

func TestHumIsFoundInThePauses(t *testing.T) {
	const hum = 0.001 // its multiples at a half and a third: -62.3 dBFS in all
	level := 10 * math.Log10(hum*hum/2*(1+1.0/4+1.0/9))
	for _, c := range []struct {
		name           string
		rate           int
		hz, hum, noise float64
		want           float64
	}{
		{"50 Hz", 48000, 50, hum, 0.0002, 50},
		{"60 Hz", 44100, 60, hum, 0.0002, 60},
		{"50 Hz at 8 kHz", 8000, 50, hum, 0.0002, 50},
		{"60 Hz, a little off", 48000, 59.95, hum, 0.0002, 60},
		{"noise alone", 48000, 50, 0, 0.001, 0},
		{"silent pauses", 48000, 50, 0, 0, 0},
		{"another tone", 48000, 71, hum, 0.0002, 0},
		{"a fan at a multiple", 48000, 180, hum, 0.0002, 0},
	} {
		f := Measure(withHum(take(c.rate, 1, 16), c.hz, c.hum, c.noise))
		if f.HumHz != c.want {
			t.Errorf("%s: %g Hz at %.1f dBFS, want %g Hz", c.name, f.HumHz, f.HumDBFS, c.want)
		} else if c.want > 0 {
			near(t, c.name+", its level", f.HumDBFS, level, 1)
		} else if f.HumDBFS != SilenceDB {
			t.Errorf("%s: %.1f dBFS without a hum", c.name, f.HumDBFS)
		}
	}
}

// Pedal notes lie where the hum does: G1 has 49.0 Hz, B1 61.7.
func TestAPlayedNoteIsNoHum(t *testing.T) {
	for _, hz := range []float64{49.0, 50, 58.27, 60, 61.74, 100} {
		c := sine(48000, 1, hz, 0.3, 12)
		x := c.Channels[0]
		for i := range x {
			t := float64(i) / 48000
			if within := math.Mod(t, 3); within > 1.8 {
				x[i] *= math.Exp(-(within - 1.8) * 20) // dies away in the room
			}
		}
		if f := Measure(withHum(c, 50, 0, 0.0003)); f.HumHz != 0 {
			t.Errorf("a note of %g Hz is taken for a hum of %g Hz at %.1f dBFS", hz, f.HumHz, f.HumDBFS)
		}
		if f := Measure(sine(48000, 1, hz, 0.3, 5)); f.HumHz != 0 {
			t.Errorf("a note of %g Hz without a pause is taken for a hum", hz)
		}
	}
}

func TestSilenceAtBothEnds(t *testing.T) {
	const noise = 0.001
	c := sine(48000, 1, 440, 0.5, 6)
	x := c.Channels[0]
	clear(x[:48000*3/2])
	clear(x[len(x)-24000:])
	for name, clip := range map[string]*Clip{"digital": c, "with noise": withHum(c, 50, 0, noise), "with much noise": withHum(c, 50, 0, 10*noise)} {
		f := Measure(clip)
		if math.Abs(f.SilenceStart-1.5) > 0.05 || math.Abs(f.SilenceEnd-0.5) > 0.05 {
			t.Errorf("%s: %.2f s before and %.2f s after, want 1.5 and 0.5", name, f.SilenceStart, f.SilenceEnd)
		}
	}
	if f := Measure(sine(48000, 1, 440, 0.5, 2)); f.SilenceStart != 0 || f.SilenceEnd > 0.05 {
		t.Errorf("a tone throughout: %.2f s before and %.2f s after", f.SilenceStart, f.SilenceEnd)
	}
	quiet := &Clip{Rate: 48000, Channels: [][]float64{make([]float64, 96000)}}
	if f := Measure(quiet); f.SilenceStart != 2 || f.SilenceEnd != 2 {
		t.Errorf("silence throughout: %.2f s before and %.2f s after, want all of it twice", f.SilenceStart, f.SilenceEnd)
	}
}

func TestOffsetRunsAndDeadChannels(t *testing.T) {
	c := sine(48000, 2, 440, 0.5, 2)
	right := slices.Clone(c.Channels[0])
	for i := range right {
		right[i] = 0.001*right[i] - 0.0001
	}
	c.Channels[1] = right
	f := Measure(c)
	if !slices.Equal(f.DeadChannels, []int{2}) {
		t.Errorf("dead channels %v, want the second", f.DeadChannels)
	}
	near(t, "offset", f.DC, -0.0001, 1e-7)
	copy(c.Channels[0][5000:], []float64{1, 1, 1, 0, 1, 1, 0, -1, -1, -1, -1})
	if f := Measure(c); f.Clipped != 7 || f.ClippedRuns != 2 {
		t.Errorf("%d samples clipped in %d runs, want 7 in 2", f.Clipped, f.ClippedRuns)
	}
	if f := Measure(sine(48000, 2, 440, 0.5, 1)); len(f.DeadChannels) > 0 || math.Abs(f.DC) > 1e-4 {
		t.Errorf("a sound recording: dead channels %v, offset %g", f.DeadChannels, f.DC)
	}
}

// However a recording is cut into blocks, and whatever its rate, the measures
// are the same.
func TestBlocksMakeNoDifference(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	for _, rate := range []int{8000, 44100, 48000} {
		c := withHum(take(rate, 1, 8), 50, 0.001, 0.0002)
		want := Measure(c)
		m := NewMeter(rate, 1)
		for x := c.Channels[0]; len(x) > 0; {
			n := min(len(x), rng.IntN(3000))
			m.Add([][]float64{x[:n]})
			x = x[n:]
		}
		got := m.Facts()
		for _, pair := range [][2]float64{
			{got.LoudnessLUFS, want.LoudnessLUFS}, {got.TruePeakDBTP, want.TruePeakDBTP}, {got.NoiseFloorDBFS, want.NoiseFloorDBFS},
			{got.HumDBFS, want.HumDBFS}, {got.DC, want.DC}, {got.Seconds, want.Seconds}, {got.SilenceStart, want.SilenceStart},
		} {
			if math.Abs(pair[0]-pair[1]) > 1e-9 {
				t.Errorf("at %d Hz: %+v, want %+v", rate, got, want)
				break
			}
		}
	}
}

func TestListenIsMeasureAndResampleInOne(t *testing.T) {
	c := withHum(take(48000, 1, 8), 50, 0.001, 0.0002)
	c.Channels = append(c.Channels, make([]float64, c.Len()))
	r := &Reader{src: &source{rate: c.Rate, channels: 2, next: blocksOf(c)}}
	mono, f, err := r.Listen(16000)
	if err != nil {
		t.Fatal(err)
	}
	want := Resample(c.Mono(), 48000, 16000)
	if len(mono) != len(want) {
		t.Fatalf("%d samples, want %d", len(mono), len(want))
	}
	for i := range want {
		if math.Abs(mono[i]-want[i]) > 1e-12 {
			t.Fatalf("sample %d is %g, want %g", i, mono[i], want[i])
		}
	}
	if g := Measure(c); f.LoudnessLUFS != g.LoudnessLUFS || f.HumHz != 50 {
		t.Errorf("%+v, want %+v", f, g)
	}
}
