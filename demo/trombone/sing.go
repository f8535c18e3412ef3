package trombone

import "math"

// Tone is one sound of a line.
type Tone struct {
	Start, End float64   // s
	Hz, HzEnd  float64   // moved evenly by the arm from one to the other
	Level      float64   // dB above mezzo-forte
	Joined     bool      // slurred from the tone before
	Matched    bool      // the join is without a seam: the two waves meet in phase, as one column of air does
	Vibrato    float64   // cents
	Swell      []float64 // dB beside Level at equal distances from Start to End; nil for none
	Bend       []float64 // cents beside Hz in the same way
	Bright     float64   // dB that the upper partials gain for each dB of level beside it; 0 sounds alike at all levels
}

const (
	joinLong    = 0.030 // s: pitch and air go over from one slurred note to the next in this (estimate)
	releaseLong = 0.040 // s: a release goes down in this, half amplitude in its middle (estimate)
	fadeIn      = 0.005 // s: before the onset, so that the cut makes no click
	vibratoRate = 5.5   // Hz
	upperHz     = 800.0 // where the partials that brighten begin, of a gentle filter (estimate)
)

// VibratoFrom is how long a note is held before its vibrato begins, in seconds.
const VibratoFrom = 0.25

// Sing renders tones, in order of time, with the voices of player k.
func (b *Bank) Sing(tones []Tone, k int, seconds float64) []float64 {
	out := make([]float64, int(seconds*Rate))
	var left reading // of the tone before, where the next joins it
	for i := range tones {
		var before, after *Tone
		if i > 0 && tones[i].Joined {
			before = &tones[i-1]
		}
		if i+1 < len(tones) && tones[i+1].Joined {
			after = &tones[i+1]
		}
		left = b.singOne(out, &tones[i], before, after, k, left)
	}
	return out
}

// reading is a place in a voice.
type reading struct {
	v     *voice
	place float64
}

// singOne adds a tone and returns where it is read when the next begins to join it.
func (b *Bank) singOne(out []float64, e, before, after *Tone, k int, left reading) (join reading) {
	v := b.voice(k, math.Sqrt(e.Hz*e.HzEnd))
	from, place := e.Start-v.onset/Rate*v.hz/e.Hz, 0.0
	if before != nil {
		from, place = e.Start-joinLong/2, v.steady
	}
	to := e.End + releaseLong/2
	if after != nil {
		to = after.Start + joinLong/2
	}
	first := max(int(math.Ceil(from*Rate)), 0)
	if before == nil { // the onset falls on its moment exactly
		place = v.onset + (float64(first)/Rate-e.Start)*Rate*e.Hz/v.hz
	} else if e.Matched && left.v != nil {
		place = meet(left, v)
	}
	join = reading{v, place}
	loud := newLoudness(e, v, place, e.Hz/v.hz)
	for i := first; i < min(int(to*Rate), len(out)); i++ {
		t := float64(i) / Rate
		out[i] += e.fade(t, from, before, after) * loud.next(t, at(v.x, place))
		if after != nil && i < int(math.Ceil((after.Start-joinLong/2)*Rate)) {
			join.place = place + e.frequency(t, before, after)/v.hz
		}
		place += e.frequency(t, before, after) / v.hz
	}
	return join
}

// meet is the place in the steady part of a voice from which its wave lies best
// over the one that is left.
func meet(left reading, v *voice) float64 {
	const points = 96 // of a period: fine enough for some forty partials (estimate)
	a, b := Rate/left.v.hz/points, Rate/v.hz/points
	var was [points]float64
	for k := range was {
		was[k] = at(left.v.x, left.place+float64(k)*a)
	}
	best, most := v.steady, math.Inf(-1)
	for shift := range points {
		sum := 0.0
		for k, x := range was {
			sum += x * at(v.x, v.steady+float64(shift+k)*b)
		}
		if sum > most {
			best, most = v.steady+float64(shift)*b, sum
		}
	}
	return best
}

// loudness brings a voice to the level of a tone, brighter or darker with it. The
// level is that of the whole, however much of it lies in the upper partials.
type loudness struct {
	tone             *Tone
	pole, low        float64
	lower, both, top float64 // power of the lower and upper part beside the whole, and what they share
	gain, upper      float64 // of the whole, and of the upper partials beside it
	age              int     // samples
}

// swellStep is how many samples a level is kept: at the steepest swell it then moves
// by less than a twentieth of a decibel.
const swellStep = 32

// newLoudness is for a tone that begins at a place in a voice, read at so many
// times its speed.
func newLoudness(e *Tone, v *voice, place, speed float64) *loudness {
	l := &loudness{tone: e, pole: math.Exp(-2 * math.Pi * upperHz / Rate), lower: 1}
	if e.Bright != 0 {
		l.weigh(v, speed)
		const before = 0.01 * Rate // samples in which the filter forgets
		l.low = 0
		for k := before; k > 0; k-- {
			l.low += (1 - l.pole) * (at(v.x, place-k*speed) - l.low)
		}
	}
	l.set(e.Level)
	return l
}

// weigh measures how the power of a voice divides.
func (l *loudness) weigh(v *voice, speed float64) {
	const looked = 0.2 * Rate // samples
	var lower, both, top float64
	for k := range int(looked) {
		x := at(v.x, v.steady+float64(k)*speed)
		l.low += (1 - l.pole) * (x - l.low)
		lower, both, top = lower+l.low*l.low, both+l.low*(x-l.low), top+(x-l.low)*(x-l.low)
	}
	whole := lower + 2*both + top
	l.lower, l.both, l.top = lower/whole, both/whole, top/whole
}

func (l *loudness) set(level float64) {
	l.upper = math.Pow(10, l.tone.Bright*level/20)
	l.gain = math.Pow(10, level/20)
	if l.tone.Bright != 0 {
		l.gain /= math.Sqrt(l.lower + 2*l.both*l.upper + l.top*l.upper*l.upper)
	}
}

// next is the sample x at second t.
func (l *loudness) next(t, x float64) float64 {
	if l.tone.Swell != nil && l.age%swellStep == 0 {
		l.set(l.tone.Level + l.tone.along(l.tone.Swell, t))
	}
	l.age++
	if l.tone.Bright == 0 {
		return l.gain * x
	}
	l.low += (1 - l.pole) * (x - l.low)
	return l.gain * (l.low + l.upper*(x-l.low))
}

// along reads values at equal distances from Start to End; they hold on outside.
func (e *Tone) along(v []float64, t float64) float64 {
	if len(v) < 2 || !(e.Start < e.End) {
		return v[0]
	}
	return between(v, (t-e.Start)/(e.End-e.Start)*float64(len(v)-1))
}

// fade is the share of the tone that sounds at t.
func (e *Tone) fade(t, from float64, before, after *Tone) float64 {
	g := 1.0
	switch {
	case before != nil && t < e.Start+joinLong/2:
		g = risen((t-e.Start+joinLong/2)/joinLong, e.Matched)
	case before == nil && t < from+fadeIn:
		g = (t - from) / fadeIn
	}
	switch {
	case after != nil && t > after.Start-joinLong/2:
		g *= risen(1-(t-after.Start+joinLong/2)/joinLong, after.Matched)
	case after == nil && t > e.End-releaseLong/2:
		g *= 0.5 + 0.5*math.Cos(math.Pi*(t-e.End+releaseLong/2)/releaseLong)
	}
	return g
}

// risen is the share of a tone after a share u of a join: what two waves in phase
// make is even when the shares add up, else when their squares do.
func risen(u float64, matched bool) float64 {
	s := math.Sin(math.Pi / 2 * u)
	if matched {
		return s * s
	}
	return s
}

// frequency is the pitch at t in Hz.
func (e *Tone) frequency(t float64, before, after *Tone) float64 {
	f := e.own(t)
	switch {
	case before != nil && t < e.Start+joinLong/2:
		f = glide(before.own(t), f, (t-e.Start+joinLong/2)/joinLong)
	case after != nil && t > after.Start-joinLong/2:
		f = glide(f, after.own(t), (t-after.Start+joinLong/2)/joinLong)
	}
	return f
}

// own is the pitch at t without joins. With an even arm the period changes
// evenly.
func (e *Tone) own(t float64) float64 {
	f := e.Hz
	if e.HzEnd != e.Hz {
		u := max(0, min((t-e.Start)/(e.End-e.Start), 1))
		f = 1 / ((1-u)/e.Hz + u/e.HzEnd)
	}
	if since := t - e.Start - VibratoFrom; e.Vibrato > 0 && since > 0 {
		f *= ratio(e.Vibrato * math.Sin(2*math.Pi*vibratoRate*since))
	}
	if e.Bend != nil {
		f *= ratio(e.along(e.Bend, t))
	}
	return f
}

// glide goes from a to b in cents, by a raised cosine over u from 0 to 1.
func glide(a, b, u float64) float64 {
	return a * math.Pow(b/a, 0.5-0.5*math.Cos(math.Pi*max(0, min(u, 1))))
}
