package musicxml

import (
	"strconv"
	"strings"

	"waterkey/score"
)

// endingReader carries an ending over its bars.
type endingReader struct {
	numbers []int
	from    int  // bar where the ending in force starts
	line    int  // of its start
	stops   bool // ends with the bar being read
}

// barline reads repeats, endings and the signs that stand at a barline.
func (r *reader) barline(el *element) {
	location := el.attr("location")
	if e := el.child("ending"); e != nil {
		r.ending(e)
	}
	if rep := el.child("repeat"); rep != nil {
		r.repeat(rep, location)
	}
	r.barlineStyle(el, location)
	bar := r.thisBar()
	bar.Segno = bar.Segno || el.has("segno") || el.attr("segno") != ""
	bar.Coda = bar.Coda || el.has("coda") || el.attr("coda") != ""
	if el.has("fermata") {
		r.pass(el, "a fermata over the barline was left out")
	}
}

// barStyles are the names of barlines (W3C MusicXML 4.0, bar-style).
var barStyles = map[string]bool{
	"regular": true, "dotted": true, "dashed": true, "heavy": true, "light-light": true, "light-heavy": true,
	"heavy-light": true, "heavy-heavy": true, "tick": true, "short": true, "none": true,
}

// barlineStyle names the barline. One at the left of a bar ends the bar before,
// which goes first where both say something.
func (r *reader) barlineStyle(el *element, location string) {
	style := el.child("bar-style").value()
	switch {
	case style == "":
	case !barStyles[style]:
		r.pass(el, "the barline %q was read as a plain one", style)
	case location == "middle":
		if !el.has("repeat") {
			r.pass(el, "a barline in the middle of the bar was left out")
		}
	case location == "left":
		if r.bar > 0 && r.out.Bars[r.bar-1].Barline == "" {
			r.out.Bars[r.bar-1].Barline = style
		}
	default:
		r.thisBar().Barline = style
	}
}

func (r *reader) repeat(el *element, location string) {
	switch {
	case location == "middle":
		r.pass(el, "a repeat sign in the middle of the bar was left out")
	case el.attr("direction") == "forward":
		r.thisBar().RepeatStart = true
	case location == "left" && r.bar > 0:
		r.out.Bars[r.bar-1].RepeatEnd = r.times(el)
	default:
		r.thisBar().RepeatEnd = r.times(el)
		r.endings.stops = true
	}
	if el.attr("after-jump") == "yes" {
		r.pass(el, "that the repeat is taken again after a jump was left out")
	}
}

// times is how often a repeated passage is played: 2 unless the page says.
func (r *reader) times(el *element) int {
	s := el.attr("times")
	if s == "" {
		return 2
	}
	n, err := strconv.Atoi(s)
	if err != nil || n < 0 || n > maxEnding {
		r.fail(el, "repeat times %q is not a whole number from 0 to %d", s, maxEnding)
	}
	return max(n, 1)
}

func (r *reader) ending(el *element) {
	if el.attr("type") != "start" {
		if r.endings.numbers == nil {
			r.pass(el, "the end of an ending without a start was left out")
		}
		r.endings.stops = true
		return
	}
	numbers := []int{}
	for _, s := range strings.FieldsFunc(el.attr("number"), func(c rune) bool { return c == ',' || c == ' ' }) {
		n, err := strconv.Atoi(strings.TrimSuffix(s, "."))
		if err != nil || n < 1 || n > maxEnding {
			r.fail(el, "ending number %q is not a list of whole numbers from 1 to %d such as 1, 2", el.attr("number"), maxEnding)
		}
		if numbers = append(numbers, n); len(numbers) > maxEndings {
			r.fail(el, "an ending has more than %d numbers", maxEndings)
		}
	}
	if len(numbers) == 0 {
		r.pass(el, "an ending without number was left out")
		return
	}
	r.endings = endingReader{numbers: numbers, from: r.bar, line: el.line}
}

// closeEndings puts the ending in force on the bar just read.
func (r *reader) closeEndings() {
	e := &r.endings
	if e.numbers != nil {
		r.thisBar().Endings = e.numbers
	}
	if e.stops {
		*e = endingReader{}
	}
}

// finishEndings cuts an ending that the page never closes down to its first
// bar.
func (r *reader) finishEndings() {
	e := r.endings
	if e.numbers == nil || e.from == len(r.out.Bars)-1 {
		return
	}
	for i := e.from + 1; i < len(r.out.Bars); i++ {
		r.out.Bars[i].Endings = nil
	}
	r.skip.Add(e.from, e.line, "an ending that is never closed was read as one bar long")
}

// navigation is what one direction says about the way through the part.
type navigation struct {
	segno, coda, fine, toCoda, daCapo, dalSegno bool
	repeatStart                                 bool // implied, not printed
}

func (n navigation) any() bool { return n != navigation{} }

func (n navigation) put(b *score.Bar) {
	b.Segno, b.Coda, b.Fine = b.Segno || n.segno, b.Coda || n.coda, b.Fine || n.fine
	b.RepeatStart = b.RepeatStart || n.repeatStart
	b.ToCoda, b.DaCapo, b.DalSegno = b.ToCoda || n.toCoda, b.DaCapo || n.daCapo, b.DalSegno || n.dalSegno
}
