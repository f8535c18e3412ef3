package sound

import (
	"cmp"
	"math"
	"slices"
)

// How a tone starts, joins and ends, in seconds and dB. All values are
// estimates; that high partials speak after low ones is J.-C. Risset and M. V.
// Mathews, "Analysis of musical-instrument tones", Physics Today 22, 1969
// (from memory).
const (
	releaseTime = 0.03  // the tone dies away in this, half of it after End
	dipTime     = 0.015 // the air is cut in this before a tongue stroke
	brightTime  = 0.06  // brightness comes in this, amplitude sooner
	darkDB      = 15.0  // how much darker a tone begins
	joinTime    = 0.012 // pitch and level move for this on both sides of a join
	settleDB    = 1.0   // a tongued tone starts above its level and settles
	settleTime  = 0.2   // in this, by a factor of e
	burstTime   = 0.12  // a sforzando's excess falls in this, by a factor of e
	gapTime     = 0.005 // Connects bridges a gap up to this
)

// strokes say for each attack how fast the amplitude rises, in seconds, and
// how much of it is left at the stroke when the air goes on (estimates).
var strokes = map[Attack]struct{ rise, floor float64 }{
	Tongued:     {0.02, 0.1},
	Legato:      {0.03, 0.35},
	Slurred:     {0.03, 1},
	Accented:    {0.012, 0.03},
	Sforzando:   {0.01, 0.03},
	NaturalSlur: {0.02, 0.55},
	LipSlur:     {0.025, 0.65},
	ValveSlur:   {0.015, 0.8},
	Swelling:    {0.8, 0},
}

// slurFloor is what every slur leaves of the sound: it is no stroke.
const slurFloor = 0.5

// breakTime is how long the pitch takes from one partial to another, on each side
// of Start, in seconds (estimate: a break is heard as one, without a click).
const breakTime = 0.006

// link is a tone of a chain with its timing resolved.
type link struct {
	Tone
	start, end  float64 // seconds
	silent      float64 // when the last sound of it is over
	rise, floor float64
	join        float64 // seconds on each side of its start and end
}

// chain is a run of tones in one breath of air: one phase through all.
type chain []link

// chains sorts brass tones and strings connected ones together. One player has
// one tone at a time: on one line a tone ends where a later one starts; tones that
// start together both sound. Tones without length or audible pitch are left out.
func chains(tones []Tone, timbre *Timbre) []chain {
	lines := map[int][]Tone{}
	var order []int
	for _, t := range tones {
		if _, ok := lines[t.Line]; !ok {
			order = append(order, t.Line)
		}
		lines[t.Line] = append(lines[t.Line], t)
	}
	slices.Sort(order)
	var out []chain
	for _, l := range order {
		out = append(out, lineChains(lines[l], timbre)...)
	}
	return out
}

// lineChains is chains for the tones of one line.
func lineChains(tones []Tone, timbre *Timbre) []chain {
	var sorted []Tone
	for _, t := range tones {
		if !t.isTick() && t.End > t.Start && audible(t.Hz) && (t.HzEnd == 0 || audible(t.HzEnd)) {
			sorted = append(sorted, t)
		}
	}
	slices.SortStableFunc(sorted, func(a, b Tone) int { return cmp.Compare(a.Start, b.Start) })
	var out []chain
	limit := math.Inf(1)
	limits := make([]float64, len(sorted))
	for i := len(sorted) - 1; i >= 0; i-- {
		if i+1 < len(sorted) && sorted[i+1].Start > sorted[i].Start {
			limit = float64(sorted[i+1].Start)
		}
		limits[i] = limit
	}
	for i, t := range sorted {
		l := newLink(t, limits[i], timbre)
		if n := len(out); n > 0 && t.Connects {
			c := out[n-1]
			if before := c[len(c)-1]; l.start > before.start && l.start-before.end <= gapTime {
				out[n-1] = append(c, l)
				continue
			}
		}
		if l.floor > slurFloor {
			l.rise = strokes[Legato].rise // nothing to slur from
		}
		l.Move = Move{}
		l.floor = 0
		out = append(out, chain{l})
	}
	return out
}

// audible says whether a frequency in Hz can be played at all: far beyond every
// brass instrument on both sides (estimate).
func audible(hz float64) bool { return hz >= 10 && hz <= 20_000 }

func newLink(t Tone, limit float64, timbre *Timbre) link {
	if t.HzEnd == 0 {
		t.HzEnd = t.Hz
	}
	stroke := strokes[t.Attack]
	l := link{Tone: t, start: float64(t.Start), end: min(float64(t.End), limit), floor: stroke.floor}
	length := l.end - l.start
	l.rise = min(stroke.rise+timbre.speaks/t.Hz, length/3)
	l.join = min(joinTime, length/4)
	l.silent = min(l.end+min(releaseTime, length/2)/2, limit)
	return l
}

// at is the state of the i-th tone of the chain at t seconds, which lies
// between its start and the start of the next.
func (c chain) at(i int, t float64) control {
	l := c[i]
	hz, db := c.hz(i, t), l.level(t)
	gain, dark := l.attack(t), l.dark(t)
	if i > 0 {
		if j := min(l.join, c[i-1].join); t < l.start+j {
			db = mix(c[i-1].level(t), db, ease((t-l.start+j)/(2*j)))
		}
	}
	if i+1 < len(c) {
		next := c[i+1]
		gain *= 1 - (1-next.floor)*(1-ease((next.start-t)/min(dipTime, (l.end-l.start)/4)))
		if j := min(l.join, next.join); t > next.start-j {
			db = mix(db, next.level(t), ease((t-next.start+j)/(2*j)))
		}
	} else {
		gain *= ease((l.silent - t) / min(releaseTime, (l.end-l.start)/2))
	}
	db = min(max(db, softestDB), loudestDB)
	return control{hz: hz, gain: gain * math.Pow(10, (ReferenceDBFS+db)/20), brightness: db - dark}
}

// hz is the fundamental while tone i sounds: on its way from the tone before, on
// its own, or on its way to the next.
func (c chain) hz(i int, t float64) float64 {
	for _, k := range [2]int{i, i + 1} {
		if k == 0 || k == len(c) {
			continue
		}
		from, to := c[k-1], c[k]
		half := min(to.join, from.join)
		if to.Move.Seconds > 0 {
			half = float64(to.Move.Seconds) / 2
		}
		if t >= to.start+half || t <= to.start-half {
			continue
		}
		if to.Move.Seconds > 0 {
			return moving(from, to, t)
		}
		return blend(from.hz(t), to.hz(t), ease((t-to.start+half)/(2*half)))
	}
	return c[i].hz(t)
}

// moving is the fundamental while the slide moves from one tone to another: the
// periods of both partials follow the slide, and the tone breaks from one to the
// other.
func moving(from, to link, t float64) float64 {
	m := to.Move
	half := float64(m.Seconds) / 2
	u := minimumJerk((t - to.start + half) / (2 * half))
	old := mix(1/from.HzEnd, 1/m.LeaveHz, u)
	now := mix(1/m.ArriveHz, 1/to.Hz, u)
	brk := min(breakTime, half)
	return blend(1/old, 1/now, ease((t-to.start+brk)/(2*brk)))
}

// hz is the fundamental: over a glissando the slide moves evenly, so that the
// sounding length, and with it the period, changes evenly.
func (l link) hz(t float64) float64 {
	if l.HzEnd == l.Hz {
		return l.Hz
	}
	u := min(max((t-l.start)/(l.end-l.start), 0), 1)
	return 1 / mix(1/l.Hz, 1/l.HzEnd, u)
}

// level is in dB relative to mezzo-forte.
func (l link) level(t float64) float64 {
	since := max(t-l.start, 0)
	db := l.Level + swellAt(l.Swell, since/(l.end-l.start))
	if l.floor < slurFloor {
		db += settleDB * math.Exp(-since/settleTime)
	}
	if l.Burst != 0 {
		db += l.Burst * math.Exp(-since/burstTime)
	}
	return db
}

// attack is the share of the amplitude that has come.
func (l link) attack(t float64) float64 {
	return l.floor + (1-l.floor)*ease((t-l.start)/l.rise)
}

// dark is what is still missing of the brightness, in dB.
func (l link) dark(t float64) float64 {
	return darkDB * (1 - l.floor) * (1 - ease((t-l.start)/min(brightTime, l.end-l.start)))
}

// swellAt reads a swell at a share u of the tone.
func swellAt(swell []float64, u float64) float64 {
	if len(swell) < 2 {
		return 0
	}
	at := min(max(u, 0), 1) * float64(len(swell)-1)
	k := min(int(at), len(swell)-2)
	return mix(swell[k], swell[k+1], at-float64(k))
}

func mix(a, b, w float64) float64 { return a + (b-a)*w }

// blend mixes two frequencies evenly in pitch.
func blend(a, b, w float64) float64 { return a * math.Pow(b/a, w) }

// ease runs from 0 to 1 without a corner at either end.
func ease(u float64) float64 {
	u = min(max(u, 0), 1)
	return u * u * (3 - 2*u)
}
