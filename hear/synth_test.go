package hear

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"waterkey/audio"
	"waterkey/score"
)

// page builds a part in 4/4 from words, one a note: pitch and value as a
// fraction of a whole note ("Bb2/8"), then signs: "." staccato, "-" tenuto,
// "~" slurred to the next, ">" glissando to the next, "g" grace note, "'" accent.
// "r/4" is a rest; a word such as "ff" is a dynamic; "<" and "!" open and close
// a crescendo; "|:" and ":|" are repeats.
func page(t testing.TB, bpm float64, unit score.Time, words string) *score.Part {
	t.Helper()
	p := &score.Part{Title: "test page", Tempos: []score.TempoMark{{BPM: bpm, Unit: unit}}}
	w := writer{p: p}
	for i, word := range strings.Fields(words) {
		if err := w.add(word, fmt.Sprintf("n%d", i)); err != nil {
			t.Fatal(err)
		}
	}
	w.bar(w.at)
	if w.repeatEnd {
		p.Bars[len(p.Bars)-1].RepeatEnd = 2
	}
	return p
}

type writer struct {
	p                      *score.Part
	at                     score.Time
	slurred                bool
	repeatStart, repeatEnd bool
	wedge                  score.Time
}

// bar makes sure that the bar holding a moment exists and returns its index.
func (w *writer) bar(at score.Time) int {
	meter := score.Meter{Beats: 4, Unit: 4}
	for n := len(w.p.Bars); n == 0 || w.p.Bars[n-1].Start.Less(at) && !at.Less(w.p.Bars[n-1].End()); n = len(w.p.Bars) {
		b := score.Bar{Number: fmt.Sprint(n + 1), Start: score.Frac(int64(n), 1), Length: score.Frac(1, 1), Meter: meter, RepeatStart: w.repeatStart}
		if w.repeatEnd {
			w.p.Bars[n-1].RepeatEnd = 2
		}
		w.repeatStart, w.repeatEnd = false, false
		w.p.Bars = append(w.p.Bars, b)
	}
	return int(math.Floor(at.Float()))
}

func (w *writer) add(word, id string) error {
	switch word {
	case "|:":
		w.repeatStart = true
		return nil
	case ":|":
		w.repeatEnd = true
		return nil
	case "<":
		w.wedge = w.at
		return nil
	case "!":
		w.p.Wedges = append(w.p.Wedges, score.Wedge{From: w.wedge, To: w.at, Grow: true})
		return nil
	}
	if _, ok := score.LevelStep(word); ok {
		w.p.Dynamics = append(w.p.Dynamics, score.DynamicMark{At: w.at, Mark: word})
		return nil
	}
	return w.note(word, id)
}

func (w *writer) note(word, id string) error {
	name, rest, _ := strings.Cut(word, "/")
	value := strings.TrimRight(rest, ".-~>'g")
	signs := rest[len(value):]
	num, den := int64(1), int64(0)
	if n, err := fmt.Sscanf(value, "%d:%d", &num, &den); n != 2 || err != nil {
		num = 1
		if _, err := fmt.Sscanf(value, "%d", &den); err != nil {
			return fmt.Errorf("%q: %w", word, err)
		}
	}
	long := score.Frac(num, den)
	at := w.at
	if strings.Contains(signs, "g") {
		long = score.Time{}
	}
	w.at = at.Add(long)
	bar := w.bar(at)
	if name == "r" {
		return nil
	}
	pitch, err := score.ParsePitch(name)
	if err != nil {
		return err
	}
	n := score.Note{
		ID: id, Bar: bar, Onset: at, Duration: long, Pitch: pitch, Written: pitch,
		Pieces: []score.Piece{{ID: id, Bar: bar, Onset: at, Duration: long, Value: long}},
		Grace:  long.Sign() == 0, SlurFrom: w.slurred, SlurTo: strings.Contains(signs, "~"), GlissTo: strings.Contains(signs, ">"),
	}
	for sign, mark := range map[string]score.Mark{".": score.Staccato, "-": score.Tenuto, "'": score.Accent} {
		if strings.Contains(signs, sign) {
			n.Marks |= mark
		}
	}
	w.slurred = n.SlurTo
	w.p.Notes = append(w.p.Notes, n)
	return nil
}

func perform(t testing.TB, p *score.Part) *score.Performance {
	t.Helper()
	pf, err := p.Perform(score.Tempo{})
	if err != nil {
		t.Fatal(err)
	}
	return pf
}

// tone is one sound of a test take.
type tone struct {
	note       int // index into the performance, -1 for none
	start, end float64
	hz, hzEnd  float64
	amp        float64
	joined     bool // no new attack
}

// faithful are the tones of a rendering as the page asks, at a tempo factor
// (1.25 is faster) and tuning, after a silence.
func faithful(pf *score.Performance, speed, a4, lead float64) []tone {
	var out []tone
	for i, n := range pf.Notes {
		w := pf.Written(i)
		start, end := float64(n.Start), float64(n.Start)+w.SoundedShare()*float64(n.End-n.Start)
		t := tone{note: i, start: lead + start/speed, end: lead + end/speed, hz: w.Pitch.Hz(a4)}
		t.hzEnd = t.hz
		if w.GlissTo {
			t.hzEnd = pf.Written(i + 1).Pitch.Hz(a4)
		}
		const stepDB = 3.5 // one marking
		t.amp = 0.05 * math.Pow(10, stepDB*pf.Part.Level(w.Onset)/20)
		if i > 0 {
			before := pf.Written(i - 1)
			t.joined = (before.SlurTo || before.GlissTo) && before.Pitch != w.Pitch
		}
		if k := len(out) - 1; k >= 0 && !t.joined {
			out[k].end = min(out[k].end, t.start-tongue) // the tongue stops the air
		}
		out = append(out, t)
	}
	return out
}

const (
	tongue  = 0.015 // s of silence between two tongued notes at the least
	attack  = 0.010 // s
	release = 0.020 // s
)

// sing renders tones: harmonics of amplitude 1/k, and noise at so many dBFS
// (0 for none).
func sing(tones []tone, rate int, noiseDB float64) *audio.Clip {
	last := 0.0
	for _, t := range tones {
		last = max(last, t.end)
	}
	x := make([]float64, int((last+0.6)*float64(rate)))
	phase := 0.0
	for i, t := range tones {
		if !t.joined {
			phase = 0.3
		}
		stays := i+1 < len(tones) && tones[i+1].joined
		phase = singOne(x, rate, t, phase, stays)
	}
	if noiseDB != 0 {
		amp, seed := math.Pow(10, noiseDB/20)*math.Sqrt(3), uint32(7)
		for i := range x {
			seed = seed*1664525 + 1013904223
			x[i] += amp * (float64(seed)/(1<<31) - 1)
		}
	}
	return &audio.Clip{Rate: rate, Channels: [][]float64{x}}
}

func singOne(x []float64, rate int, t tone, phase float64, stays bool) float64 {
	from, to := int(t.start*float64(rate)), int(t.end*float64(rate))
	fade := int(release * float64(rate))
	if stays {
		fade = 0
	}
	for i := from; i < min(to+fade, len(x)); i++ {
		share := float64(i-from) / float64(max(to-from, 1))
		hz := t.hz * math.Pow(t.hzEnd/t.hz, min(share, 1))
		gain := t.amp
		if s := float64(i-from) / float64(rate); !t.joined && s < attack {
			gain *= s / attack
		}
		if i >= to {
			gain *= 1 - float64(i-to)/float64(fade)
		}
		phase += 2 * math.Pi * hz / float64(rate)
		x[i] += gain * harmonics(phase, hz)
	}
	return phase
}

// harmonics is the sum of sin(kφ)/k up to ten of them below 7 kHz, by the
// recurrence of sines.
func harmonics(phase, hz float64) float64 {
	s, c := math.Sincos(phase)
	prev, cur, sum := 0.0, s, 0.0
	for k := 1.0; k <= 10 && k*hz < 7000; k++ {
		sum += cur / k
		prev, cur = cur, 2*c*cur-prev
	}
	return sum
}

// etude is a page with what makes listening hard: staccato eighths at half
// note = 96, repeated notes, slurs, a glissando, grace notes, both ends of the
// range, long rests, a crescendo and a repeat.
const etude = `mf Bb2/8. D3/8. F3/8. F3/8. F3/8. G3/8. F3/8. D3/8.
|: Eb3/4~ F3/4~ G3/4~ A3/4 Bb3/4 Bb3/4 Bb3/4 Bb3/4 :|
p C3/2> F3/2 r/1 r/1 r/1 D3/4 E3/16g F3/4 r/2
ff F2/2 Bb1/2 Bb1/4 C2/4 r/2
pp F4/4 G4/4 A4/4 Bb4/4 Bb4/8. Bb4/8. Bb4/8. Bb4/8. r/2
p < C3/4 D3/4 E3/4 F3/4 G3/4 A3/4 B3/4 C4/4 ! f C4/1
f G3/8~ F3/8~ E3/8~ D3/8 C3/8. C3/8. C3/8. C3/8. F3/3:8 G3/8 A3/3:8 G3/8
F3/4- F3/4- E3/4- E3/4- F3/1`

func etudePart(t testing.TB) *score.Performance {
	return perform(t, page(t, 96, score.Frac(1, 2), etude))
}
