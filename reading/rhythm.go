package reading

import (
	"fmt"
	"sort"

	"waterkey/score"
)

// The rhythm stage has a file for each subject: feel.go, grouping.go and meter.go
// (how the meter is felt and counted), subdivision.go, barsum.go, rest.go,
// figure.go (dotted figures), tuplet.go, tie.go, metricweight.go and
// syncopation.go, hemiola.go and tempo.go. This file holds what they share.

// How fast a figure is, in seconds for its shortest note: half a second can be
// placed with care note by note, a tenth is about as fast as one can tongue
// singly (estimates).
const (
	easySeconds = 0.5
	hardSeconds = 0.1
)

// manyPlaces is how many places of a figure make it a habit of the page
// (estimate).
const manyPlaces = 8

// hard is how hard a figure is, 0 to 1: three parts speed, one part how often it
// comes (estimate).
func hard(seconds float64, places int) float64 {
	speed := (easySeconds - seconds) / (easySeconds - hardSeconds)
	often := float64(places-1) / manyPlaces
	return 0.75*min(max(speed, 0), 1) + 0.25*min(max(often, 0), 1)
}

// felt is [score.Part.Felt], looked up once for the whole page.
func (p *Page) felt(bar int) (unit score.Time, beats int) {
	if p.feltBeats == nil {
		p.feltBeats = p.Part.FeltBeats()
	}
	return p.feltBeats[bar].Unit, p.feltBeats[bar].Count
}

// lasts is how many seconds a note value takes where note i stands.
func (p *Page) lasts(i int, value score.Time) float64 {
	d := p.note(i).Duration
	if d.Sign() == 0 {
		return easySeconds // a grace note has no value of its own
	}
	return p.seconds(i) * value.Over(d)
}

// quickest is the least time that value, asked of each note, takes.
func (p *Page) quickest(notes []int, value func(i int) score.Time) float64 {
	least := easySeconds
	for _, i := range notes {
		least = min(least, p.lasts(i, value(i)))
	}
	return least
}

// noteFrom is the first note at or after a moment; p.notes() when there is none.
func (p *Page) noteFrom(at score.Time) int {
	return sort.Search(p.notes(), func(i int) bool { return !p.note(i).Onset.Less(at) })
}

// joins says whether note i+1 follows note i without a rest.
func (p *Page) joins(i int) bool {
	return i+1 < p.notes() && p.note(i+1).Onset == p.note(i).End()
}

// inTuplet says whether any part of the note is written in a tuplet.
func inTuplet(n *score.Note) bool { return n.Pieces[0].Tuplet.Actual > 0 }

// byKind gathers notes under a key, keys in order of their first note.
func byKind[K comparable](notes []int, kind func(i int) K) (order []K, groups map[K][]int) {
	groups = map[K][]int{}
	for _, i := range notes {
		k := kind(i)
		if groups[k] == nil {
			order = append(order, k)
		}
		groups[k] = append(groups[k], i)
	}
	return order, groups
}

// number is a small number in words.
func number(n int) string {
	words := []string{"none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"}
	if n < len(words) {
		return words[n]
	}
	return fmt.Sprint(n)
}

func article(word string) string {
	switch word[0] {
	case 'a', 'e', 'i', 'o', 'u':
		return "An"
	}
	return "A"
}

// noteName is a note value with the word note where American usage has it:
// "half note", "minim".
func (p *Page) noteName(t score.Time) string {
	name := p.value(t)
	if _, single := score.ParseValueName(score.ValueName(t)); single && p.Terms == score.American {
		name += " note"
	}
	return name
}

// floor is the whole number of units in t.
func floor(t, unit score.Time) int64 {
	r := t.Scale(unit.Den(), unit.Num())
	return r.Num() / r.Den()
}

// onGrid says whether t is a whole number of units.
func onGrid(t, unit score.Time) bool { return t == unit.Scale(floor(t, unit), 1) }
