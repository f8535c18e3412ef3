package sound

import (
	"math"

	"waterkey/score"
)

// Way is how a note is sounded on the horn. The zero Way is not known.
type Way struct {
	Partial     int     // 1 is the pedal; 0 for not known
	Valve       string  // what is pressed; "" for the open horn
	ExtensionCM float64 // where the slide is, in cm from closed; 0 on valve brass
}

// How a player moves the slide under legato (estimates; no measurement of times
// or speeds by position was found).
const (
	// legatoSpeed is the peak of a quick legato move, in cm/s: half as fast
	// again as the 300 that are comfortable.
	legatoSpeed = 450.0
	// peakOverMean is the peak speed of a minimum-jerk motion over its mean
	// (T. Flash and N. Hogan, "The coordination of arm movements", Journal of
	// Neuroscience 5, 1985; calculated from the polynomial).
	peakOverMean = 1.875
	mostMove     = 0.16 // seconds: the arm hurries rather than smear longer
	moveShare    = 0.5  // of the shorter note at most
	// stillCM is a slide move too small to be called one: a lean.
	stillCM = 1.5
)

// Slur breaks need no slide; their Move still says over what time the pitch
// changes hands, in seconds (estimates: a valve travels in some 20 ms).
const stillMove = 0.02

// crossing sets attack and move of a connected tone from the ways of both notes;
// rise says whether the pitch rises.
func crossing(t *Tone, before Tone, from, to Way) {
	if from.Partial == 0 || to.Partial == 0 || t.Hz == before.endHz() {
		return
	}
	out := to.ExtensionCM - from.ExtensionCM
	rising := t.Hz > before.endHz()
	slurred := t.Attack == Slurred
	set := func(a Attack) {
		if slurred {
			t.Attack = a
		}
	}
	t.Move = Move{Seconds: stillMove, LeaveHz: before.endHz(), ArriveHz: t.Hz}
	switch {
	case from.Valve != to.Valve || out == 0 && from.Partial == to.Partial:
		set(ValveSlur)
		return
	case math.Abs(out) < stillCM && from.Partial != to.Partial:
		set(LipSlur)
		return
	case from.Partial != to.Partial && (out > 0) == rising:
		set(NaturalSlur)
	default:
		set(Legato)
	}
	ratio := float64(to.Partial) / float64(from.Partial)
	t.Move = Move{Seconds: moveTime(out, before, *t), LeaveHz: t.Hz / ratio, ArriveHz: before.endHz() * ratio}
}

// moveTime is how long the slide takes over so many cm.
func moveTime(cm float64, a, b Tone) score.Seconds {
	room := moveShare * min(b.Start-a.Start, b.End-b.Start)
	return min(score.Seconds(peakOverMean*math.Abs(cm)/legatoSpeed), mostMove, room)
}

// slideAlong is where a glissando from hz to the next note ends: on one partial it
// leads into that note; otherwise it goes as far as the slide does on the partial it
// is on and breaks there; and with another valve or against the grain it does not
// slide at all, which is 0.
func slideAlong(hz, next float64, from, to Way) float64 {
	if from.Partial == 0 || to.Partial == 0 || from.Partial == to.Partial && from.Valve == to.Valve {
		return next
	}
	end := next * float64(from.Partial) / float64(to.Partial)
	if from.Valve != to.Valve || (end > hz) != (next > hz) {
		return 0
	}
	return end
}

// endHz is the frequency at the end of the tone.
func (t Tone) endHz() float64 {
	if t.HzEnd != 0 {
		return t.HzEnd
	}
	return t.Hz
}

// minimumJerk is how far a minimum-jerk motion is after a share of its time.
func minimumJerk(u float64) float64 {
	u = min(max(u, 0), 1)
	return u * u * u * (10 - 15*u + 6*u*u)
}
