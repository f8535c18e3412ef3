package hear

import (
	"math"

	"waterkey/hear/pitch"
)

// Reading of an attack. The two thresholds leave out the noise before it and
// the last slow part of the rise (common practice).
const (
	attackFrom, attackTo = 0.2, 0.9 // of the amplitude that the note settles on

	attackStep   = pitch.Rate / 1000 // samples: 1 ms
	attackBefore = 0.040             // s looked at before the onset
	attackAfter  = 0.300             // s after it at the most
	settles      = 0.100             // s over which the amplitude it settles on is taken
	attackWindow = 0.005             // s: the shortest over which an amplitude is taken; one period of a low note
)

// attack is how long a note takes to come up, in ms, with its standard
// uncertainty; 0 and 0 where the air goes on from the note before. hz is the
// note's pitch.
func (l *listener) attack(m *Measures, hz float64) (ms, unsure float64) {
	long := attackWindow
	if hz > 0 {
		long = max(attackWindow, 1/hz)
	}
	w := int(long * pitch.Rate)
	a := max(int((m.Onset-attackBefore)*pitch.Rate), w)
	b := min(int(min(m.Onset+attackAfter, m.Offset)*pitch.Rate), len(l.x)-w)
	var amp []float64
	for at := a; at < b; at += attackStep {
		amp = append(amp, rms(l.x[at-w/2:at-w/2+w]))
	}
	if len(amp) < int(settles*1000) {
		return 0, 0
	}
	full := 0.0
	for _, v := range amp[len(amp)-int(settles*1000):] {
		full += v / (settles * 1000)
	}
	up := 0
	for up < len(amp) && amp[up] < attackTo*full {
		up++
	}
	low := min(up, len(amp)-1)
	for low >= 0 && amp[low] > attackFrom*full {
		low--
	}
	if low < 0 || up == len(amp) {
		return 0, 0
	}
	// The window smears a sudden start over its own length, a slow one hardly.
	smear, wide := (attackTo-attackFrom)*1000*long, float64(up-low)
	return math.Sqrt(max(wide*wide-smear*smear, 1)), smear / 2
}

func rms(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v * v
	}
	return math.Sqrt(sum / float64(max(len(x), 1)))
}
