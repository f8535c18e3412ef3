package score

import (
	"fmt"
	"sort"
)

// NotesIn are the notes that start in the played bars from to to, both included: as
// indexes, first to last, last excluded.
func (pf *Performance) NotesIn(from, to int) (first, last int) {
	startsFrom := func(bar int) int {
		if bar >= len(pf.Bars) {
			return len(pf.Notes)
		}
		at := pf.Bars[bar].At
		return sort.Search(len(pf.Notes), func(i int) bool { return !pf.Notes[i].At.Less(at) })
	}
	return startsFrom(from), startsFrom(to + 1)
}

// BarSeconds are the start and the end of a played bar.
func (pf *Performance) BarSeconds(bar int) (start, end Seconds) {
	start = pf.Seconds(pf.Bars[bar].At)
	if bar+1 < len(pf.Bars) {
		return start, pf.Seconds(pf.Bars[bar+1].At)
	}
	return start, pf.Length()
}

// CheckBars says so when from to to, both included, are not indexes into so many bars.
func CheckBars(bars, from, to int) error {
	if from < 0 || to < from || to >= bars {
		return fmt.Errorf("bars at index %d to %d do not lie in the part's %d; indexes go from 0 to %d", from, to, bars, bars-1)
	}
	return nil
}
