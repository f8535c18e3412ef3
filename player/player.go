// Package player is who plays: how far along, and what a player of that level
// usually has.
package player

import "fmt"

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

// arm is the effort of a slide move, 1 at a comfortable speed and 2 at a trap, that a
// level makes at ease once the passage is known: professionals accelerate the slide
// faster (Lammers and others, 1996, abstract read); amounts are estimates.
var arm = map[Level]float64{First: 1.1, Second: 1.25, Third: 1.45, Advanced: 1.75, Professional: 1.9}

// Arm is that effort; 1 for an unknown level.
func (l Level) Arm() float64 {
	if e, ok := arm[l]; ok {
		return e
	}
	return 1
}
