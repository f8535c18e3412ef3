package drawing

import "waterkey/score"

// PageWidth is that of a page of bars.
const PageWidth = 1000.0

// Measures of a page of bars (estimates, set by looking at real parts).
const (
	rightEdge = 16.0
	noteWidth = 20.0 // what a note needs on average to be read
	restWidth = 74.0 // of a printed rest of several bars
	barWidth  = 26.0 // the least width of a bar
	// widthPerSecond keeps long notes from shrinking to nothing.
	widthPerSecond = 50.0
	mostStretch    = 1.6 // a short last line is not pulled apart further
)

// Stave is one bar, or several empty ones, in a line.
type Stave struct {
	From, To   int // played bars, both included
	Start, End score.Seconds
	X, Width   float64
	Rest       bool // several bars without a note
}

// At is where a moment lies.
func (s Stave) At(t score.Seconds) float64 {
	if s.End <= s.Start {
		return s.X
	}
	return s.X + s.Width*float64((t-s.Start)/(s.End-s.Start))
}

// Lines breaks the bars from to to into lines and spreads each over the page, from
// left to its right edge.
func Lines(pf *score.Performance, from, to int, left float64) []Line {
	full := PageWidth - left - rightEdge
	var out []Line
	var line []Stave
	width := 0.0
	for _, s := range staves(pf, from, to, full) {
		if len(line) > 0 && width+s.Width > full {
			out = append(out, spread(line, left, full/width))
			line, width = nil, 0
		}
		line = append(line, s)
		width += s.Width
	}
	return append(out, spread(line, left, min(full/width, mostStretch)))
}

func spread(line []Stave, x, factor float64) Line {
	for i := range line {
		line[i].X, line[i].Width = x, line[i].Width*factor
		x += line[i].Width
	}
	return line
}

// staves gives each bar the width its notes need, or its share of time where that is
// more, and draws empty bars in a row together.
func staves(pf *score.Performance, from, to int, full float64) []Stave {
	var out []Stave
	for b := from; b <= to; b++ {
		first, last := pf.NotesIn(b, b)
		start, end := pf.BarSeconds(b)
		s := Stave{From: b, To: b, Start: start, End: end}
		s.Width = max(barWidth, noteWidth*float64(last-first), widthPerSecond*float64(end-start))
		if soundless(pf, b) {
			if n := len(out); n > 0 && soundless(pf, out[n-1].To) {
				out[n-1].To, out[n-1].End, out[n-1].Width, out[n-1].Rest = b, end, restWidth, true
				continue
			}
			s.Width = min(s.Width, restWidth)
		}
		s.Width = min(s.Width, full)
		out = append(out, s)
	}
	return out
}

// soundless says whether no note sounds in a bar.
func soundless(pf *score.Performance, bar int) bool {
	first, last := pf.NotesIn(bar, bar)
	if first < last {
		return false
	}
	start, _ := pf.BarSeconds(bar)
	return first == 0 || pf.Notes[first-1].End <= start
}
