package hear

import (
	"math"
	"slices"
	"testing"

	"waterkey/finding"
	"waterkey/hear/align"
	"waterkey/hear/pitch"
)

// Reference, closed form: partials of amplitude 1/k up to K have the centroid
// K·f over the K-th harmonic number.
func TestTheCentroidOfKnownPartials(t *testing.T) {
	s := newSpectrum()
	for _, hz := range []float64{58.27, 116.54, 233.08, 466.16} {
		const partials = 8
		x, sum := make([]float64, window), 0.0
		for k := 1; k <= partials; k++ {
			sum += 1 / float64(k)
			for i := range x {
				x[i] += math.Sin(2*math.Pi*hz*float64(k)*float64(i)/pitch.Rate+float64(k)) / float64(k)
			}
		}
		want := partials * hz / sum
		if got := s.centroid(x, 0, hz); math.Abs(got/want-1) > 0.03 {
			t.Errorf("%.1f Hz: centroid %.1f Hz, want %.1f", hz, got, want)
		}
	}
}

// Reference, closed form: a straight rise of T takes 0.7·T from a fifth to nine
// tenths.
func TestTheAttackOfAStraightRise(t *testing.T) {
	for _, rise := range []float64{0.03, 0.06, 0.12, 0.2} {
		const onset, hz = 0.5, 233.08
		x := make([]float64, 2*pitch.Rate)
		for i := range x {
			at := float64(i)/pitch.Rate - onset
			x[i] = 0.2 * max(0, min(at/rise, 1)) * math.Sin(2*math.Pi*hz*float64(i)/pitch.Rate)
		}
		l := &listener{x: x}
		got, unsure := l.attack(&Measures{Onset: onset, Offset: 1.8}, hz)
		// The window is no whole number of periods: its ripple of some percent
		// crosses a slow rise early.
		const ripple = 0.06
		if want := 700 * rise; math.Abs(got-want) > max(coverage*unsure, ripple*want) {
			t.Errorf("a rise of %.0f ms: %.1f ± %.1f ms, want %.1f", 1000*rise, got, unsure, want)
		}
	}
}

// Late against the local beat and against a steady one are two things: a take
// that bends its tempo evenly is on the local beat and off the steady one.
func TestLocalAndSteadyBeatAreToldApart(t *testing.T) {
	pf := etudePart(t)
	tones := faithful(pf, 1, 440, 0.5)
	end := tones[len(tones)-1].end
	for i := range tones {
		bend := func(s float64) float64 { return s + 0.3*math.Sin(math.Pi*s/end) }
		tones[i].start, tones[i].end = bend(tones[i].start), bend(tones[i].end)
	}
	take := listen(t, pf, sing(tones, testRate, -70))
	var local, steady []float64
	for _, n := range take.Notes {
		if n.State == Played && !pf.Written(n.index).Grace {
			local, steady = append(local, math.Abs(n.Late)), append(steady, math.Abs(n.LateSteady))
		}
	}
	if middle(local) > 10 || middle(steady) < 40 {
		t.Errorf("median distance %.1f ms from the local beat and %.1f from a steady one; want below 10 and above 40", middle(local), middle(steady))
	}
}

// The steady beat goes through most notes, whatever a few do.
func TestASteadyBeatIsNotBentByCrookedNotes(t *testing.T) {
	var p []align.Point
	for i := range 40 {
		at := 0.5 * float64(i)
		take := 3 + 1.1*at
		if i%7 == 0 {
			take += 0.2
		}
		p = append(p, align.Point{Page: at, Take: take})
	}
	if b := steadyBeat(p); math.Abs(b.slope-1.1) > 0.002 || math.Abs(b.at-3) > 0.01 {
		t.Errorf("%+v, want 3 s and 1.1", b)
	}
}

func TestAHairpinIsASlope(t *testing.T) {
	pf := etudePart(t)
	take := listen(t, pf, sing(faithful(pf, 1, 440, 0.5), testRate, -70))
	if len(take.Hairpins) != 1 {
		t.Fatalf("%d hairpins, want 1", len(take.Hairpins))
	}
	// p to f over eight quarters: three markings of 3.5 dB in two bars.
	h := take.Hairpins[0]
	if !h.Grow || math.Abs(h.Slope-3*3.5/2) > 1 || h.Change < 7 {
		t.Errorf("%+v, want about 5 dB a bar", h)
	}
}

func TestEveryTurnOfABarHasItsTempo(t *testing.T) {
	pf := etudePart(t)
	take := listen(t, pf, sing(faithful(pf, 1.1, 440, 0.5), testRate, -70))
	if len(take.Bars) != len(pf.Bars) {
		t.Fatalf("%d rows for %d bars", len(take.Bars), len(pf.Bars))
	}
	for i, b := range take.Bars {
		if b.BPM == nil {
			continue // bars of rest
		}
		if math.Abs(*b.BPM/96/1.1-1) > 0.02 || *b.Cents > 3 || *b.Late > 10 {
			t.Errorf("bar %s (%d): %.1f beats a minute, want %.1f", b.Bar, i, *b.BPM, 96*1.1)
		}
	}
}

func TestADeviationWithinItsUncertaintyIsNotSpokenOf(t *testing.T) {
	for _, c := range []struct {
		deviation, limit, unsure float64
		want                     bool
	}{{14, 10, 1, true}, {14, 10, 2.5, false}, {-14, 10, 1, true}, {9, 10, 0, false}} {
		if got := exceeds(c.deviation, c.limit, c.unsure); got != c.want {
			t.Errorf("%+v: %v", c, got)
		}
	}
}

// Serious faults come first in the order of the stages, light ones after them.
func TestWhatComesFirst(t *testing.T) {
	fs := []finding.Finding{
		{Stage: finding.Notes, Weight: 0.35}, {Stage: finding.Notes, Weight: 0.3},
		{Stage: finding.Rhythm, Weight: 0.9}, {Stage: finding.Dynamics, Weight: 0.6},
	}
	if got := first(fs); !slices.Equal(got, []int{2, 3, 0}) {
		t.Errorf("%v, want the rhythm, the dynamics, the notes", got)
	}
	if got := first(nil); got == nil || len(got) != 0 {
		t.Errorf("%v, want an empty list", got)
	}
}

// A note that scoops is told with its size; one that does not is not.
func TestScoopsAreHeard(t *testing.T) {
	pf := etudePart(t)
	tones := faithful(pf, 1, 440, 0.5)
	var out []tone
	for _, v := range tones {
		if w := pf.Written(v.note); !v.joined && !w.GlissTo && v.end-v.start > 0.28 {
			scoop := v
			scoop.note, scoop.end = -1, v.start+0.10
			scoop.hz = v.hz * math.Exp2(-80.0/1200)
			v.start, v.joined = scoop.end, true
			out = append(out, scoop)
		}
		out = append(out, v)
	}
	take := listen(t, pf, sing(out, testRate, -70))
	if got := kinds(take); !slices.Contains(got, "scoop") || slices.Contains(got, "split-note") {
		t.Errorf("findings %v, want scoop: %+v", got, take.Findings)
	}
}
