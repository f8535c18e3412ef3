package sound

import (
	"math"

	"waterkey/score"
)

// trillRate is how often a second a trill returns to its main note (estimate:
// moderate for brass).
const trillRate = 6.0

// trilled splits the tone of a trill into main note and upper neighbor by
// turns, slurred, beginning and ending on the main note. Any other tone is
// handed back alone.
func trilled(pf *score.Performance, t Tone) []Tone {
	n := pf.Written(t.Note)
	length := float64(t.End - t.Start)
	turns := int(length * trillRate)
	if !n.Marks.Has(score.Trill) || turns < 1 {
		return []Tone{t}
	}
	upper := t.Hz * math.Exp2(float64(neighbor(pf.Part, n))/12)
	count := 2*turns + 1
	var out []Tone
	for k := range count {
		one := t
		one.Start = t.Start + score.Seconds(length*float64(k)/float64(count))
		one.End = t.Start + score.Seconds(length*float64(k+1)/float64(count))
		one.Level += swellAt(t.Swell, float64(k)/float64(count))
		one.Swell = nil
		one.HzEnd = 0
		if k > 0 {
			one.Attack, one.Burst, one.Connects = Slurred, 0, true
		}
		if k%2 == 1 {
			one.Hz = upper
		}
		out = append(out, one)
	}
	return out
}

// neighbor is how many semitones the upper neighbor in the key lies above a
// note. An accidental over the trill sign is not known here.
func neighbor(p *score.Part, n *score.Note) int {
	w := n.Written
	if w.Step == 0 {
		w = n.Pitch
	}
	up := w.Transpose(1, 0)
	up.Alter = p.Bars[n.Bar].Key.Alteration(up.Step)
	return max(up.MIDI()-w.MIDI(), 1)
}
