package score

import "testing"

// TestMeterFelt: the beat of simple, cut, compound and additive meters (common
// practice).
func TestMeterFelt(t *testing.T) {
	for _, c := range []struct {
		meter         Meter
		text, felt    string
		length        Time
		cut, compound bool
	}{
		{Meter{Beats: 4, Unit: 4}, "4/4", "quarter", Frac(1, 1), false, false},
		{Meter{Beats: 4, Unit: 4, Symbol: "common"}, "4/4", "quarter", Frac(1, 1), false, false},
		{Meter{Beats: 2, Unit: 2, Symbol: "cut"}, "cut time", "half", Frac(1, 1), true, false},
		{Meter{Beats: 4, Unit: 4, Symbol: "cut"}, "cut time", "half", Frac(1, 1), true, false},
		{Meter{Beats: 2, Unit: 2}, "2/2", "half", Frac(1, 1), true, false},
		{Meter{Beats: 3, Unit: 4}, "3/4", "quarter", Frac(3, 4), false, false},
		{Meter{Beats: 3, Unit: 8}, "3/8", "eighth", Frac(3, 8), false, false},
		{Meter{Beats: 6, Unit: 8}, "6/8", "dotted quarter", Frac(3, 4), false, true},
		{Meter{Beats: 9, Unit: 8}, "9/8", "dotted quarter", Frac(9, 8), false, true},
		{Meter{Beats: 12, Unit: 8}, "12/8", "dotted quarter", Frac(3, 2), false, true},
		{Meter{Beats: 6, Unit: 4}, "6/4", "dotted half", Frac(3, 2), false, true},
		{Meter{Beats: 5, Unit: 8, Groups: []int{3, 2}}, "3+2/8", "eighth", Frac(5, 8), false, false},
		{Meter{}, "free time", "quarter", Time{}, false, false},
	} {
		if m := c.meter; m.String() != c.text || ValueName(m.Felt()) != c.felt || m.Length() != c.length ||
			m.Cut() != c.cut || m.Compound() != c.compound {
			t.Errorf("%s: %v, felt %s, length %v, cut %v, compound %v; want felt %s, length %v",
				c.text, m, ValueName(m.Felt()), m.Length(), m.Cut(), m.Compound(), c.felt, c.length)
		}
	}
}

func TestValueName(t *testing.T) {
	for want, value := range map[string]Time{"double whole": Frac(2, 1), "whole": Frac(1, 1), "dotted half": Frac(3, 4),
		"double-dotted half": Frac(7, 8), "dotted quarter": Frac(3, 8), "eighth": Frac(1, 8), "sixteenth": Frac(1, 16),
		"sixty-fourth": Frac(1, 64)} {
		if got := ValueName(value); got != want {
			t.Errorf("%v is called %q, want %q", value, got, want)
		}
		if got, ok := ParseValueName(want); !ok || got != value {
			t.Errorf("ParseValueName(%q) = %v, %v", want, got, ok)
		}
	}
	if got := ValueName(Frac(5, 8)); got != "5/8 of a whole note" {
		t.Errorf("5/8 is called %q", got)
	}
	if got, ok := ParseValueName("crotchety"); ok {
		t.Errorf("ParseValueName of nonsense = %v", got)
	}
}

// TestPartFelt: a printed metronome mark overrides the meter, in its own meter
// only.
func TestPartFelt(t *testing.T) {
	common, cut, six := Meter{Beats: 4, Unit: 4}, Meter{Beats: 2, Unit: 2}, Meter{Beats: 6, Unit: 8}
	p := &Part{
		Bars: []Bar{{Meter: common}, {Meter: six}, {Meter: cut}, {Meter: cut}, {Meter: common}, {}},
		Tempos: []TempoMark{{Bar: 0, BPM: 60, Unit: Frac(1, 2)}, {Bar: 1, Text: "Allegro"},
			{Bar: 3, BPM: 180, Unit: Frac(1, 4)}, {Bar: 4, BPM: 50, Unit: Frac(3, 8)}},
	}
	for i, want := range []struct {
		unit  string
		beats int
	}{{"half", 2}, {"dotted quarter", 2}, {"half", 2}, {"quarter", 4}, {"half", 2}, {"quarter", 0}} {
		unit, beats := p.Felt(i)
		if ValueName(unit) != want.unit || beats != want.beats {
			t.Errorf("bar %d is felt in %d %ss, want %d %ss", i+1, beats, ValueName(unit), want.beats, want.unit)
		}
	}
}
