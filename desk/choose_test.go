package desk

import (
	"math"
	"slices"
	"strings"
	"testing"

	"waterkey/audio"
	"waterkey/demo"
	"waterkey/hear"
	"waterkey/sound"
)

// takesOf renders takes of the demo part by name.
func takesOf(t *testing.T, p *Prepared, faults map[string]func([]played) []played) map[string]string {
	t.Helper()
	out := map[string]string{}
	for name, fault := range faults {
		o := sound.Options{LeadIn: 0.8}
		out[name] = writeTake(t, name, fault(tonesOf(p, o)), o)
	}
	return out
}

func same(ps []played) []played { return ps }

func chosen(t *testing.T, p *Prepared, files ...string) *ChooseDocument {
	t.Helper()
	d, err := p.Choose(files, hear.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func standingOf(t *testing.T, d *ChooseDocument, name string) hear.Standing {
	t.Helper()
	i := slices.IndexFunc(d.Takes, func(s hear.Standing) bool { return s.File == name })
	if i < 0 {
		t.Fatalf("%s is not among the takes", name)
	}
	return d.Takes[i]
}

func TestTheBetterTakeIsSent(t *testing.T) {
	p := prepare(t, demoPart(t, demo.TakePart), "tenor-f")
	takes := takesOf(t, p, map[string]func([]played) []played{
		"clean.wav": each(named("D4"), tune(20)),
		"wrong.wav": both(each(named("D4"), tune(24)), each(func(p *played) bool { return p.name == "B3" }, tune(-100))),
		"rest.wav":  both(each(named("D4"), tune(22)), from(30, -0.28)),
	})
	d := chosen(t, p, takes["wrong.wav"], takes["clean.wav"], takes["rest.wav"])
	if d.Send != "clean.wav" || standingOf(t, d, "clean.wav").Rank != 1 || standingOf(t, d, "wrong.wav").Rank != 3 {
		t.Errorf("send %q, ranks %d, %d and %d; want clean, rest, wrong", d.Send,
			standingOf(t, d, "clean.wav").Rank, standingOf(t, d, "rest.wav").Rank, standingOf(t, d, "wrong.wav").Rank)
	}
	if why := strings.Join(standingOf(t, d, "wrong.wav").Because, " "); !strings.Contains(why, "B♭3 sounds where B3 is written") {
		t.Errorf("wrong.wav: %s", why)
	}
	if !slices.ContainsFunc(d.Steady, func(s string) bool { return strings.HasPrefix(s, "D4 is sharp in every take") }) {
		t.Errorf("steady: %q, want the sharp D4", d.Steady)
	}
	if !slices.ContainsFunc(d.Varies, func(s string) bool { return strings.Contains(s, "bar 24") }) {
		t.Errorf("varies: %q, want bar 24", d.Varies)
	}
	if len(d.OneMore) != 0 && slices.ContainsFunc(d.OneMore, func(m hear.OneMore) bool { return m.Bars[0] == "24" }) {
		t.Errorf("bar 24 is well in the best take, and yet %v", d.OneMore)
	}
}

// A bar that another take has better is worth one more.
func TestOneMoreTakeIsForTheBarThatAnotherHasBetter(t *testing.T) {
	p := prepare(t, demoPart(t, demo.TakePart), "tenor-f")
	takes := takesOf(t, p, map[string]func([]played) []played{
		"one.wav": each(func(p *played) bool { return p.name == "B3" }, tune(-100)),
		"two.wav": both(from(30, -0.28), both(drop(func(p *played) bool { return p.bar == 27 && p.name == "D4" }), each(inBars(10, 11), tune(100)))),
	})
	d := chosen(t, p, takes["one.wav"], takes["two.wav"])
	if d.Send != "one.wav" || len(d.OneMore) == 0 || d.OneMore[0].Bars[0] != "24" || !strings.Contains(d.OneMore[0].Says, "two.wav has it better") {
		t.Errorf("send %q, one more %+v; want one.wav and bar 24", d.Send, d.OneMore)
	}
}

func TestRecordingFaultsRuleATakeOutAloud(t *testing.T) {
	p := prepare(t, demoPart(t, demo.TakePart), "tenor-f")
	o := sound.Options{LeadIn: 0.8}
	render := func() *audio.Clip {
		var tones []sound.Tone
		for _, tone := range tonesOf(p, o) {
			tones = append(tones, tone.Tone)
		}
		clip := sound.Render(tones, o)
		clip.Channels[0] = append(clip.Channels[0], make([]float64, clip.Rate)...)
		return clip
	}
	spoil := func(edit func(x []float64, rate int) []float64) *audio.Clip {
		clip := render()
		clip.Channels[0] = edit(clip.Channels[0], clip.Rate)
		return clip
	}
	song := prepare(t, demoPart(t, "lantern-song.musicxml"), "tenor-f")
	other, _ := song.Play(sound.Options{})
	cases := []struct {
		name, want string
		clip       *audio.Clip
	}{
		{"overdriven.wav", "overdriven", spoil(func(x []float64, _ int) []float64 {
			for i := range x {
				x[i] = max(-1, min(8*x[i], 1))
			}
			return x
		})},
		{"noisy.wav", "noisy", spoil(func(x []float64, _ int) []float64 {
			seed := uint32(3)
			for i := range x {
				seed = seed*1664525 + 1013904223
				x[i] += 0.01 * (float64(seed)/(1<<31) - 1)
			}
			return x
		})},
		{"start.wav", "cut at the start", spoil(func(x []float64, rate int) []float64 { return x[rate*86/100:] })},
		{"end.wav", "cut at the end", spoil(func(x []float64, rate int) []float64 { return x[:len(x)-rate*160/100] })},
		{"hum.wav", "mains hum", spoil(func(x []float64, rate int) []float64 {
			for i := range x {
				at := 2 * math.Pi * 50 * float64(i) / float64(rate)
				x[i] += 0.0012 * (math.Sin(at) + 0.7*math.Sin(2*at) + 0.7*math.Sin(3*at))
			}
			return x
		})},
		{"quiet.wav", "too quiet", spoil(func(x []float64, _ int) []float64 {
			for i := range x {
				x[i] *= 0.02
			}
			return x
		})},
		{"song.wav", "no take of this part", other},
	}
	good := writeClip(t, "good.wav", render())
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			d := chosen(t, p, writeClip(t, c.name, c.clip), good)
			s := standingOf(t, d, c.name)
			if d.Send != "good.wav" || s.Rank != 2 || !strings.Contains(strings.Join(s.RuledOut, " "), c.want) {
				t.Errorf("send %q, rank %d, ruled out because %q; want good.wav, 2 and %q", d.Send, s.Rank, s.RuledOut, c.want)
			}
			if g := standingOf(t, d, "good.wav"); len(g.RuledOut) != 0 {
				t.Errorf("the good take is ruled out: %q", g.RuledOut)
			}
		})
	}
	t.Run("none is fit", func(t *testing.T) {
		d := chosen(t, p, writeClip(t, "quiet.wav", cases[5].clip), writeClip(t, "song.wav", other))
		if d.Send != "" || !strings.HasPrefix(d.Why[0], "None of these takes should be sent") {
			t.Errorf("send %q: %q", d.Send, d.Why)
		}
	})
}

func TestATakeNamedTwiceIsAnError(t *testing.T) {
	p := prepare(t, demoPart(t, demo.TakePart), "tenor-f")
	one := takesOf(t, p, map[string]func([]played) []played{"one.wav": same})["one.wav"]
	if _, err := p.Choose([]string{one, one}, hear.Options{}); err == nil || !strings.Contains(err.Error(), "the same recording") {
		t.Errorf("%v", err)
	}
	if _, err := p.Choose(nil, hear.Options{}); err == nil {
		t.Error("no takes at all are accepted")
	}
	if _, err := p.Choose([]string{"nowhere.wav"}, hear.Options{}); err == nil {
		t.Error("a missing file is accepted")
	}
}
