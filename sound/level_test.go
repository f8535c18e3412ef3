package sound

import (
	"math"
	"testing"

	"waterkey/score"
)

func dynamics(p *score.Part, marks ...string) *score.Part {
	for i, m := range marks {
		p.Dynamics = append(p.Dynamics, score.DynamicMark{At: p.Notes[i].Onset, Bar: p.Notes[i].Bar, Mark: m})
	}
	return p
}

func TestLevelOfEachMark(t *testing.T) {
	const most = 0.2 // dB: mixing stored periods and what is left of the settling
	for i, mark := range []string{"ppp", "pp", "p", "mp", "mf", "f", "ff", "fff"} {
		for _, pitch := range []string{"E2", "Bb3", "F4"} {
			x := play(t, dynamics(page(t, written{pitch: pitch, quarters: 4}), mark), Options{})
			want := ReferenceDBFS + 4*float64(i-4)
			if got := dbfs(seconds(x, 1.5, 3)); math.Abs(got-want) > most {
				t.Errorf("%s %s sounds at %.2f dBFS, want %.2f", pitch, mark, got, want)
			}
		}
	}
}

func TestHairpinInsideANote(t *testing.T) {
	const most = 0.5 // dB
	p := dynamics(page(t, written{pitch: "Bb3", quarters: 4}, written{pitch: "Bb3", quarters: 4}), "p", "f")
	p.Wedges = []score.Wedge{{To: score.Frac(1, 1), Grow: true}}
	x := play(t, p, Options{})
	for _, at := range []float64{1, 2, 3} {
		want := ReferenceDBFS - 8 + 12*at/4
		if got := dbfs(seconds(x, at-0.05, at+0.05)); math.Abs(got-want) > most {
			t.Errorf("%g s into a crescendo from p to f: %.2f dBFS, want %.2f", at, got, want)
		}
	}
}

// A mark at the next note does not reach back into the one before.
func TestSubitoStartsAtItsNote(t *testing.T) {
	p := dynamics(page(t, written{"Bb3", 4, marked(score.Tenuto)}, written{pitch: "Bb3", quarters: 4}), "f", "p")
	tones := Tones(perform(t, p), Options{})
	if tones[0].Swell != nil || tones[0].Level != 4 || tones[1].Level != -8 {
		t.Errorf("f then subito p: levels %g %g, swell %v; want 4, -8, none", tones[0].Level, tones[1].Level, tones[0].Swell)
	}
}

func TestAccents(t *testing.T) {
	accent := func(a string) func(*score.Note) { return func(n *score.Note) { n.Attack = a } }
	for _, c := range []struct {
		name   string
		edit   func(*score.Note)
		start  float64 // dB rel. to mf, around 60 ms
		middle float64 // around 1.5 s
	}{
		{"plain", nil, 0.7, 0},
		{"accent", marked(score.Accent), 0.5 + 2.5*0.61 + 0.7, 0.5},
		{"marcato", marked(score.Marcato), 1 + 3*0.61 + 0.7, 1},
		{"sfz", accent("sfz"), 5.6, 0},
		{"fp", accent("fp"), -8 + 12*0.61 + 0.7, -8},
	} {
		x := play(t, page(t, written{"Bb3", 4, c.edit}), Options{})
		start, middle := dbfs(seconds(x, 0.05, 0.07))-ReferenceDBFS, dbfs(seconds(x, 1.4, 1.6))-ReferenceDBFS
		if math.Abs(start-c.start) > 0.7 || math.Abs(middle-c.middle) > 0.2 {
			t.Errorf("%s: %.1f dB at the start and %.1f in the middle, want %.1f and %.1f", c.name, start, middle, c.start, c.middle)
		}
	}
}

// The loudest note there is, ticks and a drone of six pitches at once stay below full
// scale on every instrument.
func TestHeadroom(t *testing.T) {
	var drone []score.Pitch
	for _, midi := range []int{34, 46, 53, 58, 62, 65} {
		drone = append(drone, score.PitchFromMIDI(midi))
	}
	more := append(Drone{Pitches: drone, Level: -6 - 10*math.Log10(6), End: 1.3}.Tones(440), tick(moment{place{strong: true}, 1.01}), tick(moment{place{strong: true}, 1.15}))
	for _, name := range []string{"plain", "tenor-f", "bass", "trumpet-bb", "horn-f-bb", "euphonium", "tuba-c"} {
		o := Options{}
		if name != "plain" {
			o.Timbre = TimbreOf(name)
		}
		worst := 0.0
		for midi := 28; midi <= 79; midi += 3 {
			tones := append([]Tone{{Start: 1, End: 1.3, Hz: score.PitchFromMIDI(midi).Hz(440), Level: 100, Burst: 12, Attack: Sforzando}}, more...)
			worst = max(worst, peak(Render(tones, o).Channels[0]))
		}
		t.Logf("%s: highest peak %.2f dBFS", name, 20*math.Log10(worst))
		if worst >= 1 {
			t.Errorf("%s: peak %.3f, want below 1", name, worst)
		}
	}
}
