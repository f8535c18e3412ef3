package onset

import (
	"cmp"
	"math"
	"slices"

	"waterkey/hear/pitch"
)

const (
	together = 8.0 // frames: cuts closer than 40 ms are one, since no two notes are (estimate)

	// plainRise is a rise in dB that marks the moment of a note better than
	// the crossing of the pitch does (estimate).
	plainRise = 6.0

	// A sound ends where its level has fallen so many dB within fallReach
	// frames: half the amplitude, as a listener's length of a note (estimate).
	endFall   = 6.0
	fallReach = 12 // frames

	shortest = 6 // frames: what is shorter is a click and no note
)

// merge sorts the cuts and joins those that belong to one onset.
func merge(cuts []cut) []cut {
	slices.SortStableFunc(cuts, func(a, b cut) int { return cmp.Compare(a.at, b.at) })
	var out []cut
	for _, c := range cuts {
		if n := len(out); n > 0 && c.at-out[n-1].at < together && !(out[n-1].glide && c.step == 0 && c.rise == 0) {
			out[n-1] = joined(out[n-1], c)
			continue
		}
		out = append(out, c)
	}
	return out
}

// joined is one cut for two: the moment is that of a plain rise, else that of
// the step.
func joined(a, b cut) cut {
	out := a
	if b.rise > a.rise && (b.rise >= plainRise || a.step == 0) || a.rise < plainRise && b.step != 0 {
		out.at, out.doubt = b.at, b.doubt
	}
	out.rise, out.dip = max(a.rise, b.rise), max(a.dip, b.dip)
	if out.step = a.step; math.Abs(b.step) > math.Abs(a.step) {
		out.step = b.step
	}
	out.glide, out.reach = a.glide || b.glide, a.reach+b.reach
	return out
}

// sounds measures the stretches between the cuts. Where the level rises above
// the gate so slowly that no cut was made, one is added.
func (s *scene) sounds(cuts []cut) []Sound {
	cuts = s.withSlowStarts(cuts)
	var out []Sound
	for k, c := range cuts {
		from, to := int(math.Round(c.at)), len(s.env)
		end := float64(len(s.env))
		if k+1 < len(cuts) {
			end = cuts[k+1].at
			to = int(math.Round(end))
		}
		if stop := s.fall(from, to); stop < end {
			end = stop
		}
		if end-c.at < shortest {
			continue
		}
		v := Sound{Start: c.at * pitch.Hop, End: end * pitch.Hop, Rise: c.rise, Dip: c.dip, Step: c.step, Glide: c.glide, Reach: c.reach, Doubt: c.doubt}
		s.measure(&v, from, int(end))
		if len(out) > 0 {
			v.Gap = v.Start - out[len(out)-1].End
		}
		if s.pitched(from, int(end)) && !echo(out, v) {
			out = append(out, v)
		}
	}
	return out
}

// leastPitched is the share of a sound's frames that must have a pitch: noise
// has less, and so has a click (estimate).
const leastPitched = 0.35

// pitched says whether the frames from a to b are the sound of an instrument.
func (s *scene) pitched(a, b int) bool {
	b = min(max(b, a+1), len(s.cents))
	voiced := 0
	for _, c := range s.cents[a:b] {
		if !math.IsNaN(c) {
			voiced++
		}
	}
	return float64(voiced) >= leastPitched*float64(b-a)
}

// echo says whether v is the room's answer to one of the sounds before it: far
// softer, soon after, and without an attack of its own.
func echo(before []Sound, v Sound) bool {
	const (
		softer = 15.0 // dB (estimate: a sudden piano under a slur is less)
		soon   = 1.0  // s
		attack = 8.0  // dB
	)
	for i := len(before) - 1; i >= 0 && v.Start-before[i].End < soon; i-- {
		if v.LevelDB < before[i].LevelDB-softer && v.Rise < attack {
			return true
		}
	}
	return false
}

// withSlowStarts adds a cut wherever sound begins without one.
func (s *scene) withSlowStarts(cuts []cut) []cut {
	const grace = 12 // frames between gate and cut (estimate)
	var out []cut
	k := 0
	for i := range s.env {
		if s.env[i] < s.gate || i > 0 && s.env[i-1] >= s.gate {
			continue
		}
		for k < len(cuts) && cuts[k].at < float64(i-grace) {
			out, k = append(out, cuts[k]), k+1
		}
		if k < len(cuts) && cuts[k].rise >= plainRise && cuts[k].low <= float64(i) {
			continue // the first stage of that rise
		}
		if k == len(cuts) || cuts[k].at > float64(i+grace) {
			out = append(out, cut{at: float64(i), doubt: coarseDoubt})
		}
	}
	return append(out, cuts[k:]...)
}

// fall finds where the sound from frame a on, before frame b, has died away,
// in frames; b when it goes on.
func (s *scene) fall(a, b int) float64 {
	for i := a + 1; i < b; i++ {
		before := slices.Max(s.env[max(i-fallReach, a):i])
		if s.env[i] > before-endFall && s.env[i] >= s.gate {
			continue
		}
		if s.recovers(i, b, before) {
			continue
		}
		level := max(before-endFall, s.gate)
		d := s.env[i-1] - s.env[i]
		if d <= 0 {
			return float64(i)
		}
		return float64(i) - max(0, min((level-s.env[i])/d, 1))
	}
	return float64(b)
}

// recovers says whether the level comes back soon and before frame b: a dip
// inside one sound. The envelope's window reaches ahead, so the last frames
// before b belong to the next sound.
func (s *scene) recovers(i, b int, before float64) bool {
	const (
		back  = 3.0 // dB: so near its old level (estimate)
		soon  = 30  // frames (estimate)
		ahead = 8   // frames: half the envelope's window, rounded up
	)
	to := min(i+soon, b-ahead)
	return i < to && slices.Max(s.env[i:to]) > before-back
}

// measure fills in pitch and level from the frames a to b.
func (s *scene) measure(v *Sound, a, b int) {
	b = min(max(b, a+1), len(s.env))
	v.LevelDB = median(s.env[a:b])
	// The attack and the release are no steady pitch.
	edge := min((b-a)/4, 8)
	v.Cents = median(s.cents[a+edge : b-edge])
	if math.IsNaN(v.Cents) {
		v.Cents = median(s.cents[a:b])
	}
}
