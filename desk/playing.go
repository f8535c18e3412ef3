package desk

import (
	"fmt"
	"math"
	"strings"

	"waterkey/score"
	"waterkey/sound"
)

// Playing says how a reference performance is asked for. The zero Playing is the
// whole part at its tempo on the instrument, with neither click nor count-in.
type Playing struct {
	Style string  // a name of [sound.Styles]; "" for the handbook's lengths
	Plain bool    // a plain tone instead of the instrument's, to measure against
	A4    float64 // Hz; 0 for the player's

	LeadIn  score.Seconds
	Click   bool
	CountIn int   // bars, or [sound.Conducted]
	Divide  int   // ticks to a felt beat; 0 and 1 for the beat alone
	Accents []int // strong beats of the bar, from 1; nil for the meter's own

	From, To  string // printed numbers of the first and last bar; "" for the part's
	PlayAlong bool   // the part is silent, but for a cue before each entrance
	Inner     []int  // so many bars heard, then so many silent; nil hears everything

	// A ladder of runs from a slow tempo up, in felt beats a minute; 0 is one run.
	SlowFrom  float64
	SlowShare float64 // in place of SlowFrom: its share of the fastest tempo
	SlowTo    float64 // the fastest; 0 for the part's own
	Runs      int     // 0 for as many as keep the steps small

	Drone string // pitches to tune to, the root first, as "Bb2 F3"; "" for none
	Just  bool   // the others lie over the root in whole-number ratios
}

// PlayingError says which wish cannot be met, why, and what can.
type PlayingError struct {
	Field string // as the command line names it, without its dashes
	Text  string
}

func (e *PlayingError) Error() string { return e.Field + " " + e.Text }

// Is makes it an error of what was asked for.
func (e *PlayingError) Is(target error) bool { return target == ErrInvalid }

func unplayable(field, format string, args ...any) error {
	return &PlayingError{field, fmt.Sprintf(format, args...)}
}

// Bounds of a Playing (estimates: more than anybody practices with).
const (
	mostCounted  = 4 // bars
	mostDivided  = 8 // ticks to a beat
	mostInner    = 32
	mostPitches  = 6
	lowestDrone  = 24 // C1
	highestDrone = 84 // C6
)

// droneDB is how loud a drone is in all beside mezzo-forte: under the part,
// not over it (estimate).
const droneDB = -6.0

// options is what q says apart from passage and ladder.
func (p *Prepared) optionsOf(q Playing) (sound.Options, error) {
	style, err := sound.StyleNamed(q.Style)
	if err != nil {
		return sound.Options{}, unplayable("style", "%s: %v", q.Style, err)
	}
	o := sound.Options{A4: q.A4, LeadIn: q.LeadIn, Style: style, Click: q.Click, CountIn: q.CountIn, Divide: q.Divide, Accents: q.Accents, PlayAlong: q.PlayAlong}
	if q.CountIn < sound.Conducted || q.CountIn > mostCounted {
		return o, unplayable("count-in", "%d: want 0 to %d bars, such as 1, or conducted", q.CountIn, mostCounted)
	}
	if err := p.checkClick(q); err != nil {
		return o, err
	}
	o.Inner, err = innerOf(q.Inner)
	return o, err
}

// checkClick checks how the beat is divided and accented.
func (p *Prepared) checkClick(q Playing) error {
	ticks := q.Click || q.CountIn != 0
	switch {
	case q.Divide < 0 || q.Divide > mostDivided:
		return unplayable("divide", "%d: want 1 to %d ticks to a felt beat, such as 2", q.Divide, mostDivided)
	case q.Divide > 1 && !ticks:
		return unplayable("divide", "%d: nothing ticks; add a click or a count-in", q.Divide)
	case len(q.Accents) > 0 && !ticks:
		return unplayable("accents", "%s: nothing ticks; add a click or a count-in", joined(q.Accents))
	}
	most := 0
	for _, b := range p.Part.FeltBeats() {
		most = max(most, b.Count)
	}
	for _, a := range q.Accents {
		if a < 1 || a > most {
			return unplayable("accents", "%s: there is no beat %d; the part has bars of up to %d felt beats, so 1 to %d work", joined(q.Accents), a, most, most)
		}
	}
	return nil
}

// innerOf reads bars heard and bars silent.
func innerOf(bars []int) (sound.InTurn, error) {
	if len(bars) == 0 {
		return sound.InTurn{}, nil
	}
	if len(bars) != 2 || min(bars[0], bars[1]) < 1 || max(bars[0], bars[1]) > mostInner {
		return sound.InTurn{}, unplayable("inner", "%s: want bars heard and bars silent, each 1 to %d, such as 1,1 for every second bar", joined(bars), mostInner)
	}
	return sound.InTurn{Heard: bars[0], Silent: bars[1]}, nil
}

// droneOf is the drone that q asks for, without its time; nil for none.
func droneOf(q Playing) (*sound.Drone, error) {
	names := strings.FieldsFunc(q.Drone, func(r rune) bool { return r == ' ' || r == ',' })
	switch {
	case len(names) == 0 && q.Just:
		return nil, unplayable("just", "tunes a drone, and there is none; add the pitches of one, such as Bb2 F3")
	case len(names) == 0:
		return nil, nil
	case len(names) > mostPitches:
		return nil, unplayable("drone", "%s: %d pitches; at most %d sound, such as Bb2 F3", q.Drone, len(names), mostPitches)
	}
	d := &sound.Drone{Just: q.Just, Level: droneDB - 10*math.Log10(float64(len(names)))}
	for _, name := range names {
		pitch, err := score.ParsePitch(name)
		if err != nil {
			return nil, unplayable("drone", "%s: %v", q.Drone, err)
		}
		if m := pitch.MIDI(); m < lowestDrone || m > highestDrone {
			return nil, unplayable("drone", "%s: %s lies outside C1 to C6; Bb2 works", q.Drone, name)
		}
		d.Pitches = append(d.Pitches, pitch)
	}
	return d, nil
}

// joined writes numbers as they are given: "1,3".
func joined(numbers []int) string {
	return strings.Trim(strings.ReplaceAll(fmt.Sprint(numbers), " ", ","), "[]")
}
