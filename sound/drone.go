package sound

import (
	"math"

	"waterkey/score"
)

// Drone is a held chord to tune to.
type Drone struct {
	Pitches    []score.Pitch // the first is the root
	Just       bool          // the others lie over the root in whole-number ratios
	Start, End score.Seconds
	Level      float64 // dB relative to mezzo-forte, of each pitch
}

// justRatios are the intervals over the root by semitones, 0 to 11: the simplest
// ratios of whole numbers up to five (the common five-limit scale; H. Helmholtz,
// "On the Sensations of Tone", 1863, from memory).
var justRatios = [12]float64{1, 16.0 / 15, 9.0 / 8, 6.0 / 5, 5.0 / 4, 4.0 / 3, 45.0 / 32, 3.0 / 2, 8.0 / 5, 5.0 / 3, 9.0 / 5, 15.0 / 8}

// droneLine is the line of the first pitch of a drone; the part is line 0.
const droneLine = 100

// Tones lists the tones of the drone, one for each pitch.
func (d Drone) Tones(a4 float64) []Tone {
	if !(a4 > 0) {
		a4 = DefaultA4
	}
	var out []Tone
	for i, p := range d.Pitches {
		hz := p.Hz(a4)
		if d.Just {
			semitones := p.MIDI() - d.Pitches[0].MIDI()
			octave := math.Floor(float64(semitones) / 12)
			hz = d.Pitches[0].Hz(a4) * math.Exp2(octave) * justRatios[semitones-12*int(octave)]
		}
		out = append(out, Tone{Note: -1, Start: d.Start, End: d.End, Hz: hz, Level: d.Level, Attack: Swelling, Line: droneLine + i})
	}
	return out
}
