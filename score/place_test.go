package score

import (
	"slices"
	"testing"
)

// threeBars are three bars of a whole note, the second without a number.
func threeBars() []Bar {
	return []Bar{
		{Number: "1", Length: Frac(1, 1)},
		{Start: Frac(1, 1), Length: Frac(1, 1)},
		{Number: "3", Start: Frac(2, 1), Length: Frac(1, 1)},
	}
}

func TestBarsOfMoments(t *testing.T) {
	p := &Part{Bars: threeBars()}
	for _, c := range []struct {
		at         Time
		in, before int
	}{
		{Time{}, 0, 0}, {Frac(1, 2), 0, 0}, {Frac(1, 1), 1, 0}, {Frac(5, 2), 2, 2}, {Frac(3, 1), 2, 2}, {Frac(9, 1), 2, 2},
	} {
		if p.BarAt(c.at) != c.in || p.BarBefore(c.at) != c.before {
			t.Errorf("%s lies in bar %d and a span to it ends in %d; want %d and %d", c.at, p.BarAt(c.at), p.BarBefore(c.at), c.in, c.before)
		}
	}
	if (&Part{}).BarAt(Frac(1, 2)) != 0 {
		t.Error("a part without bars wants 0")
	}
}

func TestPlaceMarks(t *testing.T) {
	p := &Part{Bars: threeBars()}
	p.Dynamics = []DynamicMark{{At: Frac(2, 1), Mark: "f"}, {At: Frac(1, 2), Mark: "p"}}
	p.Wedges = []Wedge{{From: Frac(1, 2), To: Frac(2, 1)}}
	p.Keys = []KeyMark{{At: Frac(1, 1)}}
	p.PlaceMarks()
	if p.Dynamics[0].Mark != "p" || p.Dynamics[0].Bar != 0 || p.Dynamics[1].Bar != 2 {
		t.Errorf("%+v", p.Dynamics)
	}
	if p.Wedges[0].FromBar != 0 || p.Wedges[0].ToBar != 1 || p.Keys[0].Bar != 1 {
		t.Errorf("%+v %+v", p.Wedges, p.Keys)
	}
}

func TestPassedOverJoinsNeighbors(t *testing.T) {
	var log PassedOver
	for _, bar := range []int{2, 0, 1, 1} {
		log.Add(bar, 10+bar, "a second voice was left out")
	}
	log.AddOnce(1, 20, "lyrics were left out")
	log.AddOnce(2, 30, "lyrics were left out")
	log.Add(-1, 3, "a credit was left out")
	want := []string{
		"line 3: a credit was left out",
		"bars 1 to 3 (line 10): a second voice was left out",
		"bar at place 2 (line 20): lyrics were left out, in 2 bars in all",
	}
	if got := log.Sentences(threeBars()); !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}
