package reading

import (
	"math"
	"sort"

	"waterkey/score"
)

// What gives a note weight in its phrase, in units of a downbeat. Where weight
// comes from is common practice (downbeats, long notes, high points, accents,
// leaning notes); how much each counts is an estimate.
const (
	downbeatWeight = 1.0
	middleWeight   = 0.5 // the middle of a bar of four felt beats
	beatWeight     = 0.25
	lengthWeight   = 0.5 // for each doubling against the middle value of the phrase
	turnWeight     = 0.5 // a note higher than both neighbors
	peakWeight     = 0.75
	accentWeight   = 0.75
	tenutoWeight   = 0.25
	arrivalWeight  = 0.75 // a crescendo ends on it
	leaningWeight  = 1.25 // an appoggiatura: see leans
	// forwardWeight is for the end of a phrase against its beginning: a line goes
	// forward.
	forwardWeight = 0.3
)

// Height of a note as the high point of a phrase, in semitones: a level step
// and a doubling of length count for two each (estimate).
const (
	levelHeight  = 2.0
	lengthHeight = 2.0
)

// peakAndGoal finds the high point of a phrase and the note with the most weight
// in it, as notes of the page. A phrase does not lead to the note it sets out from,
// and one of a single pitch leads nowhere: forward is false.
func (l *line) peakAndGoal(ph lineSpan) (peak, goal int, forward bool) {
	mid := l.middleLength(ph)
	top := l.highest(ph, mid)
	best, most := ph.from, math.Inf(-1)
	for i := ph.from + 1; i <= ph.to; i++ {
		w := l.weight(i, ph, mid) + forwardWeight*float64(i-ph.from)/float64(ph.to-ph.from)
		if i == top {
			w += peakWeight
		}
		if w > most {
			best, most = i, w
		}
	}
	return l.notes[top], l.notes[best], !l.onePitch(ph)
}

// highest is the high point of a phrase; of equals, the one on the stronger beat, then
// the last.
func (l *line) highest(ph lineSpan, mid float64) int {
	top, height := ph.from, math.Inf(-1)
	for i := ph.from; i <= ph.to; i++ {
		n := l.note(i)
		h := float64(n.Pitch.MIDI()) + levelHeight*l.levels.At(n.Onset) + lengthHeight*doublings(l.length(i), mid)
		if h > height || h == height && l.onBeat(i) >= l.onBeat(top) {
			top, height = i, h
		}
	}
	return top
}

func (l *line) onePitch(ph lineSpan) bool {
	for i := ph.from; i < ph.to; i++ {
		if l.note(i).Pitch.MIDI() != l.note(i+1).Pitch.MIDI() {
			return false
		}
	}
	return true
}

// weight is how much a note weighs in its phrase, whose middle value is mid.
func (l *line) weight(i int, ph lineSpan, mid float64) float64 {
	n := l.note(i)
	w := l.onBeat(i) + lengthWeight*doublings(l.length(i), mid)
	if l.isTurn(i, ph) {
		w += turnWeight
	}
	if n.Marks.Any(score.Accent|score.Marcato) || n.Attack != "" {
		w += accentWeight
	}
	if n.Marks.Has(score.Tenuto) {
		w += tenutoWeight
	}
	if l.arrivals[i] {
		w += arrivalWeight
	}
	if l.leans(i, ph) {
		w += leaningWeight
	}
	return w
}

// doublings is how often a value doubles another, from -1 to 2: beyond that no
// one hears more weight (estimate).
func doublings(value, mid float64) float64 {
	return min(max(math.Log2(value/mid), -1), 2)
}

// onBeat is the weight of a note's place in the bar.
func (l *line) onBeat(i int) float64 {
	at := l.placeInBar(i)
	if at.Sign() == 0 {
		return downbeatWeight
	}
	unit, beats := l.p.Part.Felt(l.note(i).Bar)
	if beats == 0 {
		return 0
	}
	beat := at.Over(unit)
	switch {
	case beat != math.Trunc(beat):
		return 0
	case beats == 4 && beat == 2:
		return middleWeight
	}
	return beatWeight
}

// isTurn says whether a note is higher than both neighbors in its phrase.
func (l *line) isTurn(i int, ph lineSpan) bool {
	return i > ph.from && i < ph.to && l.rise(i-1) > 0 && l.rise(i) < 0
}

// rise is the semitones from note i up to the next.
func (l *line) rise(i int) int { return l.note(i+1).Pitch.MIDI() - l.note(i).Pitch.MIDI() }

// place is the note's place among the white keys: one step apart is one staff place.
func (l *line) place(i int) int {
	return staffPlace(l.note(i).Pitch)
}

// leans says whether a note is one that leans on the next, as far as the line
// alone shows it: on a beat stronger than the next note's, slurred to it, a step
// above it, reached by a leap or held over from the same pitch, and the line does
// not simply run on downward (common practice for the appoggiatura and the prepared
// suspension; the harmony, which would settle it, is not on the page).
func (l *line) leans(i int, ph lineSpan) bool {
	if i == ph.from || i == ph.to || !l.note(i).SlurTo || l.onBeat(i) <= l.onBeat(i+1) {
		return false
	}
	const leapFrom = 3 // semitones: more than a step
	into, out := l.rise(i-1), l.rise(i)
	if out != -1 && out != -2 || l.place(i)-l.place(i+1) != 1 || into != 0 && abs(into) < leapFrom {
		return false
	}
	if i+1 == ph.to {
		return true
	}
	on := l.rise(i + 1)
	return on > 0 || on < -2 || l.length(i+1) > l.length(i) || l.silence(i+1) > 0
}

// findArrivals gives the notes on which crescendos end: the first at the tip or
// after it, no later than the next bar.
func (l *line) findArrivals() map[int]bool {
	out := map[int]bool{}
	for _, w := range l.p.Part.Wedges {
		k := sort.Search(len(l.notes), func(k int) bool { return !l.note(k).Onset.Less(w.To) })
		if w.Grow && k < len(l.notes) && l.note(k).Bar <= w.ToBar+1 {
			out[k] = true
		}
	}
	return out
}
