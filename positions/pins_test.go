package positions

import (
	"strings"
	"testing"
)

func valve(name string) *string { return &name }

func TestPinsAreHeld(t *testing.T) {
	const text = "F3/8 C3/8 F2/8 C3/8 D4/8 B3/8 E3/8 B2/8"
	for _, c := range []struct {
		name string
		pins []Pin
		want string
	}{
		{"free", nil, "T1 T1 T1 T1 1 4 2 T2"},
		{"F on the open horn", []Pin{{Note: 0, Position: 1, Valve: valve("")}}, "1 T1 T1 T1 1 4 2 T2"},
		{"no trigger here", []Pin{{Note: 0, To: 3, Valve: valve("")}}, "6 6 6 6 4 4 2 T2"},
		{"D as sixth partial", []Pin{{Note: 4, Partial: 6}}, "T1 T1 T1 T1 4 4 2 T2"},
		{"low B in seventh, E goes there with it", []Pin{{Note: 7, Valve: valve("F"), Forbid: true}}, "T1 T1 T1 T1 1 4 7 7"},
		{"but no seventh for E", []Pin{{Note: 7, Valve: valve("F"), Forbid: true}, {Note: 4, To: 6, Position: 7, Forbid: true}}, "T1 T1 T1 T1 1 4 2 7"},
	} {
		p, err := SolveWith(perform(t, common, 132, text), horn(t, "tenor-f"), Options{Pins: c.pins})
		if err != nil {
			t.Fatal(err)
		}
		if got := labels(p); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
		certifyTerms(t, p)
		certifyLimits(t, p)
	}
}

func TestImpossiblePinsSayWhatWouldWork(t *testing.T) {
	for _, c := range []struct {
		name string
		pins []Pin
		want string
	}{
		{"no such way", []Pin{{Note: 1, Position: 1, Valve: valve("")}},
			"C3 in bar 1 cannot be played with position 1, the open horn: there is T1 (partial 3), 6 (partial 3)"},
		{"nothing left", []Pin{{Note: 1, Position: 6, Forbid: true}, {Note: 1, Valve: valve("F"), Forbid: true}},
			"C3 in bar 1 cannot be played without valve F: there is"},
		{"what is left", []Pin{{Note: 1, Position: 6}, {Note: 1, Position: 1}}, "what else is fixed leaves only 6 (partial 3)"},
		{"no such note", []Pin{{Note: 2, Position: 1}}, "the part has notes 0 to 1"},
		{"nothing named", []Pin{{Note: 0}}, "F3 in bar 1 names neither position, valve nor partial; name one, such as position 1"},
	} {
		_, err := SolveWith(perform(t, common, 132, "F3/8 C3/8"), horn(t, "tenor-f"), Options{Pins: c.pins})
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
}

func TestPinOnANoteOutOfReachIsPassedOver(t *testing.T) {
	p, err := SolveWith(perform(t, common, 60, "F3/4 C2/4"), horn(t, "tenor"), Options{Pins: []Pin{{Note: 0, To: 1, Position: 1}}})
	if err != nil || labels(p) != "1 none" {
		t.Errorf("%v, %v", p, err)
	}
}

func TestCountOfPaths(t *testing.T) {
	pf, in := perform(t, common, 60, "Bb2/4"), horn(t, "tenor")
	for _, k := range []int{0, mostPaths + 1} {
		if _, err := SolveK(pf, in, Options{}, k); err == nil {
			t.Errorf("%d paths: no error", k)
		}
	}
	// B flat 2 has one way on a straight horn.
	ps, err := SolveK(pf, in, Options{}, 5)
	if err != nil || len(ps) != 1 {
		t.Errorf("%d paths, %v; want 1", len(ps), err)
	}
	ps, err = SolveK(perform(t, common, 60, "r/1"), in, Options{}, 5)
	if err != nil || len(ps) != 1 || ps[0].Cost != 0 || len(ps[0].Steps) != 0 {
		t.Errorf("a part of rests: %v, %v", ps, err)
	}
}

func TestLongerArmStretchesLess(t *testing.T) {
	pf, in := perform(t, common, 60, "B2/2 E2/2"), horn(t, "tenor")
	long, err := SolveWith(pf, in, Options{ReachCM: in.SlideMaxCM})
	if err != nil {
		t.Fatal(err)
	}
	// Seventh is 58.8 cm: two notes 13.8 cm beyond the reach of 45.
	if s := SumSavings(Compare(Solve(pf, in), long)); s.Work < 2*13.5*stretchCostPerCM || s.Work > 2*14.1*stretchCostPerCM || s.TravelCM != 0 {
		t.Errorf("%+v", s)
	}
}
