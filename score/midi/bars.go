package midi

import (
	"fmt"
	"math"
	"sort"
	"strconv"

	"waterkey/score"
)

// implied is the meter that holds before any is given (Standard MIDI File 1.0:
// 4/4, and 120 quarter notes a minute).
var implied = score.Meter{Beats: 4, Unit: 4}

// trailing is how far the end of the file may reach into a bar without making
// it one: a sixteenth, for the ticks that programs add (estimate).
var trailing = score.Frac(1, 16)

// span is a meter in force from a moment on.
type span struct {
	from   score.Time
	meter  score.Meter
	clocks int
	pickup bool // the meter of one short first bar
}

// spans is the meter map without repetitions.
func (r *reader) spans() []span {
	out := []span{{meter: implied}}
	for _, m := range r.doc.meters {
		last := &out[len(out)-1]
		s := span{from: r.onGrid(last.from, r.at(m.tick)), meter: m.meter, clocks: m.clocks}
		switch {
		case last.from == s.from:
			*last = s
		case last.meter.Beats != s.meter.Beats || last.meter.Unit != s.meter.Unit:
			out = append(out, s)
		}
	}
	switch given := r.doc.meters; {
	case len(given) == 0:
		r.log.addWhole("the file gives no meter; it was read in 4/4")
	case given[0].tick > 0:
		r.log.add(score.Time{}, "no meter is given at the start; it was read in 4/4 up to the first one")
	case len(out) > 1 && out[1].from == out[0].meter.Length() && out[1].from.Less(out[1].meter.Length()):
		out[0].pickup = true
		r.log.add(score.Time{}, fmt.Sprintf("one bar of %s before %s was read as a pickup", out[0].meter, out[1].meter))
	}
	return out
}

// meterGrid is the part of a whole note that bar lines keep to: no piece is
// written with a meter that changes between two sixty-fourths.
const meterGrid = 64

// onGrid moves a change of meter to the nearest place where a bar can be cut, so
// that what follows can be written in notes.
func (r *reader) onGrid(from, at score.Time) score.Time {
	parts := at.Sub(from).Scale(meterGrid, 1)
	if parts.Den() == 1 {
		return at
	}
	moved := from.Add(score.Frac(int64(math.Round(parts.Float())), meterGrid))
	r.log.add(moved, "a change of meter between two sixty-fourths was moved to the nearer one")
	return moved
}

// layBars makes the bars up to the end of the file.
func (r *reader) layBars() error {
	end := r.at(r.doc.end)
	spans := r.spans()
	r.span = spans[len(spans)-1]
	for i, s := range spans {
		if i+1 == len(spans) {
			return r.fill(s, end.Sub(trailing), score.Time{})
		}
		next := spans[i+1].from
		if s.pickup {
			s.meter = spans[1].meter
		}
		if err := r.fill(s, next, next); err != nil {
			return err
		}
	}
	return nil
}

// fill lays bars of one meter that start before end; stop, unless 0, is where
// the last of them is cut short.
func (r *reader) fill(s span, end, stop score.Time) error {
	for at := r.barsEnd(); at.Less(end); at = r.barsEnd() {
		length := s.meter.Length()
		if stop.Sign() > 0 && stop.Less(at.Add(length)) {
			length = stop.Sub(at)
			if !s.pickup {
				r.log.add(at, "a bar is cut short by a new meter")
			}
		}
		if err := r.addBar(s, length); err != nil {
			return err
		}
	}
	return nil
}

// addBar lays one bar after the last. A pickup has the number 0.
func (r *reader) addBar(s span, length score.Time) error {
	bars := r.out.Bars
	if len(bars) == maxBars {
		return fmt.Errorf("the file is longer than the %d bars that are read; check its meters and its end", maxBars)
	}
	number := len(bars) + 1
	if s.pickup || len(bars) > 0 && bars[0].Implicit {
		number--
	}
	if len(bars) == 0 || bars[len(bars)-1].Meter.String() != s.meter.String() {
		r.out.Meters = append(r.out.Meters, score.MeterMark{At: r.barsEnd(), Bar: len(bars), Meter: s.meter})
	}
	r.out.Bars = append(bars, score.Bar{
		Number: strconv.Itoa(number), Start: r.barsEnd(), Length: length, Meter: s.meter, Implicit: s.pickup,
	})
	r.felt = append(r.felt, felt(s))
	return nil
}

// reach lays bars until a moment lies in one.
func (r *reader) reach(at score.Time) error {
	for !at.Less(r.barsEnd()) {
		if err := r.addBar(r.span, r.span.meter.Length()); err != nil {
			return err
		}
	}
	return nil
}

// barsEnd is where the next bar starts.
func (r *reader) barsEnd() score.Time {
	if n := len(r.out.Bars); n > 0 {
		return r.out.Bars[n-1].End()
	}
	return score.Time{}
}

// felt is the beat that a player feels: the file's metronome click where that
// fills the bar, otherwise the meter's. A click of 24 MIDI clocks, a quarter
// note, is what programs write without thought and counts for nothing.
func felt(s span) score.Time {
	const thoughtless = 24
	if s.clocks > 0 && s.clocks != thoughtless && !s.pickup {
		click := score.Frac(int64(s.clocks), clocksPerWhole)
		if n := s.meter.Length().Over(click); n == float64(int(n)) {
			return click
		}
	}
	return s.meter.Felt()
}

// barOf is the bar that a moment lies in; the last one after the end.
func barOf(bars []score.Bar, at score.Time) int {
	i := sort.Search(len(bars), func(i int) bool { return at.Less(bars[i].Start) })
	return max(i-1, 0)
}

// layKeys puts the key signatures where they are, and into every bar.
func (r *reader) layKeys() {
	p := r.out
	for _, k := range r.doc.keys {
		at := r.at(k.tick)
		mark := score.KeyMark{At: at, Bar: barOf(p.Bars, at), Key: k.key}
		switch n := len(p.Keys); {
		case n > 0 && p.Keys[n-1].At == at:
			p.Keys[n-1] = mark
		case n == 0 || p.Keys[n-1].Key.Name() != k.key.Name():
			p.Keys = append(p.Keys, mark)
		}
	}
	if len(p.Keys) == 0 {
		r.log.addWhole("the file gives no key; notes are spelled from their surroundings")
	}
	next := 0
	var key score.Key
	for i := range p.Bars {
		for next < len(p.Keys) && p.Keys[next].Bar <= i {
			key = p.Keys[next].Key
			next++
		}
		p.Bars[i].Key = key
	}
}
