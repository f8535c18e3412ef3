package sound

import (
	"math"

	"waterkey/score"
)

// tickLength is how long a tick is to be heard.
const tickLength score.Seconds = 0.03

// A tick is a short decaying sine, dry and high so that no one takes it for a
// brass note (all values, and tickLength, are estimates).
const (
	tickHz       = 1900.0 // above the written range of low brass
	downHz       = 2850.0 // a fifth higher
	upbeatHz     = 2533.0 // a fourth higher: it leads on
	divisionHz   = 1425.0 // a fourth lower
	tickDecay    = 0.004  // seconds to fall by a factor of e
	tickPeakDBFS = -12.0  // of Level 0; the decay takes some dB of it
	weakBeatDB   = -5.0   // Level of a beat that is not strong
	divisionDB   = -12.0  // Level of a division
)

// tick is the tone for a beat.
func tick(m moment) Tone {
	t := Tone{Note: -1, Start: m.clip, End: m.clip + tickLength, Hz: tickHz, Level: weakBeatDB, Attack: Beat}
	switch {
	case m.strong:
		t.Hz, t.Level, t.Attack = downHz, 0, Downbeat
	case m.part:
		t.Hz, t.Level, t.Attack = divisionHz, divisionDB, Division
	}
	return t
}

// addTick adds to out, whose first sample is number from of the clip, what a tick
// has there. The sample nearest to Start is the first that is not zero.
func addTick(out []float64, from int, t Tone, rate int) {
	first := int(math.Round(float64(t.Start)*float64(rate))) - from
	length := int(float64(t.End-t.Start) * float64(rate))
	peak := math.Pow(10, (tickPeakDBFS+t.Level)/20)
	for k := max(0, -first); k < length && first+k < len(out); k++ {
		s := float64(k+1) / float64(rate)
		fade := 1 - float64(k)/float64(length)
		out[first+k] += peak * fade * math.Exp(-s/tickDecay) * math.Sin(2*math.Pi*t.Hz*s)
	}
}
