package desk

import (
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"waterkey/audio"
	"waterkey/demo"
	"waterkey/hear"
	"waterkey/score"
	"waterkey/sound"
)

// played is a tone with the printed bar and the pitch it comes from.
type played struct {
	sound.Tone
	bar  int
	name string
	note *score.Note
}

// tonesOf are the tones of a performance of a part, to be made worse.
func tonesOf(p *Prepared, o sound.Options) []played {
	var out []played
	for _, t := range sound.Tones(p.Played, o) {
		w := p.Played.Written(t.Note)
		out = append(out, played{t, w.Bar + 1, w.Pitch.String(), w})
	}
	return out
}

// writeTake renders tones to a file.
func writeTake(t *testing.T, name string, ps []played, o sound.Options) string {
	t.Helper()
	tones := make([]sound.Tone, len(ps))
	for i := range ps {
		tones[i] = ps[i].Tone
	}
	return writeClip(t, name, sound.Render(tones, o))
}

func writeClip(t *testing.T, name string, clip *audio.Clip) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := audio.WriteWAV(f, clip); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	return path
}

// each edits the tones that hold.
func each(is func(*played) bool, edit func(*played)) func([]played) []played {
	return func(ps []played) []played {
		for i := range ps {
			if is(&ps[i]) {
				edit(&ps[i])
			}
		}
		return ps
	}
}

// from moves everything from a bar on, in seconds.
func from(bar int, by score.Seconds) func([]played) []played {
	return each(func(p *played) bool { return p.bar >= bar }, func(p *played) { p.Start, p.End = p.Start+by, p.End+by })
}

// bend maps every moment of the take.
func bend(to func(score.Seconds) score.Seconds) func([]played) []played {
	return each(func(*played) bool { return true }, func(p *played) { p.Start, p.End = to(p.Start), to(p.End) })
}

func tune(cents float64) func(*played) {
	return func(p *played) {
		p.Hz *= math.Exp2(cents / 1200)
		p.HzEnd *= math.Exp2(cents / 1200)
	}
}

func inBars(first, last int) func(*played) bool {
	return func(p *played) bool { return p.bar >= first && p.bar <= last }
}

func named(name string) func(*played) bool {
	return func(p *played) bool { return p.name == name && p.HzEnd == 0 }
}

// cracks lets notes begin on the partial above, as a split does.
func cracks(is func(*played) bool) func([]played) []played {
	return func(ps []played) []played {
		var out []played
		for i := range ps {
			if is(&ps[i]) {
				crack := ps[i]
				crack.Note, crack.Hz, crack.End = -1, crack.Hz*4/3, crack.Start+0.07
				ps[i].Start, ps[i].Connects, ps[i].Attack = crack.End, true, sound.Slurred
				out = append(out, crack)
			}
			out = append(out, ps[i])
		}
		return out
	}
}

// stopAndRestart plays up to the end of a bar, waits, and goes on from an earlier one.
func stopAndRestart(end, again int) func([]played) []played {
	return func(ps []played) []played {
		var out []played
		stop, start := score.Seconds(0), score.Seconds(-1)
		for _, p := range ps {
			if p.bar <= end {
				out, stop = append(out, p), max(stop, p.End)
			}
		}
		for _, p := range ps {
			if p.bar < again {
				continue
			}
			if start < 0 {
				start = p.Start
			}
			p.Start, p.End = p.Start-start+stop+2.5, p.End-start+stop+2.5
			out = append(out, p)
		}
		return out
	}
}

func drop(is func(*played) bool) func([]played) []played {
	return func(ps []played) []played { return slices.DeleteFunc(ps, func(p played) bool { return is(&p) }) }
}

func both(a, b func([]played) []played) func([]played) []played {
	return func(ps []played) []played { return b(a(ps)) }
}

// The first advice of a coach for takes with one thing wrong, and for takes with
// two. What comes first is common practice among teachers; there is no source.
func TestTheFirstAdviceIsACoachs(t *testing.T) {
	p := prepare(t, demoPart(t, demo.TakePart), "tenor-f")
	bar := score.Seconds(p.Played.Seconds(p.Part.Bars[20].Length))
	cases := []struct {
		name  string
		fault func([]played) []played
		want  string // kind of the first advice
		bar   int    // in which it lies; 0 for any
	}{
		{"the natural forgotten", each(func(p *played) bool { return p.name == "B3" }, tune(-100)), "wrong-note", 24},
		{"low notes that do not speak", drop(func(p *played) bool { return p.name == "F2" }), "missed-note", 0},
		{"high notes that split", cracks(func(p *played) bool { return p.name == "D4" && p.note.Duration == score.Frac(1, 4) }), "split-note", 0},
		{"D4 sharp all through", each(named("D4"), tune(25)), "intonation", 0},
		{"the whole take sharp", each(func(*played) bool { return true }, tune(25)), "tuning", 0},
		{"a swallowed rest", from(30, -0.28), "short-rest", 29},
		{"slower and slower", bend(func(s score.Seconds) score.Seconds { return s * (1 + 0.12*s/50) }), "tempo-drift", 0},
		{"staccato held", each(inBars(10, 11), func(p *played) { p.End = p.Start + 2*(p.End-p.Start)*0.93 }), "too-long", 10},
		{"the soft passage not soft", each(inBars(14, 17), func(p *played) { p.Level += 10 }), "level", 14},
		{"a stop and a start again", stopAndRestart(24, 22), "restart", 0},
		{"a bar left out", both(drop(inBars(21, 21)), from(22, -bar)), "left-out", 21},
		{"a wrong note and a swallowed rest", both(each(func(p *played) bool { return p.name == "B3" }, tune(-100)), from(30, -0.28)), "wrong-note", 24},
		{"D4 a little sharp and a swallowed rest", both(each(named("D4"), tune(16)), from(30, -0.28)), "short-rest", 29},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			o := sound.Options{LeadIn: 0.8}
			take, err := p.Hear(writeTake(t, "take.wav", c.fault(tonesOf(p, o)), o), hear.Options{})
			if err != nil {
				t.Fatal(err)
			}
			if len(take.First) == 0 {
				t.Fatalf("nothing is said, want %s", c.want)
			}
			f := take.Findings[take.First[0]]
			if f.Kind != c.want || c.bar != 0 && f.Bars[0] != p.Part.Bars[c.bar-1].Number {
				t.Errorf("first: %s in %v (%s), want %s in bar %d", f.Kind, f.Bars, f.Says, c.want, c.bar)
			}
			t.Log(f.Says)
			for _, other := range take.Findings {
				if other.Kind != f.Kind {
					t.Logf("then: %s, %s", other.Kind, other.Says)
				}
			}
		})
	}
}
