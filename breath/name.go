package breath

import (
	"fmt"

	"waterkey/score"
)

// Ending names the played note i by where it ends, as one says after which note to
// breathe: "F3 in bar 2", "F3 held into bar 3" when it began before, "F3 on beat 3 of bar
// 2" when the bar has that note more than once. Notes are named as written.
func (b *Breathing) Ending(i int) string {
	w := b.Performance.Written(i)
	if end := b.EndBar(i); end != w.Bar {
		return fmt.Sprintf("%s held into bar %s", b.note(i), b.Performance.Part.BarName(end))
	}
	return b.Beginning(i)
}

// Beginning names the played note i by where it begins: "F3 in bar 2", or with its beat
// when the bar has that note more than once.
func (b *Breathing) Beginning(i int) string {
	if beat := b.beat(i); beat != "" && b.repeated(i) {
		return fmt.Sprintf("%s on beat %s of bar %s", b.note(i), beat, b.bar(i))
	}
	return fmt.Sprintf("%s in bar %s", b.note(i), b.bar(i))
}

// repeated says whether another note that begins in the bar has the same name.
func (b *Breathing) repeated(i int) bool {
	w := b.Performance.Written(i)
	for _, step := range []int{-1, 1} {
		for k := i + step; k >= 0 && k < len(b.Performance.Notes); k += step {
			other := b.Performance.Written(k)
			if other.Bar != w.Bar {
				break
			}
			if other.Written == w.Written {
				return true
			}
		}
	}
	return false
}

// beat is a note's place in its bar in the meter's unit, counted from 1: "3", or "2 1/2"
// between beats; "" where the page has no meter.
func (b *Breathing) beat(i int) string {
	w := b.Performance.Written(i)
	unit := b.Performance.Part.Bars[w.Bar].Meter.Unit
	if unit == 0 || w.Grace {
		return ""
	}
	at := b.ground.placeInBar(w).Scale(int64(unit), 1)
	whole := at.Num() / at.Den()
	if part := at.Sub(score.Frac(whole, 1)); part.Sign() != 0 {
		return fmt.Sprintf("%d %s", whole+1, part)
	}
	return fmt.Sprint(whole + 1)
}
