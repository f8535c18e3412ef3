package breath

import (
	"math"

	"waterkey/brass"
	"waterkey/player"
)

// The flow model. One curve serves the whole family: at the same pitch and level
// the flow is similar on every brass instrument (published: A. Jacobs, tests at the
// University of Chicago, 1959-60, as retold on a players' list). No table for the
// trombone was found, so the numbers are estimates through these published values:
// trumpet about 0.17 L/s high and 0.42 to 0.50 low, tuba 0.12 soft and above 2.0
// full (Jacobs); trumpet averages from 0.18 to 0.63, at most 0.95 low at fortissimo
// (Freour, Causse and Cossette, CFA Lyon 2010); usual playing from 0.1 L/s (J.
// Wolfe, "Air speed", UNSW).
const (
	// middleFlow is the flow at mezzo-forte on middleNote, in liters a second.
	middleFlow = 0.25
	middleNote = 58 // B flat 3, MIDI number
	mezzoForte = 0.5
	// pitchFlow is how many times the flow doubles for each octave down, levelFlow
	// for each marking up.
	pitchFlow = 0.7
	levelFlow = 0.5
	// No flow is taken smaller or greater, in liters a second.
	leastFlow, mostFlow = 0.1, 2.5
)

// sizes is how much more air an instrument takes than the curve, by name: a wide
// bore and a large mouthpiece take more, a small one less (estimates; the
// published rule has no such difference). Others are 1.
var sizes = map[string]float64{"alto": 0.9, "bass": 1.1, "bass-dependent": 1.1}

// Flow is the air that a note takes while it sounds, in liters a second, by
// sounding pitch (MIDI note number) and level (in the steps of
// [score.LevelStep]). It is an estimate.
func Flow(midi int, level float64) float64 {
	octavesDown := float64(middleNote-midi) / 12
	return min(max(middleFlow*math.Exp2(pitchFlow*octavesDown+levelFlow*(level-mezzoForte)), leastFlow), mostFlow)
}

// FlowOn is Flow on an instrument; nil is the family's curve.
func FlowOn(in *brass.Instrument, midi int, level float64) float64 {
	return size(in) * Flow(midi, level)
}

func size(in *brass.Instrument) float64 {
	if in == nil || sizes[in.Name] == 0 {
		return 1
	}
	return sizes[in.Name]
}

// Calibrated is the lungs of a player who timed long tones on an instrument (nil
// for the family's curve): plans then take as much air as those tones did.
func Calibrated(l player.Lungs, in *brass.Instrument, tones ...player.LongTone) (player.Lungs, error) {
	return l.Timed(tones, func(midi int, level float64) float64 { return FlowOn(in, midi, level) })
}
