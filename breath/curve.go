package breath

import "waterkey/score"

// Point is the air at a moment.
type Point struct {
	At     score.Seconds
	Liters float64 // below the reserve where the air does not last, even below 0
	Note   int     // the played note that starts here, -1 for none
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
			out = append(out, Point{notes[i].Start, air, i})
			air -= sounds * a.flow
			out = append(out, Point{notes[i].Start + score.Seconds(sounds), air, -1})
		}
		if k < len(b.Breaths) {
			room := min(float64(b.Breaths[k].Room), b.Lungs.FullSeconds)
			out = append(out, Point{notes[s.last+1].Start - score.Seconds(room), air, -1})
		}
	}
	return out
}

// Stretch is playing on one breath.
type Stretch struct {
	First, Last int           // played notes, both included
	Seconds     score.Seconds // from the first note's start to the last one's end
	Start, End  float64       // liters before the first note and after the last
}

// Stretches are the parts of the performance between breaths, in order: one more than
// there are breaths, none without notes.
func (b *Breathing) Stretches() []Stretch {
	var out []Stretch
	notes := b.Performance.Notes
	for _, s := range b.spans {
		length := notes[s.last].End - notes[s.first].Start - score.Seconds(s.shortened)
		out = append(out, Stretch{s.first, s.last, length, s.start, s.end})
	}
	return out
}
