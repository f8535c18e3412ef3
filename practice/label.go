package practice

import (
	"fmt"
	"strconv"
	"strings"
)

// Label names an item in a few words: "Warm-up", "Bars 13 to 18", "Whole part".
func (it Item) Label() string {
	switch it.Kind {
	case WarmUp:
		return "Warm-up"
	case Away:
		return "Without the horn"
	case Run:
		return "Whole part"
	case MockUp:
		return "Take"
	case Pause:
		return "Pause"
	}
	return upper(barText([2]string{it.Bars[0], it.Bars[1]}))
}

// Says is what to do, without the label where that stands before it.
func (it Item) Says() string {
	if rest, ok := strings.CutPrefix(it.What, it.Label()+": "); ok {
		return upper(rest)
	}
	return it.What
}

// Turns says in which tempo and how often, and how long to rest: "half = 66 and 96
// alternately, 5 turns, rest 15 s after each". It is "" for what is not counted.
func (it Item) Turns() string {
	if it.Reps == 0 {
		return ""
	}
	text := fmt.Sprintf("%s = %s", it.Unit, number(it.BPM))
	if len(it.Tempos) > 1 && it.Tempos[1] != it.BPM {
		text += " and " + number(it.Tempos[1]) + " alternately"
	}
	if it.Reps == 1 {
		return fmt.Sprintf("%s, once, then rest %s", text, rest(it.RestS))
	}
	return fmt.Sprintf("%s, %d turns, rest %s after each", text, it.Reps, rest(it.RestS))
}

// rest is a length as a player takes it: in seconds when short, else in minutes,
// rounded up.
func rest(s int) string {
	const short = 90 // seconds
	if s > short {
		return fmt.Sprintf("%d min", divideUp(s, 60))
	}
	return fmt.Sprintf("%d s", s)
}

// number leaves out decimals that are none.
func number(x float64) string { return strconv.FormatFloat(round1(x), 'f', -1, 64) }
