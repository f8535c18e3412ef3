package reading

import (
	"fmt"
	"slices"
	"sort"

	"waterkey/score"
)

// Beats quicker than quickBeat a minute are no longer felt one by one: 3/4 goes
// in one, 4/4 in two. It is where Presto begins (published: the ranges behind
// score.TempoRange); that the count changes there is common practice. Beats
// slower than slowBeat are counted in their halves or thirds: 6/8 in six. At 46
// a beat lasts 1.3 s, its third 0.43 s (estimate).
const (
	quickBeat = 168.0
	slowBeat  = 46.0
)

// feel is how a meter is felt or counted.
type feel struct {
	meter  score.Meter
	unit   score.Time // the beat; in an uneven meter the part its groups are made of
	beats  int        // units in a bar, 0 in free time
	bpm    float64    // units a minute
	way    way
	groups []int // of an uneven meter; nil when the page does not show them
}

// way is how the count relates to the meter's own beat.
type way int

const (
	plain      way = iota // beat by beat
	gathered              // several beats felt as one, as they are quick
	subdivided            // the parts of the beat counted, as it is slow
	uneven                // groups of two and three
	free                  // no meter
)

// feelAt is how the bar is felt when the unit of [score.Part.Felt] comes bpm
// times a minute.
func (p *Page) feelAt(bar int, bpm float64) feel {
	m := p.Part.Bars[bar].Meter
	unit, beats := p.felt(bar)
	f := feel{meter: m, unit: unit, beats: beats, bpm: bpm}
	switch {
	case beats == 0:
		f.way = free
	case isUneven(m) && unit == score.Frac(1, int64(m.Unit)):
		f.way, f.groups = uneven, m.Groups
		if f.groups == nil {
			f.groups = p.groupsFrom(bar)
		}
	case bpm >= quickBeat:
		f = f.inGroups(gather(f))
	case bpm <= slowBeat && !p.quickWord(bar):
		f = f.inParts()
	}
	return f
}

// quickWord says whether the last tempo word up to a bar, without a number, names
// no slow tempo: nobody counts an Allegro by the parts of its beats, however slow
// a file plays it.
func (p *Page) quickWord(bar int) bool {
	const walking = 76 // the lower end of Andante (published, as in score.TempoRange)
	marks := p.Part.Tempos
	k := sort.Search(len(marks), func(k int) bool { return marks[k].Bar > bar })
	if k == 0 && p.openingMark().Text != "" {
		k = 1
	}
	for k--; k >= 0; k-- {
		if low, _, ok := score.TempoRange(marks[k].Text); ok {
			return low >= walking && marks[k].Unit.Sign() == 0
		}
	}
	return false
}

// gather is how many quick beats go together: all of two or three, two of four,
// three of the parts of a compound beat; 1 for none.
func gather(f feel) int {
	switch {
	case f.beats == 2 || f.beats == 3:
		return f.beats
	case f.meter.Compound() && f.unit == score.Frac(1, int64(f.meter.Unit)):
		return 3
	case f.beats == 4:
		return 2
	}
	return 1
}

func (f feel) inGroups(n int) feel {
	if n > 1 {
		f.way = gathered
		f.unit, f.beats, f.bpm = f.unit.Scale(int64(n), 1), f.beats/n, f.bpm/float64(n)
	}
	return f
}

// inParts counts three parts of a dotted beat, two of a plain one. A bar of one
// beat stays as it is: its mark already gathers the bar.
func (f feel) inParts() feel {
	n := 2
	if f.unit.Num() == 3 {
		n = 3
	}
	if f.beats > 1 {
		f.way = subdivided
		f.unit, f.beats, f.bpm = f.unit.Scale(1, int64(n)), f.beats*n, f.bpm*float64(n)
	}
	return f
}

// isUneven says whether a meter falls into groups of two and three: an additive
// signature, or five, seven, ten, eleven and so on of one value.
func isUneven(m score.Meter) bool {
	if m.Groups != nil {
		return slices.Min(m.Groups) != slices.Max(m.Groups)
	}
	return m.Beats > 4 && m.Beats%2 != 0 && m.Beats%3 != 0 || m.Beats == 10
}

// feelText says the feel: "cut time, felt in two: the half note is the beat".
func (p *Page) feelText(f feel) string {
	name := p.noteName(f.unit)
	switch f.way {
	case free:
		return "free time, without bars to count"
	case uneven:
		return p.unevenText(f)
	case gathered, plain:
		return fmt.Sprintf("%s, felt in %s: the %s is the beat", f.meter, number(f.beats), name)
	}
	return fmt.Sprintf("%s, so slow that it is counted in %s: the %s is the count", f.meter, number(f.beats), name)
}

// unevenText says the groups, and whether they are felt or their parts counted.
func (p *Page) unevenText(f feel) string {
	value := p.value(f.unit)
	switch {
	case f.groups == nil:
		return fmt.Sprintf("%s, counted in %s %ss that the rhythm does not group", f.meter, number(f.beats), value)
	case f.bpm >= quickBeat:
		return fmt.Sprintf("%s, felt in %s uneven beats of %s %ss", f.meter, number(len(f.groups)), groupText(f.groups), value)
	}
	return fmt.Sprintf("%s, counted in %s %ss, grouped %s", f.meter, number(f.beats), value, groupText(f.groups))
}

// groupText is "three and two".
func groupText(groups []int) string {
	var words []string
	for _, g := range groups {
		words = append(words, number(g))
	}
	return joinAnd(words)
}

// feelAdvice says how to count it.
func (p *Page) feelAdvice(f feel) string {
	switch {
	case f.way == free:
		return "Decide how long each note is beside the one before it, and keep one pulse inside."
	case f.way == uneven && f.groups == nil:
		return "Look for the grouping in the beams or the score and pencil it in before you play."
	case f.way == uneven:
		return fmt.Sprintf("Say the groups aloud, long and short, with every %s the same length.", p.value(f.unit))
	case f.way == subdivided:
		return fmt.Sprintf("Count the %ss through every long note and every rest.", p.value(f.unit))
	case f.beats == 1:
		return "One beat to the bar: feel the bars in pairs, and do not let every downbeat become an accent."
	case f.way == gathered && f.meter.Beats == 4:
		return fmt.Sprintf("Learn it in four, then let it go in two; the %ss between the beats stay light.", p.value(f.unit.Scale(1, 2)))
	case f.meter.Cut() && f.unit == score.Frac(1, 2):
		return fmt.Sprintf("Conduct it in two; the %ss lie between the beats and must not turn into four.", p.value(score.Frac(1, 4)))
	case f.unit.Num() == 3:
		return "Conduct the big beats and think three inside each."
	}
	return "Count a full bar before you put the horn up."
}

// severity is how much of a trap the feel is (estimates).
func (f feel) severity() float64 {
	switch {
	case f.way == uneven:
		return 1
	case f.way == free, f.way == gathered, f.way == subdivided:
		return 0.6
	case f.meter.Cut(), f.unit.Num() == 3:
		return 0.4
	}
	return 0
}
