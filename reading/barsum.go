package reading

import (
	"fmt"

	"waterkey/finding"
	"waterkey/score"
)

// barSum names bars whose contents do not add up to the meter. Excused are a
// pickup, a bar that a repeat sign or the like divides, and the short bar before
// a repeat sign, a jump or the end that leaves its missing beats to a pickup.
func barSum(p *Page) []finding.Finding {
	bars := p.Part.Bars
	var places []place
	for i := 0; i < len(bars); i++ {
		b := bars[i]
		full := b.Meter.Length()
		switch {
		case full.Sign() == 0 || b.Length == full:
			continue
		case i+1 < len(bars) && b.Length.Sign() > 0 && b.Length.Add(bars[i+1].Length) == full && bars[i+1].Length.Sign() > 0:
			i++ // a divided bar
			continue
		case b.Length.Less(full) && (b.Implicit || i == 0 && p.isPickup() || p.completes(i)):
			continue
		}
		n := p.number(i)
		says := fmt.Sprintf("Bar %s holds %s; its meter, %s, asks for %s.", n, p.amount(b.Length, b.Meter), b.Meter, p.amount(full, b.Meter))
		short := fmt.Sprintf("bar %s (%s in %s)", n, p.amount(b.Length, b.Meter), b.Meter)
		if b.Length.Sign() == 0 {
			says = fmt.Sprintf("Bar %s is empty, without even a rest.", n)
			short = fmt.Sprintf("bar %s (empty)", n)
		}
		places = append(places, place{i, i, says, short})
	}
	return p.each("bar-sum", 0, places, "Bars do not add up:",
		"Compare with the score before you practice it; a misprint learned is hard to lose.")
}

// isPickup says whether a short first bar is one: numbered 0, at most half
// a bar, or completed at the end of the part or of the first repeat.
func (p *Page) isPickup() bool {
	bars := p.Part.Bars
	b := bars[0]
	if b.Number == "0" || !b.Meter.Length().Less(b.Length.Scale(2, 1)) {
		return true
	}
	for i := 1; i < len(bars); i++ {
		if leaves(bars[i], i == len(bars)-1) && bars[i].Length.Add(b.Length) == b.Meter.Length() {
			return true
		}
	}
	return false
}

// leaves says whether the music goes elsewhere after a bar, or ends.
func leaves(b score.Bar, last bool) bool {
	return last || b.RepeatEnd > 0 || len(b.Endings) > 0 || b.DaCapo || b.DalSegno || b.Fine
}

// completes says whether a short bar after which the music goes back or ends
// leaves just the beats of a pickup: that of the part, or the one at the start of
// the passage that it repeats.
func (p *Page) completes(i int) bool {
	bars := p.Part.Bars
	b := bars[i]
	if !leaves(b, i == len(bars)-1) {
		return false
	}
	missing := b.Meter.Length().Sub(b.Length)
	if bars[0].Length == missing {
		return true
	}
	for k := i; k > 0; k-- {
		starts := bars[k].RepeatStart || k < i && bars[k-1].RepeatEnd > 0 && len(bars[k-1].Endings) == 0
		if (starts || b.DalSegno && bars[k].Segno) && bars[k].Length == missing {
			return true
		}
		if starts && !b.DalSegno {
			return false
		}
	}
	return false
}

// amount says a length in the meter's own unit: "3 quarters", "3 1/2 quarters".
func (p *Page) amount(t score.Time, m score.Meter) string {
	n := t.Scale(int64(m.Unit), 1)
	name := p.value(score.Frac(1, int64(m.Unit)))
	whole := n.Num() / n.Den()
	part := n.Sub(score.Frac(whole, 1))
	switch {
	case part.Sign() == 0 && whole == 1:
		return "1 " + name
	case part.Sign() == 0:
		return fmt.Sprintf("%d %ss", whole, name)
	case whole == 0:
		return fmt.Sprintf("%s of a %s", part, name)
	}
	return fmt.Sprintf("%d %s %ss", whole, part, name)
}
