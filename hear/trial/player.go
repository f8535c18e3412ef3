package trial

import "math"

// event is one sound of a take.
type event struct {
	note       int // of the performance; -1 for what the page does not have
	start, end float64
	hz, hzEnd  float64 // moved evenly by the arm from one to the other
	level      float64 // dB above mezzo-forte
	joined     bool    // slurred from the event before
	vibrato    float64 // cents
}

const (
	joinLong    = 0.030 // s: pitch and air go over from one slurred note to the next in this (estimate)
	releaseLong = 0.040 // s: a release goes down in this, half amplitude in its middle (estimate)
	fadeIn      = 0.005 // s: before the onset, so that the cut makes no click
	vibratoRate = 5.5   // Hz
	vibratoFrom = 0.25  // s: held before it begins
)

// sing renders events, in order of time, with the voices of set k.
func (b *Bank) sing(events []event, k int, seconds float64) []float64 {
	out := make([]float64, int(seconds*rate))
	for i := range events {
		var before, after *event
		if events[i].joined {
			before = &events[i-1]
		}
		if i+1 < len(events) && events[i+1].joined {
			after = &events[i+1]
		}
		b.singOne(out, &events[i], before, after, k)
	}
	return out
}

func (b *Bank) singOne(out []float64, e, before, after *event, k int) {
	v := b.voice(k, math.Sqrt(e.hz*e.hzEnd))
	gain := math.Pow(10, e.level/20)
	from, place := e.start-v.onset/rate*v.hz/e.hz, 0.0
	if before != nil {
		from, place = e.start-joinLong/2, v.steady
	}
	to := e.end + releaseLong/2
	if after != nil {
		to = after.start + joinLong/2
	}
	first := max(int(math.Ceil(from*rate)), 0)
	if before == nil { // the onset falls on its moment exactly
		place = v.onset + (float64(first)/rate-e.start)*rate*e.hz/v.hz
	}
	for i := first; i < min(int(to*rate), len(out)); i++ {
		t := float64(i) / rate
		out[i] += gain * e.fade(t, from, before, after) * at(v.x, place)
		place += e.frequency(t, before, after) / v.hz
	}
}

// fade is the share of the event that sounds at t.
func (e *event) fade(t, from float64, before, after *event) float64 {
	g := 1.0
	switch {
	case before != nil && t < e.start+joinLong/2:
		g = math.Sin(math.Pi / 2 * (t - e.start + joinLong/2) / joinLong)
	case before == nil && t < from+fadeIn:
		g = (t - from) / fadeIn
	}
	switch {
	case after != nil && t > after.start-joinLong/2:
		g *= math.Cos(math.Pi / 2 * (t - after.start + joinLong/2) / joinLong)
	case after == nil && t > e.end-releaseLong/2:
		g *= 0.5 + 0.5*math.Cos(math.Pi*(t-e.end+releaseLong/2)/releaseLong)
	}
	return g
}

// frequency is the pitch at t in Hz.
func (e *event) frequency(t float64, before, after *event) float64 {
	f := e.own(t)
	switch {
	case before != nil && t < e.start+joinLong/2:
		f = glide(before.own(t), f, (t-e.start+joinLong/2)/joinLong)
	case after != nil && t > after.start-joinLong/2:
		f = glide(f, after.own(t), (t-after.start+joinLong/2)/joinLong)
	}
	return f
}

// own is the pitch at t without joins. With an even arm the period changes
// evenly.
func (e *event) own(t float64) float64 {
	f := e.hz
	if e.hzEnd != e.hz {
		u := max(0, min((t-e.start)/(e.end-e.start), 1))
		f = 1 / ((1-u)/e.hz + u/e.hzEnd)
	}
	if since := t - e.start - vibratoFrom; e.vibrato > 0 && since > 0 {
		f *= ratio(e.vibrato * math.Sin(2*math.Pi*vibratoRate*since))
	}
	return f
}

// glide goes from a to b in cents, by a raised cosine over u from 0 to 1.
func glide(a, b, u float64) float64 {
	return a * math.Pow(b/a, 0.5-0.5*math.Cos(math.Pi*max(0, min(u, 1))))
}
