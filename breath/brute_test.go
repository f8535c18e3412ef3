package breath

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"waterkey/player"
	"waterkey/score"
	"waterkey/score/scoretest"
)

// randomText is a seeded part of so many notes in 4/4: notes and rests of several
// lengths, slurs, dots, breath marks, levels.
func randomText(r *rand.Rand, notes int) string {
	pitches := []string{"E2", "Bb2", "F3", "B3", "C4", "D4", "F4", "Bb4"}
	levels := []string{"pp", "p", "mf", "f", "ff"}
	var s strings.Builder
	left := 16 // sixteenths in the bar
	for notes > 0 {
		sixteenths := []int{1, 2, 2, 4, 4, 8, 16}[r.IntN(7)]
		if sixteenths > left {
			sixteenths = 1
		}
		left -= sixteenths
		value := fmt.Sprint("/", 16/sixteenths)
		if left == 0 {
			left = 16
		}
		if r.IntN(6) == 0 {
			fmt.Fprint(&s, "r", value, " ")
			continue
		}
		if r.IntN(6) == 0 {
			fmt.Fprint(&s, "=", levels[r.IntN(len(levels))], " ")
		}
		sign := []string{"", "", "(", "(", "'", "-", ",", "!", "~"}[min(r.IntN(24), 8)]
		if r.IntN(3) > 0 && (sign == "~" || sign == "!") {
			sign = ""
		}
		fmt.Fprint(&s, pitches[r.IntN(len(pitches))], value, sign, " ")
		notes--
	}
	return s.String()
}

// randomGround is a short part and a player who cannot hold it in one breath.
func randomGround(t testing.TB, r *rand.Rand, notes int) *ground {
	t.Helper()
	pf, err := scoretest.Part(t, common, 20+float64(r.IntN(140)), randomText(r, notes)).ReadThrough(tempo)
	if err != nil {
		t.Fatal(err)
	}
	o := Options{Lungs: player.UsualLungs(player.Second), IgnorePrinted: r.IntN(4) == 0}
	o.Lungs.Vital = 0.5 + 3*r.Float64()
	if r.IntN(2) == 0 { // so little flow that time counts as well as air
		o.Lungs.Flow = []player.FlowFactor{{MIDI: 58, Factor: 0.1 + 0.5*r.Float64()}}
		o.weights = usualWeights
		o.weights.held = 3
	}
	for i := 0; i+1 < len(pf.Notes); i++ {
		if r.IntN(12) == 0 && !pf.Written(i).GlissTo {
			o.Pins = append(o.Pins, Pin{After: i, Forbid: r.IntN(2) == 0})
		}
	}
	if o, err = o.complete(); err != nil {
		t.Fatal(err)
	}
	g, err := newGround(pf, o)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// TestBruteForce: on seeded short parts the plan costs what the cheapest of all
// combinations of breaths costs.
func TestBruteForce(t *testing.T) {
	const parts = 10_000 // among them one in which it counts for how long a breath is held
	r := rand.New(rand.NewPCG(3, 3))
	breaths, lacking, combinations := 0, 0, 0
	for n := range parts {
		g := randomGround(t, r, 4+r.IntN(7))
		b := g.solve()
		best := math.Inf(1)
		every(g, 0, nil, func(picks []pick) {
			combinations++
			best = min(best, g.play(picks).Cost)
		})
		if math.Abs(b.Cost-best) > tiny*(1+best) {
			t.Fatalf("part %d: cost %.9g, the best of all combinations %.9g", n, b.Cost, best)
		}
		certify(t, b)
		breaths += len(b.Breaths)
		lacking += len(b.Lacking())
	}
	t.Logf("%d parts, %d combinations, %d breaths, %d stretches that lack air", parts, combinations, breaths, lacking)
	if breaths < 2_000 || lacking == 0 {
		t.Errorf("%d breaths and %d lacking stretches: the parts do not try the solver", breaths, lacking)
	}
}

// every calls f with each combination of breaths at the places from i on.
func every(g *ground, i int, picks []pick, f func([]pick)) {
	if i >= len(g.places) {
		f(picks)
		return
	}
	p := &g.places[i]
	if !p.entry && (!p.forced || len(p.breaths) == 0) {
		every(g, i+1, picks, f)
	}
	for k := range p.breaths {
		every(g, i+1, append(picks[:len(picks):len(picks)], pick{i, k}), f)
	}
}

// TestMoreAirIsNeverWorse: with larger lungs, or less flow, the same part never
// costs more and never lacks more.
func TestMoreAirIsNeverWorse(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 13))
	cheaper := 0
	for n := range 2_000 {
		g := randomGround(t, r, 2+r.IntN(30))
		b := g.solve()
		more := g.opts
		if n%2 == 0 {
			more.Lungs.Vital *= 1 + r.Float64()
		} else {
			more.Lungs.Flow = []player.FlowFactor{{MIDI: 58, Factor: g.opts.Lungs.FlowAt(58) / (1 + r.Float64())}}
		}
		c := solve(t, g.pf, more)
		if c.Cost > b.Cost+tiny*(1+b.Cost) {
			t.Fatalf("part %d: cost %.9g with more air, %.9g without", n, c.Cost, b.Cost)
		}
		if lacks(c) > lacks(b)+tiny {
			t.Fatalf("part %d: %.3f L lacking with more air, %.3f without", n, lacks(c), lacks(b))
		}
		if c.Cost < b.Cost-tiny {
			cheaper++
		}
	}
	if cheaper < 500 {
		t.Errorf("more air helped in %d of 2000 parts: they do not try the air", cheaper)
	}
}

func lacks(b *Breathing) float64 {
	sum := 0.0
	for _, l := range b.Lacking() {
		sum += l.Liters
	}
	return sum
}

// fewest counts breaths and nothing else, after air that lacks.
var fewest = weights{breath: 1, lack: 1e6}

// TestSlowerNeverNeedsFewerBreaths holds when the tempo changes neither what a breath
// brings nor where one can be taken: here every place has room for a full one. Then
// the breaths that do at the slower tempo do at the faster.
func TestSlowerNeverNeedsFewerBreaths(t *testing.T) {
	r := rand.New(rand.NewPCG(17, 19))
	quick := player.UsualLungs(player.Second)
	quick.CatchSeconds, quick.FullSeconds = 0.001, 0.002
	compared, more := 0, 0
	for range 2_000 {
		part := scoretest.Part(t, common, 90, longNotes(r, 3+r.IntN(25)))
		fast, slow := 60+60*r.Float64(), 0.0
		slow = fast * (0.5 + r.Float64()/2)
		var counts [2]int
		var lack [2]float64
		for k, bpm := range []float64{fast, slow} {
			pf, err := part.ReadThrough(score.Tempo{BPM: bpm})
			if err != nil {
				t.Fatal(err)
			}
			b := solve(t, pf, Options{Lungs: quick, weights: fewest})
			counts[k], lack[k] = len(b.Breaths), lacks(b)
		}
		if lack[0] > lack[1]+tiny {
			t.Fatalf("%.3f L lacking at %.0f, %.3f at %.0f", lack[0], fast, lack[1], slow)
		}
		if lack[1] > 0 {
			continue
		}
		compared++
		if counts[1] < counts[0] {
			t.Fatalf("%d breaths at %.0f, %d at %.0f:", counts[0], fast, counts[1], slow)
		}
		if counts[1] > counts[0] {
			more++
		}
	}
	if compared < 500 || more < 100 {
		t.Errorf("%d compared, %d needed more: the parts do not try it", compared, more)
	}
}

// TestSlowerCanNeedFewer: as a plain sentence "slower never needs fewer breaths" is
// false. At 60 the half notes are too short to be cut for a full breath, and three
// catch breaths are needed; at 55 two full ones do.
func TestSlowerCanNeedFewer(t *testing.T) {
	part := scoretest.Part(t, common, 60, "F3/2 F3/2 F3/2 F3/2 F3/2 F3/2")
	for bpm, want := range map[float64]int{60: 3, 55: 2} {
		pf, err := part.ReadThrough(score.Tempo{BPM: bpm})
		if err != nil {
			t.Fatal(err)
		}
		o := small(2)
		o.weights = fewest
		b := solve(t, pf, o)
		if len(b.Breaths) != want || len(b.Lacking()) > 0 {
			t.Errorf("at %g: %d breaths, want %d; lacking %v", bpm, len(b.Breaths), want, b.Lacking())
		}
	}
}

// longNotes is a part of quarters and halves, so that half of any note is room.
func longNotes(r *rand.Rand, notes int) string {
	var s strings.Builder
	for k := range notes {
		fmt.Fprintf(&s, "%s/%s%s ", []string{"E2", "F3", "C4", "F4"}[r.IntN(4)], "4", []string{"", "(", "'", "-"}[r.IntN(4)])
		if k%5 == 4 {
			fmt.Fprint(&s, "r/4 ")
		}
	}
	return s.String()
}
