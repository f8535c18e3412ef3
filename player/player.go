// Package player is who plays: how far along, and what a player of that level
// usually has.
package player

import (
	"fmt"

	"waterkey/brass"
)

// Level is how far along a player is, from 1 to 5.
type Level int

// The levels. The first three are those of a public school curriculum; an
// audition candidate is taken for advanced unless told otherwise.
const (
	First        Level = 1
	Second       Level = 2
	Third        Level = 3
	Advanced     Level = 4
	Professional Level = 5

	DefaultLevel = Advanced
)

// ParseLevel checks a number.
func ParseLevel(n int) (Level, error) {
	if n < int(First) || n > int(Professional) {
		return 0, fmt.Errorf("level %d: want 1 to 5, such as 4 for an advanced student", n)
	}
	return Level(n), nil
}

// String is "level 3".
func (l Level) String() string { return fmt.Sprintf("level %d", int(l)) }

// Compass is the range a player of a level usually plays, as MIDI note numbers.
type Compass struct{ Low, High int }

// tenorCompass holds the ranges on a tenor trombone by level. Published: levels 1
// to 3, G2 to B flat 3, G2 to C4, F2 to E flat 4 (City of Reykjavik, learning
// objectives for the trombone); level 4, E2 to B flat 4 (inmusica.fr,
// Orchestration Skills, the safe range for writing). Level 5, pedal B flat 1 to
// D5, is from memory.
var tenorCompass = map[Level]Compass{
	First: {43, 58}, Second: {43, 60}, Third: {41, 63}, Advanced: {40, 70}, Professional: {34, 74},
}

// tenorPedal is the fundamental of a tenor trombone, B flat 1.
const tenorPedal = 34

// CompassOf is the usual range of a level on an instrument: the tenor's, moved
// with the instrument's fundamental. With an F attachment an advanced player has
// the notes below E2 as well, down to the lowest the horn has without a gap.
func CompassOf(l Level, in *brass.Instrument) Compass {
	c, ok := tenorCompass[l]
	if !ok {
		c = tenorCompass[DefaultLevel]
	}
	shift := in.Fundamental.MIDI() - tenorPedal
	c.Low, c.High = c.Low+shift, c.High+shift
	if l >= Advanced && len(in.Sides) > 1 {
		c.Low = min(c.Low, in.Lowest().MIDI())
	}
	return c
}

// skill bends a risk by level: as if a mistake at level 4 had so many independent
// chances to happen (estimate).
var skill = map[Level]float64{First: 1.6, Second: 1.4, Third: 1.2, Advanced: 1.0, Professional: 0.8}

// Skill is that exponent; 1 for an unknown level.
func (l Level) Skill() float64 {
	if s, ok := skill[l]; ok {
		return s
	}
	return 1
}
