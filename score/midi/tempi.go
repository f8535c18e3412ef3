package midi

import (
	"fmt"
	"math"
	"sort"

	"waterkey/score"
)

const impliedQuarter = 500_000 // microseconds: 120 quarter notes a minute

// tempoClock maps ticks to seconds.
type tempoClock struct {
	perQuarter float64 // ticks
	points     []clockTick
}

// clockTick starts a stretch of steady tempo.
type clockTick struct {
	tick int64
	s    float64 // seconds
	us   int     // microseconds to a quarter note
}

func newClock(d *Document) tempoClock {
	c := tempoClock{perQuarter: float64(d.perWhole) / 4, points: []clockTick{{us: impliedQuarter}}}
	for _, t := range d.tempos {
		last := &c.points[len(c.points)-1]
		switch {
		case last.tick == t.tick:
			last.us = t.perQuarter
		case last.us != t.perQuarter:
			c.points = append(c.points, clockTick{t.tick, c.seconds(t.tick), t.perQuarter})
		}
	}
	return c
}

// seconds is when a tick sounds.
func (c tempoClock) seconds(tick int64) float64 {
	i := sort.Search(len(c.points), func(i int) bool { return tick < c.points[i].tick }) - 1
	p := c.points[max(i, 0)]
	return p.s + float64(tick-p.tick)/c.perQuarter*float64(p.us)/micro
}

// pace is a stretch of the tempo map that is told as one tempo.
type pace struct {
	from, to int64
	us       float64 // microseconds to a quarter note
	long     bool    // it lasts a bar or more
}

// Bounds on what is a tempo of the page. Both are estimates.
const (
	// sameTempo is how little a tempo may change to be the same: a fiftieth,
	// less than listeners tell apart with certainty.
	sameTempo = 0.02
	// passing is how many bars a restless passage must last to get a tempo of
	// its own.
	passing = 2
)

// paces joins tempos that are the same.
func (r *reader) paces() []pace {
	var out []pace
	end := max(r.doc.end, 1)
	for i, p := range r.clock.points {
		to := end
		if i+1 < len(r.clock.points) {
			to = min(r.clock.points[i+1].tick, end)
		}
		if p.tick >= to {
			break
		}
		if k := len(out) - 1; k >= 0 && math.Abs(float64(p.us)/out[k].us-1) <= sameTempo {
			out[k].to = to
			continue
		}
		out = append(out, pace{from: p.tick, to: to, us: float64(p.us)})
	}
	for i := range out {
		bar := r.out.Bars[barOf(r.out.Bars, r.at(out[i].from))]
		out[i].long = !r.at(out[i].to - out[i].from).Less(bar.Length)
	}
	return r.hold(out)
}

// held is how much slower than before a fermata is (estimate; ours are by
// half).
const held = 1.2

// hold makes fermatas of tempos that are slower than before for one note or
// rest exactly, and leaves them out.
func (r *reader) hold(paces []pace) []pace {
	marks := map[[2]score.Time]func(){}
	for i := range r.out.Notes {
		n := &r.out.Notes[i]
		marks[[2]score.Time{n.Onset, n.End()}] = func() { n.Marks |= score.Fermata }
	}
	for i := range r.out.Rests {
		n := &r.out.Rests[i]
		marks[[2]score.Time{n.Onset, n.Onset.Add(n.Duration)}] = func() { n.Fermata = true }
	}
	var out []pace
	for i, p := range paces {
		around := p.us
		if len(out) > 0 {
			around = out[len(out)-1].us
		} else if i+1 < len(paces) {
			around = paces[i+1].us
		}
		mark := marks[[2]score.Time{r.at(p.from), r.at(p.to)}]
		if mark == nil || p.us < held*around {
			out = append(out, p)
			continue
		}
		mark()
		r.log.add(r.at(p.from), "a tempo slower for one note was read as a fermata")
	}
	return out
}

// layTempos makes tempo marks of the tempo map. A tempo that lasts less than a
// bar is no mark: it is a fermata, a ritardando or the sway of a recording. A
// passage of such tempos that lasts two bars or more gets one mark, with its
// mean tempo; a shorter one at the start takes the tempo that follows.
func (r *reader) layTempos() {
	paces := r.paces()
	left := 0
	for i := 0; i < len(paces); {
		p := paces[i]
		j := i + 1
		if !p.long {
			for j < len(paces) && !paces[j].long {
				j++
			}
			p.to = paces[j-1].to
			p.us = micro * r.clock.perQuarter * (r.clock.seconds(p.to) - r.clock.seconds(p.from)) / float64(p.to-p.from)
			left += j - i
			if bar := r.out.Bars[barOf(r.out.Bars, r.at(p.from))]; r.at(p.to - p.from).Less(bar.Length.Scale(passing, 1)) {
				if i > 0 || j < len(paces) {
					i = j
					continue
				}
				left -= j - i
			}
		}
		r.addTempo(p)
		i = j
	}
	if left > 0 {
		r.log.addWhole(fmt.Sprintf("%d tempos that last less than a bar (fermatas, ritardandos, rubato) were left out", left))
	}
}

// addTempo puts a mark unless the tempo goes on. The first one stands at the
// start.
func (r *reader) addTempo(p pace) {
	marks := &r.out.Tempos
	at := r.nearSixteenth(r.at(p.from))
	if len(*marks) == 0 {
		at = score.Time{}
	}
	bar := barOf(r.out.Bars, at)
	unit := r.felt[bar]
	mark := score.TempoMark{At: at, Bar: bar, Unit: unit, BPM: roundBPM(p.us, unit)}
	if n := len(*marks); n > 0 {
		last := (*marks)[n-1]
		was, is := last.BPM*last.Unit.Float(), mark.BPM*unit.Float()
		if math.Abs(is/was-1) <= sameTempo {
			return
		}
	}
	*marks = append(*marks, mark)
}

// nearSixteenth is the nearest sixteenth of the bar: marks stand at beats.
func (r *reader) nearSixteenth(at score.Time) score.Time {
	bar := r.out.Bars[barOf(r.out.Bars, at)]
	k := math.Round(at.Sub(bar.Start).Float() * 16)
	return bar.Start.Add(score.Frac(int64(k), 16))
}

// roundBPM is the tempo in a unit with as few decimals as hold it to a
// ten-thousandth, at most three: programs round tempos to microseconds, and
// some make up for it later.
func roundBPM(us float64, unit score.Time) float64 {
	const decimals, near = 3, 1e-4
	quarters := 4 * unit.Float()
	bpm := 60 * micro / us / quarters
	for d := range decimals {
		rounded := math.Round(bpm*math.Pow10(d)) / math.Pow10(d)
		if math.Abs(rounded/bpm-1) <= near {
			return rounded
		}
	}
	return math.Round(bpm*math.Pow10(decimals)) / math.Pow10(decimals)
}
