package player

import (
	"waterkey/brass"
	"waterkey/score"
)

// Compass is the range a player of a level usually plays, as MIDI note numbers.
type Compass struct{ Low, High int }

// ranges are the compasses by level on an instrument of a stated fundamental, all
// as MIDI note numbers.
type ranges struct {
	fundamental int
	levels      map[Level]Compass
}

// tenor holds the ranges on a tenor trombone by level. Published: levels 1 to 3, G2
// to B flat 3, G2 to C4, F2 to E flat 4 (City of Reykjavik, learning objectives for
// the trombone); level 4, E2 to B flat 4 (inmusica.fr, Orchestration Skills, the
// safe range for writing). Level 5, pedal B flat 1 to D5, is from memory.
var tenor = ranges{34, map[Level]Compass{
	First: {43, 58}, Second: {43, 60}, Third: {41, 63}, Advanced: {40, 70}, Professional: {34, 74},
}}

// byFamily are the ranges of each family, sounding. Euphonium and baritone have the
// tenor trombone's (published for the first grades: nemusicpub.com grades trombone
// and baritone together), tubas the same from their own fundamental (from memory).
// Trumpet, written C4 to C5, B flat 3 to D5, G3 to G5, F sharp 3 to C6 and to D6, and
// horn, written B flat 3 to C5, G3 to E5, G3 to G5, C3 to B flat 5 and F2 to C6, are
// from memory; C6 is where fingering charts of both end.
var byFamily = map[brass.Family]ranges{
	brass.Trombones: tenor,
	brass.TenorTuba: tenor,
	brass.Tubas:     tenor,
	brass.Trumpets: {46, map[Level]Compass{
		First: {58, 70}, Second: {56, 72}, Third: {53, 77}, Advanced: {52, 82}, Professional: {52, 84},
	}},
	brass.Horns: {29, map[Level]Compass{
		First: {51, 65}, Second: {48, 69}, Third: {48, 72}, Advanced: {41, 75}, Professional: {34, 77},
	}},
}

// CompassOf is the usual range of a level on an instrument: that of its family,
// moved with the instrument's fundamental. Where valves fill the octave below
// partial 2 an advanced player has those notes as well.
func CompassOf(l Level, in *brass.Instrument) Compass {
	r, ok := byFamily[in.Family]
	if !ok {
		r = tenor
	}
	c, ok := r.levels[l]
	if !ok {
		c = r.levels[DefaultLevel]
	}
	shift := in.Fundamental.MIDI() - r.fundamental
	c.Low, c.High = c.Low+shift, c.High+shift
	if l >= Advanced && len(in.Sides) > 1 {
		c.Low = min(c.Low, lowest(in))
	}
	return c
}

// lowest is how far down the notes go without a gap. On valve brass the pedals are
// left out: they are there, and few parts ask for them (from memory).
func lowest(in *brass.Instrument) int {
	n := in.Lowest().MIDI()
	if in.Slide() {
		return n
	}
	for in.Ways(score.PitchFromMIDI(n))[0].Partial == 1 {
		n++
	}
	return n
}
