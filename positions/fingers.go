package positions

import "math/bits"

// fingers are the valves held down on valve brass, one bit each: bit 0 is the
// first valve. The thumb of a double horn is a bit of its own.
type fingers uint8

const (
	middleFinger fingers = 1 << 1
	ringFinger   fingers = 1 << 2
	thumbBit     fingers = 1 << 7
)

// fingersOf reads "1+3", "0", "T12" and the like: digits are valves, a T is the
// thumb.
func fingersOf(valve string) fingers {
	var f fingers
	for _, c := range valve {
		switch {
		case c >= '1' && c <= '6':
			f |= 1 << (c - '1')
		case c == 'T':
			f |= thumbBit
		}
	}
	return f
}

// to prices the change to another fingering in some seconds: the fingers that
// move, and what makes the change awkward.
func (f fingers) to(g fingers, seconds float64) (moved, awkward float64) {
	hurry := 1 + fingerSeconds/seconds
	change := f ^ g
	moved = fingerCost * float64(bits.OnesCount8(uint8(change))) * hurry
	if change&f != 0 && change&g != 0 {
		awkward += crossCost * hurry
	}
	if change&ringFinger != 0 && change&middleFinger == 0 {
		awkward += ringCost * hurry
	}
	return moved, awkward
}
