package breath

import (
	"sort"

	"waterkey/score"
)

// Measures of the drawing, in user units; a page is 1000 wide (estimates, set by
// looking at real parts; the drawing of the slide has the same).
const (
	pageWidth   = 1000.0
	leftEdge    = 112.0 // room for the names of the lines
	rightEdge   = 16.0
	systemTop   = 74.0  // room for bar numbers, three rows of note names and breaths
	curveHeight = 112.0 // from full lungs to empty
	systemFoot  = 30.0
	noteWidth   = 20.0 // what a note needs on average to be read
	restWidth   = 74.0 // of a printed rest of several bars
	barWidth    = 26.0 // the least width of a bar
	// widthPerSecond keeps long notes from shrinking to nothing.
	widthPerSecond = 50.0
	mostStretch    = 1.6 // a short last system is not pulled apart further
)

// stave is one bar, or several empty ones, on the drawing.
type stave struct {
	from, to   int // played bars, both included
	start, end score.Seconds
	x, width   float64
	rest       bool // several bars without a note
}

// at is where a moment lies.
func (s stave) at(t score.Seconds) float64 {
	if s.end <= s.start {
		return s.x
	}
	return s.x + s.width*float64((t-s.start)/(s.end-s.start))
}

// layout breaks the bars from to to into lines and spreads each over the page.
func layout(pf *score.Performance, from, to int) [][]stave {
	const full = pageWidth - leftEdge - rightEdge
	var out [][]stave
	var line []stave
	width := 0.0
	for _, s := range staves(pf, from, to) {
		if len(line) > 0 && width+s.width > full {
			out = append(out, spread(line, full/width))
			line, width = nil, 0
		}
		line = append(line, s)
		width += s.width
	}
	return append(out, spread(line, min(full/width, mostStretch)))
}

func spread(line []stave, factor float64) []stave {
	x := leftEdge
	for i := range line {
		line[i].x, line[i].width = x, line[i].width*factor
		x += line[i].width
	}
	return line
}

// staves gives each bar the width its notes need, or its share of time where that is
// more, and draws empty bars in a row together.
func staves(pf *score.Performance, from, to int) []stave {
	var out []stave
	for b := from; b <= to; b++ {
		first, last := notesIn(pf, b, b)
		start, end := barSeconds(pf, b)
		s := stave{from: b, to: b, start: start, end: end}
		s.width = max(barWidth, noteWidth*float64(last-first), widthPerSecond*float64(end-start))
		if soundless(pf, b) {
			if n := len(out); n > 0 && soundless(pf, out[n-1].to) {
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

// notesIn are the notes that start in the played bars from to to: first to last,
// last excluded.
func notesIn(pf *score.Performance, from, to int) (first, last int) {
	startsFrom := func(bar int) int {
		if bar >= len(pf.Bars) {
			return len(pf.Notes)
		}
		at := pf.Bars[bar].At
		return sort.Search(len(pf.Notes), func(i int) bool { return !pf.Notes[i].At.Less(at) })
	}
	return startsFrom(from), startsFrom(to + 1)
}

// soundless says whether no note sounds in a bar.
func soundless(pf *score.Performance, bar int) bool {
	first, last := notesIn(pf, bar, bar)
	if first < last {
		return false
	}
	start, _ := barSeconds(pf, bar)
	return first == 0 || pf.Notes[first-1].End <= start
}

func barSeconds(pf *score.Performance, b int) (start, end score.Seconds) {
	start = pf.Seconds(pf.Bars[b].At)
	if b+1 < len(pf.Bars) {
		return start, pf.Seconds(pf.Bars[b+1].At)
	}
	return start, pf.Length()
}
