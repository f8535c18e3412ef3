package demo

import (
	"math"
	"math/rand/v2"

	"waterkey/demo/trombone"
	"waterkey/sound"
)

// voice makes samples of notes.
func (r *Recording) voice(notes []note, bank *trombone.Bank, o sound.Options, random *rand.Rand) []float64 {
	last := notes[len(notes)-1].tone
	seconds := float64(last.End) + leadOut
	if r.horn != "" {
		tones := make([]sound.Tone, len(notes))
		for i, n := range notes {
			tones[i] = n.tone
		}
		x := sound.Render(tones, o).Channels[0]
		return append(x, make([]float64, max(int(seconds*trombone.Rate)-len(x), 0))...)
	}
	tones := make([]trombone.Tone, len(notes))
	for i, n := range notes {
		tones[i] = r.recorded(n, random)
	}
	return bank.Sing(tones, 0, seconds)
}

const (
	// brighten is how many dB the upper partials of a trombone gain beside each dB of
	// level (estimate, after the growth of the spectrum with blowing pressure in
	// Fletcher and Tarnopolsky, JASA 105, 1999).
	brighten = 0.5
	// burstFades is the time in which a sforzando falls to a third, in seconds, and
	// pointsApart how finely a level is drawn (estimates).
	burstFades, pointsApart = 0.15, 0.025
	// sway is how far a held pitch wanders, in cents, and swayEvery how often it
	// turns, in seconds (estimates).
	sway, swayEvery = 1.5, 0.35
	// vibratoLeast is the shortest note with vibrato, in seconds (estimate).
	vibratoLeast = 0.7
)

// recorded is a note as the recorded trombone sings it.
func (r *Recording) recorded(n note, random *rand.Rand) trombone.Tone {
	t := n.tone
	out := trombone.Tone{Start: float64(t.Start), End: float64(t.End), Hz: t.Hz, HzEnd: t.Hz, Level: t.Level,
		Joined: t.Connects && isSlurred(t.Attack), Matched: true, Bright: brighten}
	long := out.End - out.Start
	if long >= vibratoLeast {
		out.Vibrato = r.vibrato
	}
	out.Swell = contour(t, long)
	if t.HzEnd != 0 {
		out.Bend = glide(t.Hz, t.HzEnd)
		return out
	}
	for range int(long/swayEvery) + 2 {
		out.Bend = append(out.Bend, sway*max(-farthestOut, min(random.NormFloat64(), farthestOut)))
	}
	return out
}

// glide is the way of the arm from one pitch to another, in cents beside the first: it
// starts and stops gently (the minimum-jerk motion of T. Flash and N. Hogan, "The
// coordination of arm movements", Journal of Neuroscience 5, 1985).
func glide(from, to float64) []float64 {
	const points = 40
	whole := 1200 * math.Log2(to/from)
	out := make([]float64, points+1)
	for k := range out {
		u := float64(k) / points
		out[k] = whole * u * u * u * (10 - 15*u + 6*u*u)
	}
	return out
}

// contour is the level along a tone beside Level in dB; nil when it keeps even.
func contour(t sound.Tone, long float64) []float64 {
	if t.Swell == nil && t.Burst == 0 {
		return nil
	}
	out := make([]float64, int(long/pointsApart)+2)
	for k := range out {
		u := float64(k) / float64(len(out)-1)
		out[k] = t.Burst * math.Exp(-u*long/burstFades)
		if n := len(t.Swell); n > 1 {
			at := u * float64(n-1)
			i := min(int(at), n-2)
			out[k] += t.Swell[i] + (at-float64(i))*(t.Swell[i+1]-t.Swell[i])
		}
	}
	return out
}
