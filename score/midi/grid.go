package midi

import (
	"fmt"
	"math"
	"slices"

	"waterkey/score"

	"gitlab.com/gomidi/midi/v2/smf"
)

// grid maps a performance to ticks.
type grid struct {
	pf       *score.Performance
	perWhole int64 // ticks to a whole note
	shares   []float64
	slides   map[int]float64
}

// tick is the one nearest to a moment in seconds.
func (g grid) tick(s score.Seconds) int64 {
	return max(int64(math.Round(g.pf.Moment(s)*float64(g.perWhole))), 0)
}

// tickAt is the one nearest to a moment of the page in played order.
func (g grid) tickAt(t score.Time) int64 {
	return int64(math.Round(t.Float() * float64(g.perWhole)))
}

// seconds is when a tick sounds.
func (g grid) seconds(tick int64) float64 {
	return float64(g.pf.Seconds(score.Frac(tick, g.perWhole)))
}

// turns lists, in order and once each, the ticks at which the tempo may change:
// bar lines, tempo marks and the ends of fermatas.
func (g grid) turns() []int64 {
	p := g.pf.Part
	out := []int64{0, g.tickAt(g.pf.EndTime())}
	for _, b := range g.pf.Bars {
		bar := p.Bars[b.Bar]
		out = append(out, g.tickAt(b.At))
		for _, t := range p.Tempos {
			if !t.At.Less(bar.Start) && t.At.Less(bar.End()) {
				out = append(out, g.tickAt(b.At.Add(t.At.Sub(bar.Start))))
			}
		}
		for _, r := range p.Rests {
			if r.Fermata && r.Bar == b.Bar {
				at := b.At.Add(r.Onset.Sub(bar.Start))
				out = append(out, g.tickAt(at), g.tickAt(at.Add(r.Duration)))
			}
		}
	}
	for i, n := range g.pf.Notes {
		if g.pf.Written(i).Marks.Has(score.Fermata) {
			out = append(out, g.tickAt(n.At), g.tickAt(n.At.Add(n.Duration)))
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

const (
	micro = 1e6 // microseconds to a second
	// slowest is the longest quarter note that three bytes hold, in
	// microseconds.
	slowest = 1<<24 - 1
	// drift is how far the file may be from the clock at the end of a
	// stretch, in seconds, before its tempo is set anew: a tempo is a whole
	// number of microseconds, so that long stretches would run away (estimate:
	// a tenth of a tick).
	drift = 50e-6
)

// tempos is the tempo map. Each tempo is chosen so that the file meets the
// clock at the end of its stretch.
func (g grid) tempos() ([]event, error) {
	var out []event
	turns := g.turns()
	now, current := 0.0, 0.0 // seconds of the file, microseconds to a quarter
	for i := 0; i+1 < len(turns); i++ {
		quarters := 4 * float64(turns[i+1]-turns[i]) / float64(g.perWhole)
		goal := g.seconds(turns[i+1])
		if math.Abs(now+current*quarters/micro-goal) > drift {
			current = math.Round((goal - now) * micro / quarters)
			if current < 1 || current > slowest {
				return nil, fmt.Errorf("%.3g quarter notes a minute do not fit into a MIDI file, which holds %.3g and more; try a tempo of %d",
					60*micro/current, 60*micro/float64(slowest), score.DefaultBPM)
			}
			out = append(out, event{tick: turns[i], message: smf.MetaTempo(60 * micro / current)})
		}
		now += current * quarters / micro
	}
	return out, nil
}

// meters lists the time signatures. A bar that is shorter or longer than its
// meter has one of its own, so that the bar lines of the file are those of the
// page. Signatures that MIDI cannot hold are left out.
func (g grid) meters() []event {
	var out []event
	var last [2]int64
	for _, b := range g.pf.Bars {
		bar := g.pf.Part.Bars[b.Bar]
		now := [2]int64{int64(bar.Meter.Beats), int64(bar.Meter.Unit)}
		if bar.Meter.Length() != bar.Length {
			now = [2]int64{bar.Length.Num(), bar.Length.Den()}
		}
		if now == last || now[0] < 1 || now[0] > 255 || now[1] < 1 || now[1] > 64 || now[1]&(now[1]-1) != 0 {
			continue
		}
		last = now
		unit, _ := g.pf.Part.Felt(b.Bar)
		clocks := min(max(unit.Float()*clocksPerWhole, 1), 255)
		out = append(out, event{tick: g.tickAt(b.At),
			message: smf.MetaTimeSig(uint8(now[0]), uint8(now[1]), uint8(clocks), thirtySeconds)})
	}
	return out
}

const (
	clocksPerWhole = 96 // MIDI clocks
	thirtySeconds  = 8  // to a quarter note
	mostFifths     = 7  // sharps or flats of a key signature
)

// keys lists the key signatures. Church modes are written by their signature as
// major; signatures that are no row of sharps or flats are left out.
func (g grid) keys() []event {
	var out []event
	var last score.Key
	for i, b := range g.pf.Bars {
		key := g.pf.Part.Bars[b.Bar].Key
		if i > 0 && key.Fifths == last.Fifths && key.Mode == last.Mode || key.Other != nil ||
			key.Fifths < -mostFifths || key.Fifths > mostFifths {
			continue
		}
		last = key
		count := max(key.Fifths, -key.Fifths)
		out = append(out, event{tick: g.tickAt(b.At),
			message: smf.MetaKey(0, key.Mode != "minor", uint8(count), key.Fifths < 0)})
	}
	return out
}
