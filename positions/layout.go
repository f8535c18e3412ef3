package positions

import (
	"waterkey/score"
)

// Measures of the drawing, in user units; a page is 1000 wide (estimates, set by
// looking at real parts).
const (
	pageWidth   = 1000.0
	leftEdge    = 44.0 // room for position numbers
	rightEdge   = 16.0
	systemTop   = 62.0  // room for bar numbers and three rows of note names
	curveHeight = 112.0 // from the closed slide to its end
	systemFoot  = 34.0  // room for the valve line and a gap
	noteWidth   = 20.0  // what a note needs on average to be read
	restWidth   = 74.0  // of a printed rest of several bars
	barWidth    = 26.0  // the least width of a bar
)

// span is one bar, or several empty ones, on the drawing.
type span struct {
	from, to   int // played bars, both included
	start, end score.Seconds
	x, width   float64
	rest       bool // several bars without a note
}

// at is where a moment of the span lies.
func (s span) at(t score.Seconds) float64 {
	if s.end <= s.start {
		return s.x
	}
	return s.x + s.width*float64((t-s.start)/(s.end-s.start))
}

// system is one line of the drawing.
type system struct{ spans []span }

// layout breaks the bars from to to into systems and spreads each over the page.
func layout(p *Path, from, to int) []system {
	const full = pageWidth - leftEdge - rightEdge
	var out []system
	var line []span
	width := 0.0
	for _, s := range spansOf(p, from, to) {
		if len(line) > 0 && width+s.width > full {
			out = append(out, system{spread(line, full/width)})
			line, width = nil, 0
		}
		line = append(line, s)
		width += s.width
	}
	if len(line) > 0 {
		stretch := full / width
		const mostStretch = 1.6 // a short last system is not pulled apart further (estimate)
		out = append(out, system{spread(line, min(stretch, mostStretch))})
	}
	return out
}

func spread(line []span, factor float64) []span {
	x := leftEdge
	for i := range line {
		line[i].x, line[i].width = x, line[i].width*factor
		x += line[i].width
	}
	return line
}

// spansOf gives each bar the width its notes need, or its share of time where
// that is more, and draws empty bars in a row together.
func spansOf(p *Path, from, to int) []span {
	var out []span
	for b := from; b <= to; b++ {
		first, last := notesIn(p.Performance, b, b)
		start, end := barSeconds(p.Performance, b)
		s := span{from: b, to: b, start: start, end: end}
		s.width = max(barWidth, noteWidth*float64(last-first), widthPerSecond*float64(end-start))
		if soundless(p, b) {
			if n := len(out); n > 0 && soundless(p, out[n-1].to) {
				out[n-1].to, out[n-1].end, out[n-1].width, out[n-1].rest = b, end, restWidth, true
				continue
			}
			s.width = min(s.width, restWidth)
		}
		s.width = min(s.width, pageWidth-leftEdge-rightEdge)
		out = append(out, s)
	}
	return out
}

// widthPerSecond keeps long notes from shrinking to nothing (estimate).
const widthPerSecond = 50.0

// soundless says whether no note sounds in a bar.
func soundless(p *Path, bar int) bool {
	first, last := notesIn(p.Performance, bar, bar)
	if first < last {
		return false
	}
	start, _ := barSeconds(p.Performance, bar)
	return first == 0 || p.Performance.Notes[first-1].End <= start
}

func barSeconds(pf *score.Performance, b int) (start, end score.Seconds) {
	start = pf.Seconds(pf.Bars[b].At)
	if b+1 < len(pf.Bars) {
		return start, pf.Seconds(pf.Bars[b+1].At)
	}
	return start, pf.Length()
}
