package practice

import "math"

// Day is one day of practice.
type Day struct {
	Date    string `json:"date"`
	Phase   Phase  `json:"phase"`
	Focus   string `json:"focus"`   // what the day is about, one sentence
	Minutes int    `json:"minutes"` // of all items, pauses included
	Limit   int    `json:"limit_minutes"`
	PlayS   int    `json:"play_s"`   // with the horn at the lips
	StrongS int    `json:"strong_s"` // of that at full strength, loud or high
	Items   []Item `json:"items"`
}

// Kind is a kind of item.
type Kind string

// The kinds of items. Away is work without the horn.
const (
	WarmUp Kind = "warm-up"
	Away   Kind = "away"
	Visit  Kind = "visit"
	Phrase Kind = "phrase"
	Run    Kind = "run"
	MockUp Kind = "take"
	Pause  Kind = "pause"
)

// Item is one thing to do.
type Item struct {
	Kind Kind     `json:"kind"`
	Bars []string `json:"bars"` // first and last, none for a warm-up or a pause
	What string   `json:"what"` // one or two sentences
	BPM  float64  `json:"bpm"`  // of the first turn, felt beats a minute; 0 when nothing is counted
	Unit string   `json:"unit"`
	Reps int      `json:"reps"`
	// RestS is the rest after each turn, in whole seconds.
	RestS    int       `json:"rest_s"`
	Tempos   []float64 `json:"tempos"` // of every turn
	Minutes  int       `json:"minutes"`
	PlayS    int       `json:"play_s"`   // with the horn at the lips, all turns
	StrongS  int       `json:"strong_s"` // of that at full strength
	Hard     bool      `json:"hard"`     // asks for as much rest as playing
	Evidence []string  `json:"evidence"` // see [Ground]

	segment int // of the plan, -1 for none
	span    Span
	round   int // 1 for the second visit of a day
}

const (
	// listenRest is the least rest after a turn, in seconds: to hear what went
	// wrong, name what to change and sing it (estimate).
	listenRest = 15
	// restStep is what rests are rounded up to, in seconds: nobody counts closer
	// (estimate).
	restStep = 5
	// visitSeconds is how long a visit lasts before another item takes over: the
	// three minutes of the alternating group of Carter and Grahn, 2016.
	visitSeconds = 180
	// fewestTurns and mostTurns bound a visit; odd, so that it ends in the tempo in
	// which it began (estimates: Duke, Simmons and Cash, 2009, found that the number
	// of turns does not matter, the share of right ones does).
	fewestTurns, mostTurns = 3, 7
	// notesRest is the time after a take, in seconds, beyond a rest as long as the
	// take and once listening to it: to write down what to change (estimate).
	notesRest = 30
)

// turnSeconds is how long one turn of a stretch lasts at a share of the goal
// tempo, rounded up.
func (m Material) turnSeconds(s Span, share float64) int {
	return int(math.Ceil(m.seconds(s)/share - 1e-9))
}

// strongSeconds is how much of a turn at the goal tempo is loud or high, rounded up.
func (m Material) strongSeconds(s Span) int {
	sum := 0.0
	for _, b := range m.Bars[s.From : s.To+1] {
		if b.Strong {
			sum += b.Seconds
		}
	}
	return int(math.Ceil(sum - 1e-9))
}

// setTurns sets the tempos of an item over its bars and what follows: seconds,
// rest and minutes. A hard item rests as long as it plays, another half as long.
func (m Material) setTurns(it *Item, goal float64, tempos []float64, leastRest int) {
	it.Tempos, it.Reps, it.BPM, it.PlayS = tempos, len(tempos), tempos[0], 0
	for _, t := range tempos {
		it.PlayS += m.turnSeconds(it.span, t/goal)
	}
	it.rest(leastRest)
}

// rest sets the rest after each turn, on the safe side of what is needed, and the
// minutes.
func (it *Item) rest(least int) {
	share := 2
	if it.Hard {
		share = 1
	}
	it.RestS = restStep * divideUp(max(least, divideUp(it.PlayS, share*it.Reps)), restStep)
	it.Minutes = divideUp(it.PlayS+it.Reps*it.RestS, 60)
}

// divideUp is a/b rounded up.
func divideUp(a, b int) int { return (a + b - 1) / b }

// item is an item over bars.
func (m Material) item(kind Kind, s Span, evidence ...string) Item {
	n := m.numbers(s)
	return Item{Kind: kind, Bars: n[:], Unit: m.Bars[s.From].Unit, Evidence: evidence, segment: -1, span: s}
}

// whole is the part from its first to its last bar.
func (m Material) whole() Span { return Span{0, len(m.Bars) - 1} }

// run plays the whole part, with its repeats, at a share of the goal tempo.
func (m Material) run(kind Kind, share float64, leastRest int, evidence ...string) Item {
	it := m.item(kind, m.whole(), evidence...)
	bpm := m.Bars[0].BPM
	if share < 1 {
		bpm = onScale(share * bpm)
	}
	it.Hard, it.Reps, it.BPM, it.Tempos = true, 1, bpm, []float64{bpm}
	it.PlayS = int(math.Ceil(m.Run*m.Bars[0].BPM/bpm - 1e-9))
	it.rest(leastRest)
	return it
}

// takeRest is the rest after a recorded run at the goal tempo.
func (m Material) takeRest() int { return 2*int(math.Ceil(m.Run-1e-9)) + notesRest }

// take is one go at tempo and full strength, as for the panel.
func (m Material) take() Item {
	it := m.run(MockUp, 1, m.takeRest(), "mock-takes", "rest")
	it.StrongS = m.strongSeconds(m.whole())
	return it
}

const (
	// stretch is the longest playing without a pause, in minutes, pause the length
	// of one: 5 after 25 (musiciansway.com, Taking breaks, 2011); two of them are the 10
	// in an hour of the same page.
	stretch, pause = 25, 5
)

// withPauses puts pauses between items so that no stretch is too long, and sums
// the minutes.
func withPauses(items []Item) (out []Item, minutes int) {
	since := 0
	for _, it := range items {
		if since > 0 && since+it.Minutes > stretch {
			out = append(out, Item{Kind: Pause, Bars: []string{}, Tempos: []float64{}, Minutes: pause, Evidence: []string{"pauses"}, segment: -1,
				What: "Pause: put the horn down, walk about, drink something."})
			minutes, since = minutes+pause, 0
		}
		out = append(out, it)
		minutes, since = minutes+it.Minutes, since+it.Minutes
	}
	return out, minutes
}
