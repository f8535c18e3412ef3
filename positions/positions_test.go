package positions

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"waterkey/brass"
	"waterkey/score"
	"waterkey/score/scoretest"
)

var (
	common = score.Meter{Beats: 4, Unit: 4}
	cut    = score.Meter{Beats: 2, Unit: 2, Symbol: "cut"}
)

func solve(t *testing.T, instrument string, meter score.Meter, bpm float64, text string) *Path {
	t.Helper()
	in, err := brass.Named(instrument)
	if err != nil {
		t.Fatal(err)
	}
	pf, err := scoretest.Part(t, meter, bpm, text).ReadThrough(score.Tempo{})
	if err != nil {
		t.Fatal(err)
	}
	return Solve(pf, in)
}

func labels(p *Path) string {
	var out []string
	for _, s := range p.Steps {
		if s.Way == nil {
			out = append(out, "none")
			continue
		}
		out = append(out, s.Way.Label)
	}
	return strings.Join(out, " ")
}

// TestConventionalPositions holds the solver to what players do. Each row is
// common practice; sources where one was found.
func TestConventionalPositions(t *testing.T) {
	for _, c := range []struct {
		name, instrument string
		meter            score.Meter
		bpm              float64
		text, want       string
	}{
		{"low figure stays in sixth", "tenor", cut, 96,
			"F3/8 C3/8 F2/8 C3/8 F3/8 C3/8 F2/8 C3/8", "6 6 6 6 6 6 6 6"},
		{"low figure stays in first with the valve", "tenor-f", cut, 96,
			"F3/8 C3/8 F2/8 C3/8 F3/8 C3/8 F2/8 C3/8", "T1 T1 T1 T1 T1 T1 T1 T1"},
		{"the same in quarters at a quick march", "tenor", common, 132,
			"F3/4 C3/4 F2/4 C3/4", "6 6 6 6"},
		{"first choices when there is time", "tenor", common, 60,
			"F3/2 Bb3/2 D4/2 C4/2 A3/2 F3/2", "1 1 1 3 2 1"},
		{"long F in first although C follows", "tenor", common, 50,
			"F3/1 C3/1 F3/1", "1 6 1"},
		// S. Burtis, trombone.org, 1997: choices in the middle of the slide;
		// Wikibooks marks D4 in fourth as an alternate.
		{"D between two Cs need not go home", "tenor", common, 132,
			"B3/16 D4/16 B3/16 D4/16 B3/16 D4/16 B3/16 D4/16", "4 4 4 4 4 4 4 4"},
		{"raised second for G", "tenor", common, 80, "F4/4 G4/4 F4/2", "1 ♯2 1"},
	} {
		if got := labels(solve(t, c.instrument, c.meter, c.bpm, c.text)); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
}

func TestGlissandoOnOnePartial(t *testing.T) {
	// Rule: one harmonic throughout (encyclopedia article "Trombone"). C3 to F3
	// runs on partial 3 from sixth to first.
	p := solve(t, "tenor-f", common, 96, "C3/2~ F3/2")
	if labels(p) != "6 1" || p.Steps[0].Way.Partial != 3 || p.Steps[1].Way.Partial != 3 {
		t.Errorf("C3 to F3: %s", labels(p))
	}
	if !Joined(p.Steps[0].Way, p.Steps[1].Way) {
		t.Error("C3 to F3 is not called joined")
	}
	// A fifth is wider than the slide: a tritone is the most on one partial.
	p = solve(t, "tenor-f", common, 96, "G3/2~ D4/2")
	if Joined(p.Steps[0].Way, p.Steps[1].Way) {
		t.Errorf("G3 to D4 share no partial within reach, but %s is called joined", labels(p))
	}
	// G3 to C4 lies across the break of the open horn; with the valve held it
	// runs on partial 6 of the F side.
	if p = solve(t, "tenor", common, 96, "G3/2~ C4/2"); Joined(p.Steps[0].Way, p.Steps[1].Way) {
		t.Errorf("G3 to C4 on a straight horn: %s is called joined", labels(p))
	}
	if p = solve(t, "tenor-f", common, 96, "G3/2~ C4/2"); labels(p) != "T6 T1" {
		t.Errorf("G3 to C4 with the attachment: %s, want T6 T1", labels(p))
	}
}

func TestSlurKinds(t *testing.T) {
	// trombone.org, "Playing Legato on the Trombone: A Primer": same position is
	// a lip slur; slide against the pitch a natural slur; the same way tongued; the
	// F attachment a valve slur.
	for _, c := range []struct {
		instrument, text string
		want             Slur
	}{
		{"tenor", "Bb2/2( F3/2", LipSlur},
		{"tenor", "Bb3/2( C4/2", NaturalSlur}, // 1 to 3, up
		{"tenor", "C4/2( Bb3/2", NaturalSlur}, // 3 to 1, down
		{"tenor", "A3/2( Bb3/2", TonguedSlur}, // one partial
		{"tenor", "Eb4/2( F4/2", TonguedSlur}, // in and up on one partial
		{"tenor-f", "Bb2/2( C3/2", ValveSlur},
	} {
		if got := solve(t, c.instrument, common, 60, c.text).Steps[1].Slur; got != c.want {
			t.Errorf("%s on %s: %q, want %q", c.text, c.instrument, got, c.want)
		}
	}
}

func TestOutOfReachIsSaidAndSplitsThePath(t *testing.T) {
	if got := labels(solve(t, "tenor", common, 60, "F3/4 C2/4 F3/4 Bb3/4")); got != "1 none 1 1" {
		t.Errorf("%s", got)
	}
}

// randomText is a seeded short part.
func randomText(r *rand.Rand, notes int) string {
	values := []string{"4", "8", "16", "8'", "4("}
	var b strings.Builder
	var at score.Time
	for range notes {
		v := values[r.IntN(len(values))]
		value, _ := score.ParseTime("1/" + strings.Trim(v, "'("))
		if common.Length().Less(at.Add(value)) {
			at = score.Time{}
		}
		at = at.Add(value)
		b.WriteString(score.PitchFromMIDI(40+r.IntN(31)).String() + "/" + v + " ")
	}
	return b.String()
}

// TestBruteForceAgrees is the certificate: on seeded short parts no sequence of
// ways is cheaper than the solver's, its cost adds up again, and the extra cost of
// every other way is what the best sequence through it costs.
func TestBruteForceAgrees(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for _, instrument := range []string{"tenor", "tenor-f", "bass"} {
		for range 60 {
			p := solve(t, instrument, common, 60+r.Float64()*120, randomText(r, 2+r.IntN(3)))
			certify(t, p)
		}
	}
}

func certify(t *testing.T, p *Path) {
	t.Helper()
	pf := p.Performance
	layers := make([][]brass.Way, len(p.Steps))
	best := make([]map[brass.Way]float64, len(p.Steps))
	for i := range layers {
		layers[i] = p.Instrument.Ways(pf.Written(i).Pitch)
		best[i] = map[brass.Way]float64{}
	}
	least := math.Inf(1)
	seq := make([]brass.Way, len(layers))
	var walk func(i int, cost float64)
	walk = func(i int, cost float64) {
		if i == len(layers) {
			least = min(least, cost)
			for k, w := range seq {
				if c, ok := best[k][w]; !ok || cost < c {
					best[k][w] = cost
				}
			}
			return
		}
		for k, w := range layers[i] {
			seq[i] = w
			c := cost + nodeCost(pf, i, w, k == 0)
			if i > 0 {
				c += edgeCost(pf, i, seq[i-1], w)
			}
			walk(i+1, c)
		}
	}
	walk(0, 0)
	if math.Abs(least-p.Cost) > 1e-9 {
		t.Errorf("%s: solver %.6f, brute force %.6f", labels(p), p.Cost, least)
	}
	for i, s := range p.Steps {
		if c := best[i][*s.Way]; math.Abs(c-p.Cost) > 1e-9 {
			t.Errorf("note %d: chosen way costs %.6f at best, path %.6f", i, c, p.Cost)
		}
		for _, o := range s.Others {
			if want := best[i][o.Way] - least; math.Abs(want-o.ExtraCost) > 1e-9 {
				t.Errorf("note %d, %s: extra %.6f, want %.6f", i, o.Way.Label, o.ExtraCost, want)
			}
		}
	}
}

func TestMinimumJerkPeak(t *testing.T) {
	// The polynomial 10s^3-15s^4+6s^5 has its greatest slope 15/8 at s = 1/2.
	top := 0.0
	for i := range 1000 {
		s := float64(i) / 1000
		top = max(top, 30*s*s-60*s*s*s+30*s*s*s*s)
	}
	if math.Abs(top-peakOverMean) > 1e-5 {
		t.Errorf("peak over mean is %.6f, constant says %.6f", top, peakOverMean)
	}
}

func BenchmarkSolve(b *testing.B) {
	r := rand.New(rand.NewPCG(3, 4))
	part := scoretest.Part(b, common, 120, randomText(r, 10_000))
	pf, err := part.ReadThrough(score.Tempo{})
	if err != nil {
		b.Fatal(err)
	}
	in, err := brass.Named("bass")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		Solve(pf, in)
	}
	b.ReportMetric(float64(len(pf.Notes)), "notes")
}
