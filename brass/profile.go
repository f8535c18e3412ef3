package brass

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Profile is one player's own instrument: where it differs from the usual one of
// its kind. A field left out keeps what is usual.
//
// As a file it is one JSON object:
//
//	{
//	  "instrument": "tenor-f",
//	  "name": "my old horn",
//	  "partial_cents": {
//	    "5": 8,
//	    "6": 12.5
//	  },
//	  "valve_cents": {
//	    "F": -5
//	  },
//	  "slide_max_cm": 60,
//	  "reach_cm": 52
//	}
//
// "instrument" is a name of [Names] and must be there. "name" is what the player
// calls it. "partial_cents" holds, by the number of the partial, how far it sounds
// from the harmonic series, positive sharp. "valve_cents" holds how a valve is
// tuned, positive sharp, negative with its slide drawn: on a slide horn each side by
// its name, against that side as built; on valve brass each valve by its name,
// against its semitones alone. "slide_max_cm" is how far the slide can be drawn and
// "reach_cm" how far out the arm goes in comfort, both from the closed slide; valve
// brass has neither.
type Profile struct {
	Instrument   string
	Name         string
	PartialCents map[int]float64
	ValveCents   map[string]float64
	SlideMaxCM   float64 // 0 for the usual length
	ReachCM      float64 // 0 for the usual arm; the instrument takes no notice of it
}

// Limits of a profile.
const (
	// maxPartialCents is half a semitone: a partial further off is another note.
	maxPartialCents = 50.0
	// maxValveCents is a semitone: a valve further off is another valve. The long
	// fifth valve of a tuba has 62.
	maxValveCents = 100.0
	// minSlideCM and maxSlideCM bound both slide and arm: a child's arm, and beyond
	// the longest slide (estimates).
	minSlideCM, maxSlideCM = 20.0, 80.0
	// maxNameLetters keeps a name on one line.
	maxNameLetters = 60
)

// fault is what is wrong with one field of a profile.
type fault struct {
	field string // as in the file; an entry of a map as "partial_cents/5"
	says  string
}

func (f *fault) Error() string { return f.field + ": " + f.says }

func faultf(field, format string, args ...any) *fault {
	return &fault{field, fmt.Sprintf(format, args...)}
}

// check finds the first fault, nil when there is none.
func (p Profile) check() *fault {
	in, err := Named(p.Instrument)
	if err != nil {
		return faultf("instrument", "%v", err)
	}
	if f := checkName(p.Name); f != nil {
		return f
	}
	for _, n := range slices.Sorted(maps.Keys(p.PartialCents)) {
		if f := checkPartial(n, p.PartialCents[n]); f != nil {
			return f
		}
	}
	for _, valve := range slices.Sorted(maps.Keys(p.ValveCents)) {
		if f := checkValve(in, valve, p.ValveCents[valve]); f != nil {
			return f
		}
	}
	if f := checkLength(in, "slide_max_cm", p.SlideMaxCM, math.Round(in.SlideMaxCM)); f != nil {
		return f
	}
	const adultCM = 45 // an example, an adult's arm (estimate)
	return checkLength(in, "reach_cm", p.ReachCM, adultCM)
}

func checkName(name string) *fault {
	bad := func(r rune) bool { return unicode.IsControl(r) || r == utf8.RuneError }
	switch {
	case !utf8.ValidString(name) || strings.ContainsFunc(name, bad):
		return faultf("name", "%q has signs that cannot be printed; write letters, such as \"my old horn\"", name)
	case utf8.RuneCountInString(name) > maxNameLetters:
		return faultf("name", "%d letters are too many; at most %d, such as \"my old horn\"", utf8.RuneCountInString(name), maxNameLetters)
	}
	return nil
}

func checkPartial(n int, cents float64) *fault {
	field := fmt.Sprintf("partial_cents/%d", n)
	if n < 1 || n > HighestPartial {
		return faultf(field, "there is no partial %d; partials run from 1 to %d, such as \"5\"", n, HighestPartial)
	}
	return checkCents(field, cents, maxPartialCents)
}

func checkCents(field string, cents, limit float64) *fault {
	if !(math.Abs(cents) <= limit) { // NaN is out as well
		return faultf(field, "%g cents lies outside %g to %g; a value that works is 5", cents, -limit, limit)
	}
	return nil
}

func checkValve(in *Instrument, valve string, cents float64) *fault {
	field := "valve_cents/" + valve
	names := in.tunable()
	switch {
	case len(names) == 0:
		return faultf(field, "a %s has no valves; leave valve_cents out", in.Title)
	case !slices.Contains(names, valve):
		return faultf(field, "a %s has no valve %q; it has %s", in.Title, valve, strings.Join(names, ", "))
	}
	return checkCents(field, cents, maxValveCents)
}

// checkLength checks a length from the closed slide; 0 is one that was left out.
func checkLength(in *Instrument, field string, cm, works float64) *fault {
	switch {
	case cm == 0:
		return nil
	case !in.Slide():
		return faultf(field, "a %s has no slide; leave %s out", in.Title, field)
	case !(cm >= minSlideCM && cm <= maxSlideCM):
		return faultf(field, "%g cm lies outside %g to %g; a value that works is %g", cm, minSlideCM, maxSlideCM, works)
	}
	return nil
}

// tunable names what valve_cents may hold, in the instrument's order.
func (in *Instrument) tunable() []string {
	var names []string
	for _, v := range in.Valves {
		names = append(names, v.Name)
	}
	if in.Slide() {
		for _, s := range in.Sides[1:] {
			names = append(names, s.Valve)
		}
	}
	return names
}

// DefaultProfile is the usual instrument of its kind with every field filled in but
// ReachCM, as a start for one's own.
func DefaultProfile(in *Instrument) Profile {
	p := Profile{Instrument: in.Name, Name: in.Title, PartialCents: map[int]float64{}}
	for n := 1; n <= HighestPartial; n++ {
		p.PartialCents[n] = tenth(in.PartialCents[n])
	}
	if names := in.tunable(); len(names) > 0 {
		p.ValveCents = map[string]float64{}
		for _, name := range names {
			p.ValveCents[name] = 0
		}
	}
	for _, v := range in.Valves {
		p.ValveCents[v.Name] = tenth(v.Cents)
	}
	p.SlideMaxCM = tenth(in.SlideMaxCM)
	return p
}

// tenth rounds to one decimal.
func tenth(x float64) float64 { return math.Round(10*x) / 10 }

// Apply returns a changed copy of an instrument. The error says that the profile is
// for another instrument or what in it cannot be.
func (p Profile) Apply(in *Instrument) (*Instrument, error) {
	if f := p.check(); f != nil {
		return nil, f
	}
	if p.Instrument != in.Name {
		return nil, fmt.Errorf("the profile is for %s, not for %s; name the instrument %s, or another profile", p.Instrument, in.Name, p.Instrument)
	}
	out := *in
	if p.PartialCents != nil {
		out.PartialCents = maps.Clone(p.PartialCents)
	}
	if p.SlideMaxCM > 0 {
		out.SlideMaxCM = p.SlideMaxCM
	}
	out.Sides, out.Valves = slices.Clone(in.Sides), slices.Clone(in.Valves)
	for i, s := range out.Sides {
		if in.Slide() {
			out.Sides[i].Factor *= math.Exp2(-p.ValveCents[s.Valve] / 1200)
		}
	}
	for i, v := range out.Valves {
		if cents, ok := p.ValveCents[v.Name]; ok {
			out.Valves[i].Cents = cents
		}
	}
	if !in.Slide() {
		out.Sides = combine(out.Valves, out.compensator)
	}
	return &out, nil
}
