package reading

import "waterkey/score"

// Syncopation is measured after Longuet-Higgins and Lee, "The Rhythmic
// Interpretation of Monophonic Music", Music Perception 1(4), 1984: a meter is a
// tree of divisions, and each moment has the weight of the highest unit that
// begins there, 0 for the bar, -1 for its first division and so on. If no note
// begins until after a rest or held moment whose weight is at least that of the
// note, there is a syncopation; its strength is the difference of the two
// weights. The rule was read in a published implementation of it (Honing 2002,
// with the paper's worked values), not in the paper itself.
//
// Two additions are ours: a bar of uneven groups divides into its groups first,
// and a moment inside a tuplet has the weight one below the unit that the
// tuplet divides.

// pulses is the tree of a meter: the units of its divisions below the bar, long
// to short. With groups, the first division is uneven and starts at these
// moments.
type pulses struct {
	units  []score.Time
	groups []score.Time
}

// finest is the shortest unit of the tree, in whole notes: no note of a
// brass part begins between these (estimate).
var finest = score.Frac(1, 128)

// pulsesOf is the tree of a meter; groups are those of an uneven one, or nil.
func pulsesOf(m score.Meter, groups []int) pulses {
	part := score.Frac(1, int64(m.Unit))
	unit := m.Length()
	var t pulses
	if groups != nil {
		var at score.Time
		for _, g := range groups {
			t.groups = append(t.groups, at)
			at = at.Add(part.Scale(int64(g), 1))
		}
		unit = part
		t.units = append(t.units, unit)
	}
	for part.Less(unit) {
		unit = unit.Scale(1, division(unit, part))
		t.units = append(t.units, unit)
	}
	for finest.Less(unit) {
		unit = unit.Scale(1, 2)
		t.units = append(t.units, unit)
	}
	return t
}

// division is into how many a unit of n parts divides: by two as long as what
// remains is even or a compound beat, else by three, else all at once.
func division(unit, part score.Time) int64 {
	n := floor(unit, part)
	switch {
	case n%2 == 0:
		return 2
	case n%3 == 0:
		return 3
	}
	return n
}

// depth is how many divisions lie between the bar and the unit at an index.
func (t pulses) depth(k int) int {
	if t.groups != nil {
		return k + 2
	}
	return k + 1
}

// weight is that of a moment of the bar, 0 at its start and less below.
func (t pulses) weight(at score.Time) int {
	if at.Sign() == 0 {
		return 0
	}
	for _, g := range t.groups {
		if g == at {
			return -1
		}
	}
	for k, u := range t.units {
		if onGrid(at, u) {
			return -t.depth(k)
		}
	}
	for k, u := range t.units {
		for _, odd := range []int64{3, 5, 7} {
			if onGrid(at, u.Scale(1, odd)) {
				return -t.depth(k) - 1
			}
		}
	}
	return -t.depth(len(t.units))
}

// heaviest is the greatest weight strictly between two moments of the bar; ok is
// false when no moment of the tree lies there.
func (t pulses) heaviest(from, to score.Time) (weight int, ok bool) {
	for _, g := range t.groups {
		if from.Less(g) && g.Less(to) {
			return -1, true
		}
	}
	for k, u := range t.units {
		if u.Scale(floor(from, u)+1, 1).Less(to) {
			return -t.depth(k), true
		}
	}
	return 0, false
}

// syncopates is the strength of a note that begins in the bar at a moment, when
// the next note begins at another, counted on past the bar line if need be; ok
// is false for no syncopation.
func (t pulses) syncopates(at, next, bar score.Time) (strength int, ok bool) {
	note := t.weight(at)
	rest, found := 0, true
	if !bar.Less(next) {
		rest, found = t.heaviest(at, next)
	}
	if !found || rest < note {
		return 0, false
	}
	return rest - note, true
}
