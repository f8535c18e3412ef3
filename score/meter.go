package score

import "fmt"

// Meter is a time signature. The zero Meter is free time: no signature.
type Meter struct {
	Beats  int    // the upper number, groups summed
	Unit   int    // the lower number
	Groups []int  // additive upper numbers, 3+2; nil for a plain signature
	Symbol string // "cut", "common" or ""
}

// Length is one full bar; 0 for free time.
func (m Meter) Length() Time {
	if m.Unit == 0 {
		return Time{}
	}
	return Frac(int64(m.Beats), int64(m.Unit))
}

// Cut says whether the meter is alla breve: the cut sign or 2/2.
func (m Meter) Cut() bool { return m.Symbol == "cut" || m.Beats == 2 && m.Unit == 2 }

// Compound says whether the beats group in threes: 6/8, 9/8, 12/8, 6/4.
func (m Meter) Compound() bool { return m.Groups == nil && m.Beats > 3 && m.Beats%3 == 0 }

// Felt is the note value of the beat a player feels: the half note in cut
// time, three units in compound time, otherwise the unit (common practice). A
// metronome mark may say otherwise; see [Part.Felt].
func (m Meter) Felt() Time {
	switch {
	case m.Unit == 0:
		return Frac(1, 4)
	case m.Cut():
		return Frac(1, 2)
	case m.Compound():
		return Frac(3, int64(m.Unit))
	}
	return Frac(1, int64(m.Unit))
}

// String is "cut time", "6/8", "3+2/8" or "free time".
func (m Meter) String() string {
	switch {
	case m.Unit == 0:
		return "free time"
	case m.Symbol == "cut":
		return "cut time"
	case m.Groups != nil:
		s := ""
		for i, g := range m.Groups {
			if i > 0 {
				s += "+"
			}
			s += fmt.Sprint(g)
		}
		return fmt.Sprintf("%s/%d", s, m.Unit)
	}
	return fmt.Sprintf("%d/%d", m.Beats, m.Unit)
}

var valueNames = map[Time]string{
	Frac(2, 1): "double whole", Frac(1, 1): "whole", Frac(1, 2): "half", Frac(1, 4): "quarter",
	Frac(1, 8): "eighth", Frac(1, 16): "sixteenth", Frac(1, 32): "thirty-second", Frac(1, 64): "sixty-fourth",
}

// ValueName names a note value in American terms: "half", "dotted quarter". A
// value that is no single note is written as a fraction of a whole note.
func ValueName(t Time) string {
	if s, ok := valueNames[t]; ok {
		return s
	}
	if s, ok := valueNames[t.Scale(2, 3)]; ok {
		return "dotted " + s
	}
	if s, ok := valueNames[t.Scale(4, 7)]; ok {
		return "double-dotted " + s
	}
	return t.String() + " of a whole note"
}

// ParseValueName reads what ValueName writes for single notes.
func ParseValueName(s string) (Time, bool) {
	for t := range valueNames {
		for _, v := range []Time{t, t.Scale(3, 2), t.Scale(7, 4)} {
			if ValueName(v) == s {
				return v, true
			}
		}
	}
	return Time{}, false
}
