package demo

import (
	"math"
	"math/rand/v2"

	"waterkey/demo/room"
	"waterkey/demo/trombone"
)

// mic is how a take was recorded. The zero mic is a phone on a stand in a
// practice room, well placed.
type mic struct {
	noise   float64 // dBFS RMS beside the quiet room's
	gain    float64 // dB more than is good
	cutTail float64 // s that the recorder was stopped before the last note ended
}

// The practice room (estimates: a small furnished room has 0.3 to 0.5 s of
// reverberation, and a phone two meters away hears more of the horn than of it).
const (
	roomSeconds = 0.4
	roomUnder   = 14.0  // dB: the room's answer beside the sound itself
	roomQuiet   = -72.0 // dBFS RMS
	headroom    = 5.0   // dB: where a good level leaves the loudest sample under full scale
	breathUnder = 38.0  // dB: breath drawn in beside mezzo-forte
	breathRoom  = 0.22  // s: a silence in which breath is drawn
	breathLong  = 0.5   // s: the most that one takes
)

// record is the sound as the recorder keeps it.
func (m mic) record(x []float64, notes []note, random *rand.Rand) []float64 {
	drawBreath(x, notes, random)
	x = room.Convolve(x, room.Response(roomSeconds, roomUnder, trombone.Rate, random))
	gain := math.Pow(10, (m.gain-headroom)/20) / loudest(x)
	for i := range x {
		x[i] *= gain
	}
	quiet := roomQuiet
	if m.noise != 0 {
		quiet = m.noise
	}
	room.AddNoise(x, quiet, random)
	for i := range x {
		x[i] = max(-1, min(x[i], 1))
	}
	if m.cutTail > 0 {
		end := float64(notes[len(notes)-1].tone.End) - m.cutTail
		x = x[:int(end*trombone.Rate)]
	}
	return x
}

// drawBreath adds the sound of air going in before the first note and where there
// is time.
func drawBreath(x []float64, notes []note, random *rand.Rand) {
	amp := trombone.SteadyLevel * math.Pow(10, -breathUnder/20)
	end := 0.0
	for _, n := range notes {
		start := float64(n.tone.Start)
		if gap := start - end; gap >= breathRoom {
			const hz, width = 1200.0, 0.8 // of the hiss of air at the lips (estimate)
			from := max(end+0.06, start-breathLong-0.05)
			room.Hiss(x, trombone.Rate, from, start-0.04, amp, hz, width, random)
		}
		end = float64(n.tone.End)
	}
}

func loudest(x []float64) float64 {
	most := 0.0
	for _, v := range x {
		most = max(most, math.Abs(v))
	}
	return most
}
