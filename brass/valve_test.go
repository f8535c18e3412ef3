package brass

import (
	"math"
	"testing"
)

// sharp is how far each state of the valves sounds above its whole semitones, in
// cents, by fingering.
func sharp(in *Instrument) map[string]float64 {
	out := map[string]float64{}
	for _, s := range in.Sides {
		out[s.Prefix] = s.SharpCents()
	}
	return out
}

// tuned are first, second and third valve tuned by so many cents.
func tuned(first, second, third float64) []Valve {
	vs := valves(third)
	vs[0].Cents, vs[1].Cents = first, second
	return vs
}

// ratio is the tuning of a valve that adds such a share of the open tube.
func ratio(v Valve, share float64) float64 {
	return 100 * (float64(v.Semitones) - 12*math.Log2(1+share))
}

// TestCombinationsOfValves compares the errors of combinations with tables.
func TestCombinationsOfValves(t *testing.T) {
	plain := valves(0)
	for _, c := range []struct {
		source      string
		valves      []Valve
		compensator string
		want        map[string]float64
		tolerance   float64
	}{
		{"calculated, each valve tuned alone", valves(0), "",
			map[string]float64{"0": 0, "1": 0, "2": 0, "3": 0, "12": 10.6, "23": 15.5, "13": 30.3, "123": 53.6}, 0.05},
		{"calculated, third valve lengthened so that 2+3 is exact", valves(longThird), "",
			map[string]float64{"3": -16, "12": 10.6, "23": 0, "13": 15.5, "123": 39.4}, 0.5},
		{"published: the3rdhalf.com, tuning tendencies, partial 2 of a trumpet; its third valve, not given, is the one that makes 2+3 fit",
			tuned(-1.7, -0.9, -15.6), "",
			map[string]float64{"1": -1.7, "2": -0.9, "12": 8.2, "23": -0.1, "13": 14.7, "123": 37.9}, 0.5},
		{"published: J. Monzo, xen.wiki, Trumpet, tubes of 1/8, 1/15 and 1/5: 304, 409, 487 and 572 cents",
			tuned(ratio(plain[0], 1./8), ratio(plain[1], 1./15), ratio(plain[2], 1./5)), "",
			map[string]float64{"1": -4, "2": -12, "3": -16, "12": -4, "23": -9, "13": 13, "123": 28}, 0.5},
		{"calculated, four valves without compensation, each tuned alone", append(valves(0), fourth), "",
			map[string]float64{"24": 24.5, "14": 48, "124": 79, "34": 71, "234": 104, "134": 137, "1234": 175}, 0.5},
		{"calculated, four valves compensating", append(valves(0), fourth), "4",
			map[string]float64{"24": 0, "14": 0, "34": 0, "124": 10.6, "234": 15.5, "134": 30.3, "1234": 53.6, "12": 10.6}, 0.05},
		// One set of loops behind the third valve makes its combinations exact; the
		// same arithmetic as behind the fourth.
		{"calculated, three valves compensating", valves(0), "3",
			map[string]float64{"12": 10.6, "23": 0, "13": 0, "123": 10.6}, 0.05},
	} {
		got := sharp(newValveBrass("test", "test", "Bb1", TenorTuba, c.compensator, c.valves...))
		for keys, want := range c.want {
			if math.Abs(got[keys]-want) > c.tolerance {
				t.Errorf("%s: %s is %+.2f cents, want %+.1f", c.source, keys, got[keys], want)
			}
		}
	}
}

func TestTubesOfATrumpet(t *testing.T) {
	// Published: T. R. Moore, Acoustics Today, Winter 2016, p. 38, on a trumpet of
	// 140 cm: the second valve adds 8.3 cm, the first 17.2 (a whole step of 12.25
	// percent), 1+2 adds 25.5 where 26.5 are needed.
	const tube = 140.0
	in := named(t, "trumpet-bb")
	want := map[string]float64{"2": 8.3, "1": 17.2, "12": 25.5}
	for _, s := range in.Sides {
		if w, ok := want[s.Prefix]; ok && math.Abs(tube*(s.Factor-1)-w) > 0.06 {
			t.Errorf("%s adds %.2f cm, want %.1f", s.Prefix, tube*(s.Factor-1), w)
		}
	}
	if got := tube * (math.Exp2(3./12) - 1); math.Abs(got-26.5) > 0.06 {
		t.Errorf("three semitones need %.2f cm", got)
	}
}

func TestBothHalvesOfAHornAgree(t *testing.T) {
	// A full double horn has tubes in proportion, so that each fingering is as sharp
	// with the thumb as without (calculated).
	in := named(t, "horn-f-bb")
	cents := sharp(in)
	for _, keys := range []string{"1", "2", "3", "12", "23", "13", "123"} {
		if math.Abs(cents[keys]-cents["T"+keys]) > 1e-9 {
			t.Errorf("%s is %+.2f cents, with the thumb %+.2f", keys, cents[keys], cents["T"+keys])
		}
	}
}

func TestSlidesThatArePulled(t *testing.T) {
	in := named(t, "trumpet-bb")
	low := in.Ways(pitch(t, "E3"))[0] // written F sharp, 1+2+3, 39 cents sharp
	// Calculated: a tube of 142.0 cm, 1.3822 times with 1+2+3, is 4.52 cm short.
	if math.Abs(low.LeanCM-2.26) > 0.01 || math.Abs(low.OffCents) > 1e-6 {
		t.Errorf("%+v: want the slides drawn 2.26 cm and nothing left", low)
	}
	still := named(t, "euphonium-3").Ways(pitch(t, "E2"))[0]
	if still.LeanCM != 0 || math.Abs(still.OffCents-39.4) > 0.05 {
		t.Errorf("%+v: no slide moves on this instrument", still)
	}
	c := named(t, "tuba-bb").Ways(pitch(t, "C1"))[0]
	if c.LeanCM != tubaFirstCM || c.OffCents < 5 || c.OffCents > 20 {
		t.Errorf("%+v: want the first slide all the way out and the note still sharp", c)
	}
}
