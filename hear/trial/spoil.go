package trial

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"

	"waterkey/audio"
	"waterkey/demo/room"
	"waterkey/demo/trombone"
)

// roomNoise is what any room has, in dBFS RMS (estimate: a quiet one).
const roomNoise = -75.0

// tailUnder is how far the tail of a room lies under the sound itself in dB
// (estimate: a microphone two or three meters away in a live room).
const tailUnder = 3.0

// spoil adds to the notes what a case asks for.
func (p *planner) spoil(x []float64) (*audio.Clip, error) {
	r := rand.New(rand.NewPCG(p.c.seed, 9))
	playing := p.playingLevel(x)
	p.addBreaths(x, r)
	if p.c.before {
		p.addTalk(x, r)
	}
	if p.c.click > 0 {
		p.addClick(x, playing-p.c.click)
	}
	if p.c.room > 0 {
		x = room.Convolve(x, room.Response(p.c.room, tailUnder, rate, r))
	}
	level := roomNoise
	if p.c.noise > 0 {
		level = playing - p.c.noise
	}
	room.AddNoise(x, level, r)
	clip := &audio.Clip{Rate: rate, Channels: [][]float64{x}}
	if p.c.phone > 0 {
		clip = phoned(x, p.c.phone)
	}
	if p.c.mp3 {
		return throughMP3(clip)
	}
	return clip, nil
}

// playingLevel is the RMS of what lies inside the notes, in dBFS.
func (p *planner) playingLevel(x []float64) float64 {
	sum, n := 0.0, 0
	for _, e := range p.events {
		for _, v := range x[max(int(e.Start*rate), 0):min(int(e.End*rate), len(x))] {
			sum, n = sum+v*v, n+1
		}
	}
	return 10 * math.Log10(sum/float64(max(n, 1)))
}

// addBreaths adds the sound of breath drawn in, 32 dB under mezzo-forte
// (estimate).
func (p *planner) addBreaths(x []float64, r *rand.Rand) {
	amp := trombone.SteadyLevel * math.Pow(10, -32.0/20)
	for _, s := range p.breaths {
		room.Hiss(x, rate, s.from, s.to, amp, 1200, 0.8, r)
	}
}

// warmUp puts two tuning notes and talk before the take and returns the time
// that they need.
func (p *planner) warmUp() float64 {
	const tuning = 58 // B flat 3
	hz := p.c.a4 * math.Exp2((tuning-69)/12.0)
	for k := range 2 {
		start := lead + 1.6*float64(k)
		p.events = append(p.events, event{note: -1, Tone: trombone.Tone{Start: start, End: start + 1.2, Hz: hz, HzEnd: hz, Level: -2}})
	}
	p.free = append(p.free, span{0, lead + 6.0})
	return 6.5
}

// addTalk adds syllables in the middle of the warm-up: a buzz of falling pitch
// through two formants.
func (p *planner) addTalk(x []float64, r *rand.Rand) {
	for k := range 7 {
		from := lead + 3.6 + 0.28*float64(k)
		pitch := 95 + 60*r.Float64()
		amp := trombone.SteadyLevel * (0.3 + 0.4*r.Float64())
		f1, f2 := 350+400*r.Float64(), 1000+1200*r.Float64()
		for i := int(from * rate); i < int((from+0.2)*rate); i++ {
			t := float64(i)/rate - from
			hz := pitch * (1 - 0.8*t)
			sum := 0.0
			for h := 1.0; h*pitch < 3500; h++ {
				d1, d2 := (h*pitch-f1)/90, (h*pitch-f2)/130
				sum += (1/(1+d1*d1) + 0.5/(1+d2*d2)) * math.Sin(2*math.Pi*h*hz*t)
			}
			x[i] += amp * sum * math.Sin(math.Pi*t/0.2)
		}
		room.Hiss(x, rate, from-0.07, from, 0.5*amp, 4500, 0.5, r)
	}
}

// addClick adds an accompanist's click on every felt beat, so many dBFS at its
// peak.
func (p *planner) addClick(x []float64, level float64) {
	const hz, decay = 1600.0, 0.008 // s
	amp := math.Pow(10, level/20)
	for _, at := range p.beats() {
		for i := int(at * rate); i < min(int((at+8*decay)*rate), len(x)); i++ {
			t := float64(i)/rate - at
			x[i] += amp * math.Exp(-t/decay) * math.Sin(2*math.Pi*hz*t)
		}
	}
}

// beats are the felt beats of the take, in seconds.
func (p *planner) beats() []float64 {
	var out []float64
	base := lead
	if p.c.before {
		base += 6.5
	}
	for _, b := range p.pf.Bars {
		unit, n := p.pf.Part.Felt(b.Bar)
		for k := range n {
			at := b.At.Add(unit.Scale(int64(k), 1))
			out = append(out, base+p.warp(float64(p.pf.Seconds(at))))
		}
	}
	return out
}

// phoned is x as a phone keeps it: low frequencies lost below 120 Hz (first
// order, estimate), the rate r, 16 bits.
func phoned(x []float64, r int) *audio.Clip {
	const corner = 120.0 // Hz
	pole := math.Exp(-2 * math.Pi * corner / rate)
	y := make([]float64, len(x))
	last, held := 0.0, 0.0
	for i, v := range x {
		held = pole * (held + v - last)
		last, y[i] = v, held
	}
	down := rate / r
	h := lowpass(0.45 / float64(down))
	out := make([]float64, len(x)/down)
	for n := range out {
		sum := 0.0
		for k, c := range h {
			if i := n*down + k - len(h)/2; i >= 0 && i < len(y) {
				sum += c * y[i]
			}
		}
		out[n] = math.Round(sum*(1<<15)) / (1 << 15)
	}
	return &audio.Clip{Rate: r, Channels: [][]float64{out}}
}

// lowpass is a filter that passes up to a share of the sample rate.
func lowpass(cut float64) []float64 {
	const half = 96
	h := make([]float64, 2*half+1)
	sum := 0.0
	for k := range h {
		d := float64(k - half)
		h[k] = sinc(2*cut*d) * (0.5 + 0.5*math.Cos(math.Pi*d/(half+1)))
		sum += h[k]
	}
	for k := range h {
		h[k] /= sum
	}
	return h
}

// ErrNoFFmpeg says that a take needs ffmpeg, which is not here.
var ErrNoFFmpeg = errors.New("ffmpeg is not here: takes through MP3 are left out")

// throughMP3 sends the clip through MP3 at 64 kb/s and back.
func throughMP3(c *audio.Clip) (*audio.Clip, error) {
	if _, err := exec.LookPath("ffmpeg"); err != nil {
		return nil, ErrNoFFmpeg
	}
	dir, err := os.MkdirTemp("", "mp3")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	in, small, out := filepath.Join(dir, "in.wav"), filepath.Join(dir, "small.mp3"), filepath.Join(dir, "out.wav")
	if err := writeWAV(in, c); err != nil {
		return nil, err
	}
	// Files, not pipes: the encoder writes its delay into the head of the file
	// when it is done, and the decoder takes it out.
	if err := ffmpeg("-i", in, "-c:a", "libmp3lame", "-b:a", "64k", small); err != nil {
		return nil, err
	}
	if err := ffmpeg("-i", small, "-c:a", "pcm_s24le", out); err != nil {
		return nil, err
	}
	return audio.Open(out)
}

func writeWAV(path string, c *audio.Clip) error {
	var b bytes.Buffer
	if err := audio.WriteWAV(&b, c); err != nil {
		return err
	}
	return os.WriteFile(path, b.Bytes(), 0o644)
}

func ffmpeg(args ...string) error {
	out, err := exec.Command("ffmpeg", append([]string{"-v", "error"}, args...)...).CombinedOutput()
	if err != nil {
		return fmt.Errorf("ffmpeg: %w: %s", err, out)
	}
	return nil
}
