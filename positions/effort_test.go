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

func TestEffortsAddUp(t *testing.T) {
	p := solve(t, "bass", common, 120, randomText(rand.New(rand.NewPCG(5, 6)), 300))
	travel, cost, peak := 0.0, 0.0, 0.0
	for _, e := range p.Efforts() {
		travel, cost, peak = travel+e.TravelCM, cost+e.Cost, max(peak, e.PeakSpeed)
	}
	if math.Abs(travel-p.TravelCM()) > 1e-6 || math.Abs(cost-p.Cost) > 1e-6 || peak != p.PeakSpeed() {
		t.Errorf("bars: %.3f cm, cost %.3f, peak %.3f; path: %.3f, %.3f, %.3f", travel, cost, peak, p.TravelCM(), p.Cost, p.PeakSpeed())
	}
}

func TestAttachmentSavesTheWayToSixth(t *testing.T) {
	// Reference: sixth is 47.6 cm out (table in package brass), and the valve
	// replaces it (Wikibooks, "Trombone/Slide Positions"): Bb2 to C3 and back.
	pf := perform(t, common, 60, "Bb2/2 C3/2 Bb2/1 r/1 E2/1 C2/1")
	s := Saving(pf, horn(t, "tenor"), horn(t, "tenor-f"))
	if got := s[0].TravelCM + s[1].TravelCM; math.Abs(got-2*47.6) > 1 {
		t.Errorf("saves %.1f cm, want about %.1f", got, 2*47.6)
	}
	if s[0].Work <= 0 || s[4].Gained != 1 || s[4].Lost != 0 {
		t.Errorf("%+v", s)
	}
	if back := SumSavings(Saving(pf, horn(t, "tenor-f"), horn(t, "tenor"))); back.Lost != 1 || back.TravelCM >= 0 {
		t.Errorf("the other way: %+v", back)
	}
}

// hardestAt is the bottleneck of a part at a tempo.
func hardestAt(t *testing.T, part *score.Part, in *brass.Instrument, bpm float64) float64 {
	t.Helper()
	pf, err := part.ReadThrough(score.Tempo{BPM: bpm})
	if err != nil {
		t.Fatal(err)
	}
	return bottleneck(newGraph(pf, in, Options{}, 0, len(pf.Notes)))
}

// bottleneck is the least effort of the hardest move over all sequences of ways.
func bottleneck(g *graph) float64 {
	least := math.Inf(1)
	for _, q := range everySequence(g) {
		top := 0.0
		for i := 1; i < len(g.layers); i++ {
			a, b := &g.layers[i-1][q.nodes[i-1]], &g.layers[i][q.nodes[i]]
			if a.way != nil && b.way != nil {
				ap := newApproach(g.pf, i)
				top = max(top, ap.speed(a, b)/comfortableSpeed)
			}
		}
		least = min(least, top)
	}
	return least
}

// TestComfortTempo is a certificate: the path keeps below the effort, and at the
// next tempo no sequence of ways does.
func TestComfortTempo(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	for range 100 {
		part := scoretest.Part(t, common, 80, randomText(r, 4))
		effort := 0.3 + r.Float64()
		in := horn(t, []string{"tenor", "tenor-f"}[r.IntN(2)])
		c, err := ComfortTempo(part, 0, len(part.Bars)-1, in, effort, Options{})
		if err != nil { // a slur has no more time at any tempo
			if b := hardestAt(t, part, in, slowestBPM); b <= effort {
				t.Errorf("%v, but %.3f is enough", err, b)
			}
			continue
		}
		for i, s := range c.Path.Steps {
			if s.Move.Effort() > effort || c.Hardest >= 0 && s.Move.Effort() > c.Path.Steps[c.Hardest].Move.Effort() {
				t.Errorf("note %d: effort %.3f of %.3f", i, s.Move.Effort(), effort)
			}
		}
		if c.TooFast == 0 {
			continue
		}
		if c.TooFast <= c.BPM || c.TooFast-c.BPM > tempoStep {
			t.Errorf("%.3f and %.3f do not enclose the tempo closely", c.BPM, c.TooFast)
		}
		if b := hardestAt(t, part, in, c.TooFast); b <= effort {
			t.Errorf("at %.2f the hardest move needs only %.4f of %.4f", c.TooFast, b, effort)
		}
	}
}

func TestComfortTempoByHand(t *testing.T) {
	// B2 has seventh alone on a straight horn, Bb2 first alone: 58.8 cm
	// and 0.2 for 2 cents, in 0.15 of a quarter and 0.12 s. Effort 1 asks for
	// 59.0*1.875/300 = 0.3688 s, so 0.2488 s of silence, a quarter of 1.658 s:
	// 36.2 a minute.
	part := scoretest.Part(t, common, 80, "Bb2/1 Bb2/4 B2/4 Bb2/2")
	c, err := ComfortTempo(part, 1, 1, horn(t, "tenor"), 1, Options{})
	if err != nil || math.Abs(c.BPM-36.2) > 0.15 || c.Hardest != 2 {
		t.Errorf("%.2f, note %d, %v; want 36.2, note 2", c.BPM, c.Hardest, err)
	}
	if c.Path.Steps[0].Way != nil {
		t.Error("a note before the passage has a way")
	}
}

func TestComfortTempoRefuses(t *testing.T) {
	part := scoretest.Part(t, common, 80, "Bb2/4~ B2/4 Bb2/2")
	for _, c := range []struct {
		from, to int
		effort   float64
		want     string
	}{
		{0, 1, 1, "indexes go from 0 to 0"},
		{0, 0, 0, "1 is comfortable"},
		{0, 0, 0.001, "allow more, such as 1"},
	} {
		if _, err := ComfortTempo(part, c.from, c.to, horn(t, "tenor"), c.effort, Options{}); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("bars %d to %d, effort %g: %v, want %q", c.from, c.to, c.effort, err, c.want)
		}
	}
}

// A glissando needs one partial and one valve state (Wikipedia, "Trombone"): G3 to
// B3 is out of reach of the open slide between them, and C4 with the valve in
// first joins G3 with the valve in sixth.
func TestComparisonCountsGlissandi(t *testing.T) {
	pf := perform(t, common, 60, "G3/2~ C4/2")
	s := Saving(pf, horn(t, "tenor"), horn(t, "tenor-f"))[0]
	if s.Gliss != 1 || math.Abs(s.Work) > brokenGlissCost/10 {
		t.Errorf("%+v, want one glissando more and its price left out", s)
	}
	if back := Saving(pf, horn(t, "tenor-f"), horn(t, "tenor"))[0]; back.Gliss != -1 {
		t.Errorf("the other way: %+v", back)
	}
}

// Of a passage that lies still, the move to the note after it sets the tempo.
func TestComfortCountsTheMoveOut(t *testing.T) {
	part := scoretest.Part(t, common, 60, "Bb2/4 Bb2/4 Bb2/4 Bb2/4 E2/1")
	c, err := ComfortTempo(part, 0, 0, horn(t, "tenor"), 1, Options{})
	if err != nil || c.Hardest != 4 {
		t.Errorf("%+v, %v; want the move to the fifth note", c.Hardest, err)
	}
}

// Pins hold in a passage too, and those outside it are left alone.
func TestComfortKeepsPins(t *testing.T) {
	part := scoretest.Part(t, common, 60, "F3/1 F3/4 Bb2/4 F3/4 Bb2/4 F3/1")
	pins := []Pin{{Note: 0, Position: 1}, {Note: 1, Position: 6}, {Note: 3, Position: 6}, {Note: 5, Position: 1}}
	free, err := ComfortTempo(part, 1, 1, horn(t, "tenor"), 1, Options{})
	if err != nil {
		t.Fatal(err)
	}
	held, err := ComfortTempo(part, 1, 1, horn(t, "tenor"), 1, Options{Pins: pins})
	if err != nil {
		t.Fatal(err)
	}
	if held.BPM >= free.BPM || held.Path.Steps[1].Way.Position != 6 {
		t.Errorf("free up to %.1f, held up to %.1f", free.BPM, held.BPM)
	}
}

// What is an alternate on one horn and the usual way on the other is the same work:
// C3 in sixth, where a glissando to F3 needs it on either.
func TestComparisonCountsWorkAlone(t *testing.T) {
	pf := perform(t, common, 60, "C3/2~ F3/2")
	if s := Saving(pf, horn(t, "tenor"), horn(t, "tenor-f"))[0]; math.Abs(s.Work) > tiny || s.TravelCM != 0 {
		t.Errorf("%+v, want no difference", s)
	}
}
