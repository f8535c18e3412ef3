package breath

import "waterkey/score"

// Point is the air at a moment.
type Point struct {
	At     score.Seconds
	Liters float64 // below the reserve where the air does not last, even below 0
}

// Curve is the air over the performance, straight between points: falling while a
// note sounds, level in silence, rising while the player breathes in. In a long rest
// the breath comes at its end.
func (b *Breathing) Curve() []Point {
	var out []Point
	notes := b.Performance.Notes
	for k, s := range b.spans {
		air := s.start
		for i := s.first; i <= s.last; i++ {
			a := b.ground.airs[i]
			sounds := a.sounds
			if i == s.last {
				sounds -= s.shortened
			}
			out = append(out, Point{notes[i].Start, air})
			air -= sounds * a.flow
			out = append(out, Point{notes[i].Start + score.Seconds(sounds), air})
		}
		if k < len(b.Breaths) {
			room := min(float64(b.Breaths[k].Room), b.Lungs.FullSeconds)
			out = append(out, Point{notes[s.last+1].Start - score.Seconds(room), air})
		}
	}
	return out
}
