package positions

import (
	"math"
	"testing"

	"waterkey/brass"
	"waterkey/score"
)

// TestEveryTermIsMet holds each rule to a case that calls for it and one that
// does not.
func TestEveryTermIsMet(t *testing.T) {
	for _, c := range []struct {
		term, instrument string
		pins             []Pin
		text, without    string
	}{
		{"alternate", "tenor", []Pin{{Note: 0, Position: 6}}, "F3/4", "C3/4"},
		{"intonation", "tenor", []Pin{{Note: 0, Position: 1}}, "D4/4", "Bb3/4"},
		{"lean", "tenor", nil, "G4/4", "Bb3/4"},
		{"stretch", "tenor", nil, "B2/4", "Bb2/4"},
		{"partial", "tenor", nil, "G4/4", "F4/4"},
		{"speed", "tenor", nil, "Bb2/4 B2/4", "Bb2/4 Bb3/4"},
		{"distance", "tenor", nil, "Bb2/4 B2/4", "Bb2/4 Bb3/4"},
		{"turn", "tenor", nil, "Bb2/4 B2/4 Bb2/4", "Bb2/4 Ab2/4 G2/4"},
		{"valve", "tenor-f", []Pin{{Note: 1, Position: 1}}, "Bb2/4 C3/4", "Bb2/4 F3/4"},
		{"thumb and slide", "tenor-f", nil, "Bb2/4 C2/4", "Bb2/4 G2/4"},
		{"tone", "tenor", []Pin{{Note: 1, Partial: 4}}, "F3/2 F3/2", "F3/4 F3/4"},
		{"slur", "tenor", nil, "Bb2/4( A2/4", "Bb2/4( F3/4"},
		{"glissando", "tenor", nil, "Bb2/4~ F3/4", "A2/4~ Bb2/4"},
	} {
		pf, in := perform(t, common, 60, c.text), horn(t, c.instrument)
		with, err := SolveWith(pf, in, Options{Pins: c.pins})
		if err != nil {
			t.Fatal(err)
		}
		if !hasTerm(with, c.term) {
			t.Errorf("%s: not in %s", c.term, c.text)
		}
		if hasTerm(Solve(perform(t, common, 60, c.without), in), c.term) {
			t.Errorf("%s: in %s", c.term, c.without)
		}
	}
}

func hasTerm(p *Path, name string) bool {
	for i := range p.Steps {
		for _, term := range p.Terms(i) {
			if term.Name == name {
				return true
			}
		}
	}
	return false
}

func TestEveryRuleIsDocumented(t *testing.T) {
	seen := map[string]bool{}
	for i, r := range Rules() {
		if r.Name == "" || r.Says == "" || r.Amount == "" || r.Origin == "" || seen[r.Name] {
			t.Errorf("rule %d: %+v", i, r)
		}
		seen[r.Name] = true
	}
}

func TestFingerChanges(t *testing.T) {
	// Common practice (from memory): more fingers cost more, a finger down while
	// another comes up more than two together, and haste more than time.
	const seconds = 0.2
	cost := func(from, to string, seconds float64) float64 {
		moved, awkward := fingersOf(from).to(fingersOf(to), seconds)
		return moved + awkward
	}
	for _, c := range []struct{ name, easyFrom, easyTo, hardFrom, hardTo string }{
		{"one against none", "1+2", "1+2", "0", "1"},
		{"two against one", "0", "1", "0", "1+2"},
		{"across against together", "0", "1+2", "1", "2"},
		{"ring finger alone against with its neighbor", "0", "2+3", "0", "1+3"},
		{"the thumb counts", "1+2", "1+2", "1+2", "T1+2"},
	} {
		easy, hard := cost(c.easyFrom, c.easyTo, seconds), cost(c.hardFrom, c.hardTo, seconds)
		if easy >= hard {
			t.Errorf("%s: %s to %s costs %.3f, %s to %s %.3f", c.name, c.easyFrom, c.easyTo, easy, c.hardFrom, c.hardTo, hard)
		}
	}
	if cost("0", "1", 0.05) <= cost("0", "1", 0.5) {
		t.Error("haste costs nothing")
	}
}

func TestValveBrassHasNoSlideTerms(t *testing.T) {
	open := usualNode(brass.Way{Valve: "0", Partial: 4})
	low := usualNode(brass.Way{Valve: "1+3", Partial: 3, OffCents: 15})
	ap := approach{time: 0.1, slurred: true, rise: -5}
	for term, c := range ap.costs(&open, &low) {
		term += wayTerms
		if want := term == fingersTerm || term == awkwardTerm; (c > 0) != want {
			t.Errorf("%s costs %.3f", rules[term].Name, c)
		}
	}
	pf := perform(t, common, 60, "C3/4")
	if c := wayCosts(pf, 0, &low, AdultReachCM)[intonationTerm]; c != 15*offCostPerCent {
		t.Errorf("15 cents cost %.3f", c)
	}
}

// usualNode is a way that is the first choice.
func usualNode(w brass.Way) node { return newNode(&w, &w) }

func TestLegatoCostsMore(t *testing.T) {
	a, b := usualNode(brass.Way{Position: 1, Partial: 4}), usualNode(brass.Way{Position: 3, Partial: 5, ExtensionCM: 17})
	tongued, slurred := approach{time: 0.1, rise: 2}, approach{time: 0.1, rise: 2, slurred: true}
	if x, y := tongued.costs(&a, &b), slurred.costs(&a, &b); y[speedTerm-wayTerms] <= x[speedTerm-wayTerms] {
		t.Errorf("slurred %.3f, tongued %.3f", y[speedTerm-wayTerms], x[speedTerm-wayTerms])
	}
}

// The attachment is there to save the long way (Wikibooks, "Trombone/Slide
// Positions"): C3 with it in first is the usual way, C3 far out with it pays extra;
// F3 with it in first saves no way but takes none either.
func TestDetoursWithTheValveCostMore(t *testing.T) {
	in := horn(t, "tenor-f")
	way := func(pitch, label string) (chosen, usual *brass.Way) {
		p, err := score.ParsePitch(pitch)
		if err != nil {
			t.Fatal(err)
		}
		ways := in.Ways(p)
		for i := range ways {
			if ways[i].Label == label {
				return &ways[i], &ways[0]
			}
		}
		t.Fatalf("no %s in %s", pitch, label)
		return nil, nil
	}
	for _, c := range []struct {
		pitch, label string
		detour       bool
	}{{"C3", "T1", false}, {"C3", "T6", true}, {"C3", "6", false}, {"F3", "T1", false}, {"D3", "T4", true}} {
		n := newNode(way(c.pitch, c.label))
		plain := n
		plain.detour = false
		if got := partialCost(&n) > partialCost(&plain); got != c.detour {
			t.Errorf("%s in %s: a detour %v, want %v", c.pitch, c.label, got, c.detour)
		}
	}
}

// A slide that comes late anyway is not worth an alternate as far out as seventh:
// a sixteenth slurred into E3 goes to second (common practice, no source).
func TestHurryGrowsSteadily(t *testing.T) {
	if a, b := squared(3)-squared(2.5), squared(2.5)-squared(2); math.Abs(a-b) > tiny {
		t.Errorf("from 2 to 2.5 it grows by %.3f, from 2.5 to 3 by %.3f", b, a)
	}
	if squared(lateEffort-1e-9) > squared(lateEffort) || math.Abs(squared(lateEffort)-lateEffort*lateEffort) > tiny {
		t.Error("the two parts do not meet")
	}
	if got := labels(solve(t, "tenor-f", common, 120, "B3/4 G#3/8.( F#3/16( E3/2")); got != "4 3 5 2" {
		t.Errorf("%s, want 4 3 5 2", got)
	}
}
