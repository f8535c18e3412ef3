package abc

import (
	"strconv"
	"strings"

	"waterkey/score"
)

// barReader is where the walk stands in the bars. A bar is opened by the first
// note or rest in it, so that bar lines in a row make no empty bars.
type barReader struct {
	inBody bool
	open   bool
	at     score.Time // cursor in the open bar
	end    score.Time // of the last closed bar

	repeatStart bool // the next bar starts a repeated passage
	signs       jump // that wait for a note or bar line
	divided     bool // a bar line other than a plain one was the last
	repeating   bool // a start of a repeat has no end yet
	times       int  // how often the start says the passage is played
	section     int  // the bar after the latest double bar line
	passage     int  // the bar after the latest end of a repeat

	afterSign []int       // bars that a bar line other than a plain one precedes
	numbers   map[int]int // by bar, set by a directive
	first     int         // number of the first full bar
}

func (r *reader) thisBar() *score.Bar { return &r.out.Bars[len(r.out.Bars)-1] }

// now is the cursor's moment from the start of the part.
func (r *reader) now() score.Time { return r.bars.end.Add(r.bars.at) }

// barHere is the index of the bar being read, -1 in the header. Between bars it
// is the one before.
func (r *reader) barHere() int {
	if !r.bars.inBody {
		return -1
	}
	return max(len(r.out.Bars)-1, 0)
}

// nextBar is the index of the bar that the next note will be in.
func (r *reader) nextBar() int {
	if r.bars.open {
		return len(r.out.Bars) - 1
	}
	return len(r.out.Bars)
}

// openBar makes sure that a bar is open.
func (r *reader) openBar() {
	b := &r.bars
	if b.open {
		return
	}
	if len(r.out.Bars) == maxBars {
		r.fail("the voice has more than %d bars", maxBars)
	}
	r.out.Bars = append(r.out.Bars, score.Bar{
		Start: b.end, Line: r.here.line, Meter: r.meter, Key: r.key,
		RepeatStart: b.repeatStart, Endings: r.endings.numbers,
	})
	if b.divided {
		b.afterSign = append(b.afterSign, len(r.out.Bars)-1)
	}
	b.open, b.repeatStart, b.divided = true, false, false
	r.elements = 0
}

// closeBar ends the bar: its length is what was written in it. A bar with
// grace notes only is as long as its meter.
func (r *reader) closeBar() {
	if !r.bars.open {
		return
	}
	bar := r.thisBar()
	bar.Length = r.bars.at
	if bar.Length.Sign() == 0 {
		bar.Length = bar.Meter.Length()
	}
	r.bars.open, r.bars.at, r.bars.end = false, score.Time{}, bar.End()
	clear(r.altered)
	r.rhythm.barEnds(r)
}

// barLine takes a bar line of any shape (4.8): colons left of it end a repeat,
// right of it start one.
func (r *reader) barLine(k token) {
	r.closeGroups()
	if r.overlay > 0 {
		if r.overlay--; r.overlay > 0 {
			return
		}
	}
	left, right, bare := dots(k.text)
	if bare {
		r.passOnce("%q means nothing here and was left out", k.text)
		return
	}
	r.dropMarks("a mark over a bar line")
	r.closeBar()
	r.signsAtBarLine()
	double := k.text != "[|]" && strings.ContainsAny(k.text, "[]") || strings.Contains(k.text, "||") // [|] is invisible
	if left > 0 {
		r.endRepeat(left)
	}
	if double {
		r.bars.section = len(r.out.Bars)
	}
	if left > 0 || right > 0 || double {
		r.bars.divided = true
		r.endings.close()
	}
	if right > 0 {
		r.bars.repeatStart, r.bars.repeating, r.bars.times = true, true, right+1
	}
	if k.endings != "" {
		r.startEnding(k.endings)
	}
}

// dots counts the colons on either side of a bar line. Two colons alone are
// both; one alone is no bar line.
func dots(line string) (left, right int, bare bool) {
	first, last := strings.IndexAny(line, "|[]"), strings.LastIndexAny(line, "|[]")
	if first < 0 {
		n := len(line) / 2
		return n, n, n == 0
	}
	return first, len(line) - 1 - last, false
}

// endRepeat puts the end of a repeat on the last bar. Without a start the
// passage goes back to the latest double bar line or end of a repeat (4.8);
// for a double bar line that is marked as a start.
func (r *reader) endRepeat(colons int) {
	b := &r.bars
	n := len(r.out.Bars)
	if n == 0 {
		r.pass("the end of a repeat before any note was left out")
		return
	}
	times := colons + 1
	if b.repeating {
		times = max(times, b.times)
	} else if b.section > b.passage && b.section < n {
		r.out.Bars[b.section].RepeatStart = true
	}
	if times > maxEnding {
		r.fail("the repeat %d times is beyond the limit of %d", times, maxEnding)
	}
	r.thisBar().RepeatEnd = max(times, r.thisBar().RepeatEnd)
	b.repeating, b.passage = false, n
}

// setBarNumber reads %%setbarnb and %%measurefirst (11.4.4).
func (r *reader) setBarNumber(value string) {
	n, err := strconv.Atoi(value)
	if err != nil || n < 0 || n > maxBars {
		r.pass("the bar number %q was left out", cut(value))
		return
	}
	if !r.bars.inBody {
		r.bars.first = n
		return
	}
	if r.bars.numbers == nil {
		r.bars.numbers = map[int]int{}
	}
	r.bars.numbers[r.nextBar()] = n
}

// numberBars counts the bars from 1. A first bar shorter than its meter is a
// pickup, one less; the rest of a bar that a repeat, a double bar line or an
// ending divides carries no number.
func (r *reader) numberBars() {
	n := r.bars.first
	divides := map[int]bool{}
	for _, i := range r.bars.afterSign {
		divides[i] = true
	}
	for i := range r.out.Bars {
		b := &r.out.Bars[i]
		full := b.Meter.Length()
		if set, ok := r.bars.numbers[i]; ok {
			n = set
		}
		b.Implicit, b.Number = false, strconv.Itoa(n)
		switch {
		case i == 0 && len(r.out.Bars) > 1 && b.Length.Less(full):
			b.Implicit, b.Number = true, strconv.Itoa(n-1)
		case i > 0 && divides[i] && b.Length.Less(full) && !r.out.Bars[i-1].Implicit && r.out.Bars[i-1].Length.Add(b.Length) == full:
			b.Implicit, b.Number = true, ""
		default:
			n++
		}
	}
}
