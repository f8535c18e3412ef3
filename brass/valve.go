package brass

import (
	"cmp"
	"math"
	"math/bits"
	"slices"
	"strings"
)

// Valve is one valve of valve brass with its tube.
type Valve struct {
	Name      string  // "1" to "5" for the fingers, "T" for the thumb
	Semitones int     // what it lowers the open horn by; negative raises it
	Cents     float64 // how its own slide is tuned against that; negative is longer, flat
	KickCM    float64 // how far the player draws its slide while playing, cm of slide; 0 for a slide that stays
}

// factor is how many times the tube of the open horn there is with this valve
// alone.
func (v Valve) factor() float64 {
	return math.Exp2((float64(v.Semitones) - v.Cents/100) / 12)
}

// combine lists every state of the valves, the open horn first, then by how far it
// lowers the horn.
//
// Without compensation the tubes add up. With it, the compensator's factor
// multiplies what the others add up to.
func combine(valves []Valve, compensator string) []Side {
	sides := make([]Side, 0, 1<<len(valves))
	for set := range uint(1) << len(valves) {
		sides = append(sides, combination(valves, compensator, set))
	}
	slices.SortStableFunc(sides[1:], func(a, b Side) int {
		return cmp.Or(cmp.Compare(a.Factor, b.Factor), cmp.Compare(a.Valve, b.Valve))
	})
	return sides
}

// combination is the state with the valves of a set down, one bit each.
func combination(valves []Valve, compensator string, set uint) Side {
	s := Side{Factor: 1}
	times := 1.0
	names := make([]string, 0, bits.OnesCount(set))
	for i, v := range valves {
		if set>>i&1 == 0 {
			continue
		}
		names = append(names, v.Name)
		s.Semitones += v.Semitones
		if v.Name == compensator {
			times = v.factor()
		} else {
			s.Factor += v.factor() - 1
		}
	}
	s.Factor *= times
	s.Valve = strings.Join(names, "+")
	s.Prefix = fingering(names)
	return s
}

// fingering is how players write valves: "0" for none, "13", "T12", "T0".
func fingering(names []string) string {
	switch text := strings.Join(names, ""); text {
	case "", thumb:
		return text + "0"
	default:
		return text
	}
}

// thumb is the name of the valve that changes the two halves of a double horn.
const thumb = "T"

// kick is how far all slides of a state of the valves that the player can draw
// while playing go together, in cm of slide.
func (in *Instrument) kick(s Side) float64 {
	sum := 0.0
	for _, v := range in.Valves {
		if s.holds(v.Name) {
			sum += v.KickCM
		}
	}
	return sum
}

// holds says whether a valve is down.
func (s Side) holds(valve string) bool {
	return slices.Contains(strings.Split(s.Valve, "+"), valve)
}

// SharpCents is how far the side sounds above its whole semitones, in cents: what
// valves together are sharp by.
func (s Side) SharpCents() float64 { return 100*float64(s.Semitones) - 1200*math.Log2(s.Factor) }
