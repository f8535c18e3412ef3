package drawing

import (
	"fmt"

	"waterkey/score"
)

// Line is one line of a page of bars; it has at least one stave.
type Line []Stave

// First and Last are its outermost played bars.
func (l Line) First() int { return l[0].From }
func (l Line) Last() int  { return l[len(l)-1].To }

// Right is where the line ends.
func (l Line) Right() float64 {
	last := l[len(l)-1]
	return last.X + last.Width
}

// X is where a moment lies; moments outside lie at the edges.
func (l Line) X(t score.Seconds) float64 {
	for _, s := range l {
		if t < s.End {
			return max(s.At(t), l[0].X)
		}
	}
	return l.Right()
}

// Bounds are the moments at which the line starts and ends.
func (l Line) Bounds() (start, end score.Seconds) { return l[0].Start, l[len(l)-1].End }

// Within says whether a moment lies in the line.
func (l Line) Within(t score.Seconds) bool {
	start, end := l.Bounds()
	return t >= start && t < end
}

// Measures of what stands in a bar (estimates).
const (
	numberRow = 14.0 // from the top of the line down to a bar's number
	letter    = 6.6  // width of a letter at the size of names
	nameGap   = 3.0  // room between names
	nameStep  = 12.0 // from a row of names to the next
)

// BarLine draws the line at the start of a bar, its number, and a long rest. The curve
// under it reaches from top to top + height, the line begins room above that.
func (c Canvas) BarLine(pf *score.Performance, s Stave, top, height, room float64, color string) {
	c.Line(s.X, top-4, s.X, top+height, color, 1, "")
	number := pf.Part.Bars[pf.Bars[s.From].Bar].Number
	c.Text(s.X+2, top-room+numberRow, Style{Anchor: "start", Color: Graphite, Size: 11}, number)
	if s.Rest {
		middle := top + height/2
		c.Line(s.X+8, middle, s.X+s.Width-8, middle, Ink, 6, "")
		c.Text(s.X+s.Width/2, middle-8, Style{Anchor: "middle", Color: Ink, Size: 12}, fmt.Sprint(s.To-s.From+1))
	}
}

// Names writes names side by side in three rows, so that those that lie close do not
// cover each other.
type Names struct {
	ends [3]float64 // where the last name of each row ends
}

// Write puts a name at x into the first row with room; y is the height of the first
// row. It says which row, -1 when all were full and the name is left out.
func (n *Names) Write(c Canvas, x, y float64, name string) int {
	for row, end := range n.ends {
		if x >= end {
			n.ends[row] = x + letter*float64(len([]rune(name))) + nameGap
			c.Text(x, y+nameStep*float64(row), Style{Anchor: "start", Color: Ink, Size: 11}, name)
			return row
		}
	}
	return -1
}
