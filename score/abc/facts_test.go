package abc

import (
	"fmt"
	"strings"

	"waterkey/score"
)

// factsOf writes down what has to be equal when the same music is read from two
// formats, one fact a line: bars (number, start, length, meter, key, pickup,
// repeats, endings, signs, multi-measure rests), meters, keys, clefs, tempos,
// dynamics, hairpins, words; notes with their bar, onset, duration, sounding and
// written pitch, printed accidental, marks, slurs, glissandi, graces, accents, and
// each piece with value, dots and tuplet; rests likewise. Not compared are ids
// and lines of the source, the part's name and id, the printed value of grace
// notes and of whole-bar rests (abc has none), and what was passed over.
func factsOf(p *score.Part) string {
	var b strings.Builder
	say := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	say("title %q by %q", p.Title, p.Composer)
	for i, x := range p.Bars {
		say("bar %d %q from %s long %s in %s, %s %q, implicit %v, rest bars %d, repeat %v %d, endings %v, signs %v", i, x.Number, x.Start, x.Length,
			x.Meter, x.Key.Name(), x.Key.Altered(), x.Implicit, x.RestBars, x.RepeatStart, x.RepeatEnd, x.Endings,
			jump{x.Segno, x.Coda, x.Fine, x.ToCoda, x.DaCapo, x.DalSegno})
	}
	for _, x := range p.Meters {
		say("meter %+v", x)
	}
	for _, x := range p.Keys {
		say("key at %s in %d: %d %q %q", x.At, x.Bar, x.Key.Fifths, x.Key.Mode, x.Key.Other)
	}
	for _, x := range p.Clefs {
		say("clef at %s in %d: %+v", x.At, x.Bar, x.Clef)
	}
	for _, x := range p.Tempos {
		say("tempo at %s in %d: %v of %s %q", x.At, x.Bar, x.BPM, x.Unit, x.Text)
	}
	for _, x := range p.Dynamics {
		say("dynamic at %s in %d: %s", x.At, x.Bar, x.Mark)
	}
	for _, x := range p.Wedges {
		say("wedge from %s in %d to %s in %d, grow %v", x.From, x.FromBar, x.To, x.ToBar, x.Grow)
	}
	for _, x := range p.Words {
		say("words at %s in %d: %q", x.At, x.Bar, x.Text)
	}
	for _, x := range p.Notes {
		say("note in %d at %s long %s: %s written %s %q, courtesy %v, marks %b, slur %v %v, gliss %v, grace %v %v, attack %q", x.Bar, x.Onset, x.Duration,
			x.Pitch, x.Written, x.Accidental, x.Courtesy, x.Marks, x.SlurFrom, x.SlurTo, x.GlissTo, x.Grace, x.Slashed, x.Attack)
		for _, q := range x.Pieces {
			if !x.Grace {
				say("  piece in %d at %s long %s: %s with %d dots, %v", q.Bar, q.Onset, q.Duration, q.Value, q.Dots, q.Tuplet)
			}
		}
	}
	for _, x := range p.Rests {
		if x.WholeBar {
			x.Value, x.Dots = score.Time{}, 0
		}
		say("rest in %d at %s long %s: whole bar %v, %s with %d dots, %v, fermata %v", x.Bar, x.Onset, x.Duration, x.WholeBar, x.Value, x.Dots, x.Tuplet, x.Fermata)
	}
	return b.String()
}
