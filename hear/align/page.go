package align

import (
	"math"
	"slices"
	"sort"

	"waterkey/hear/pitch"
	"waterkey/score"
)

// page is the part as the alignment sees it, in played order.
type page struct {
	notes []note
	leaps [][]leap        // by note: where a player can leap from it in tempo
	at    map[int][]int32 // by semitone above MIDI note 0: the notes that may sound so
	any   []int32         // those without a pitch
}

// note is a played note.
type note struct {
	start, end float64 // s, at the page's tempo
	cents      float64 // due, at the reference A; NaN for none
	low, high  float64 // cents that count as right, less the tolerance: wider for glissando and trill
	grace      bool
	moving     bool    // glissando, trill or tremolo
	begin      float64 // what it costs to begin here after a stop
}

// leap is a way to another place without losing the beat.
type leap struct {
	to   int
	cut  float64 // s of the page that take no time
	cost float64
	kind Kind
}

// trillReach is how far above its note a trill goes: a whole tone.
const trillReach = 200.0

func newPage(pf *score.Performance, a4 float64) *page {
	p := &page{notes: make([]note, len(pf.Notes)), leaps: make([][]leap, len(pf.Notes))}
	bars := barsOf(pf)
	for i, played := range pf.Notes {
		w := pf.Written(i)
		n := note{start: float64(played.Start), end: float64(played.End), grace: w.Grace, cents: math.NaN()}
		if w.Pitch.Step != 0 {
			n.cents = pitch.Cents(w.Pitch.Hz(a4))
		}
		n.low, n.high = n.cents, n.cents
		if w.Marks.Has(score.Trill) {
			n.high, n.moving = n.cents+trillReach, true
		}
		if w.Marks.Has(score.Tremolo) {
			n.moving = true
		}
		if w.GlissTo && i+1 < len(pf.Notes) && pf.Written(i+1).Pitch.Step != 0 {
			to := pitch.Cents(pf.Written(i + 1).Pitch.Hz(a4))
			n.low, n.high, n.moving = min(n.low, to), max(n.high, to), true
		}
		n.begin = beginCost(pf, bars, i)
		p.notes[i] = n
	}
	p.addLeaps(pf, bars)
	p.sort()
	return p
}

// sort lists the notes by the semitones that lie within reach of their pitch.
func (p *page) sort() {
	p.at = map[int][]int32{}
	for i, n := range p.notes {
		if math.IsNaN(n.cents) {
			p.any = append(p.any, int32(i))
			continue
		}
		last := int(math.Round((n.high + rightCents) / 100))
		for k := int(math.Round((n.low - rightCents) / 100)); k <= last; k++ {
			p.at[k] = append(p.at[k], int32(i))
		}
	}
}

// sounding lists the notes that a pitch in cents may be, and a few more.
func (p *page) sounding(cents float64) []int32 {
	if math.IsNaN(cents) || len(p.any) > 0 {
		return append(slices.Clip(p.any), p.at[semitone(cents)]...)
	}
	return p.at[semitone(cents)]
}

// semitone is the nearest one, far from all for no pitch.
func semitone(cents float64) int {
	if math.IsNaN(cents) {
		return math.MinInt
	}
	return int(math.Round(cents / 100))
}

// off is how far a sound lies from what the note may sound like, in cents,
// tuning taken out; 0 inside, NaN for a sound without a pitch.
func (n *note) off(cents, tuning float64) float64 {
	c := cents - tuning
	return max(0, n.low-c, c-n.high)
}

// right says whether a sound has the note's pitch.
func (n *note) right(cents, tuning float64) bool {
	return math.IsNaN(n.cents) || n.off(cents, tuning) <= rightCents
}

// barsOf is the played bar of each note, as an index into pf.Bars.
func barsOf(pf *score.Performance) []int {
	out := make([]int, len(pf.Notes))
	for i, n := range pf.Notes {
		out[i] = max(sort.Search(len(pf.Bars), func(k int) bool { return n.At.Less(pf.Bars[k].At) })-1, 0)
	}
	return out
}

// beginCost is what it costs to begin at a note, by how likely players begin
// there (estimates).
func beginCost(pf *score.Performance, bars []int, i int) float64 {
	const (
		atStart  = 0.0
		atSign   = 0.4 // a repeat sign, a segno, a coda, a double bar
		atBar    = 0.8
		atPhrase = 0.8 // after a rest, a fermata or a breath mark
		inside   = 2.0
	)
	if i == 0 {
		return atStart
	}
	b := pf.Part.Bars[pf.Bars[bars[i]].Bar]
	before := pf.Notes[i-1]
	switch w := pf.Written(i - 1); {
	case bars[i-1] != bars[i]:
		if b.RepeatStart || b.Segno || b.Coda || doubleBarBefore(pf, bars[i]) {
			return atSign
		}
		return atBar
	case w.Marks.Any(score.Fermata | score.BreathAfter):
		return atPhrase
	case float64(pf.Notes[i].Start-before.End) >= restLeast:
		return atPhrase
	}
	return inside
}

func doubleBarBefore(pf *score.Performance, bar int) bool {
	if bar == 0 {
		return false
	}
	before := pf.Part.Bars[pf.Bars[bar-1].Bar]
	return before.RepeatEnd > 0 || before.Barline == "light-light"
}

// What leaps in tempo cost (estimates; a note missed costs missLoss).
const (
	repeatCost   = 0.8 // a repeat not taken
	leftOutCost  = 1.4 // a bar left out
	leftOutMore  = 0.3 // each further one
	silentCost   = 1.6 // a bar in which nothing is played, time going on
	mostBarsLeft = 4
)

// addLeaps lists the leaps from the last note of each bar.
func (p *page) addLeaps(pf *score.Performance, bars []int) {
	l := leaper{pf: pf, firstFrom: make([]int, len(pf.Bars)+1)}
	l.firstFrom[len(pf.Bars)] = len(p.notes)
	for b, i := len(pf.Bars)-1, len(p.notes); b >= 0; b-- {
		for i > 0 && bars[i-1] >= b {
			i--
		}
		l.firstFrom[b] = i
	}
	for b := range pf.Bars {
		i := l.firstFrom[b+1] - 1
		if i < 0 {
			continue
		}
		if l.firstFrom[b] <= i {
			p.leaps[i] = append(p.leaps[i], l.leftOut(b)...)
		}
		p.leaps[i] = append(p.leaps[i], l.repeats(b)...)
	}
}

type leaper struct {
	pf        *score.Performance
	firstFrom []int // by played bar: the first note in or after it
}

// leftOut lists the leaps over the bars after b, with and without their time.
func (l *leaper) leftOut(b int) (out []leap) {
	for n := 1; n <= mostBarsLeft && b+1+n < len(l.pf.Bars); n++ {
		from, to := l.firstFrom[b+1], l.firstFrom[b+1+n]
		if from == to || to == l.firstFrom[b+2+n] {
			continue // nothing is left out, or nothing comes
		}
		more := leftOutMore * float64(n-1)
		cut := float64(l.pf.Seconds(l.pf.Bars[b+1+n].At) - l.pf.Seconds(l.pf.Bars[b+1].At))
		out = append(out, leap{to, cut, leftOutCost + more, LeftOut}, leap{to, 0, silentCost + more, Silent})
	}
	return out
}

// repeats lists where a player goes after bar b who does not take a repeat: on
// past the sign, or from under a first ending to what follows the last.
func (l *leaper) repeats(b int) (out []leap) {
	bars := l.pf.Bars
	if b+1 >= len(bars) {
		return nil
	}
	this, next := bars[b].Bar, bars[b].Bar+1
	turns := bars[b+1].Bar != next
	ending := next < len(l.pf.Part.Bars) && len(l.pf.Part.Bars[next].Endings) > 0
	if !turns && !ending {
		return nil
	}
	passed := false // a turn back was passed
	for r := b + 1; r < len(bars); r++ {
		passed = passed || bars[r].Bar != bars[r-1].Bar+1
		if !passed || r == b+1 || bars[r].Bar != next && bars[r-1].Bar != this {
			continue
		}
		if to := l.firstFrom[r]; to < l.firstFrom[len(bars)] && to > l.firstFrom[b+1] {
			cut := float64(l.pf.Seconds(bars[r].At) - l.pf.Seconds(bars[b+1].At))
			return append(out, leap{to, cut, repeatCost, RepeatNotTaken})
		}
	}
	return out
}
