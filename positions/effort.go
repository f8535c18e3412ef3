package positions

import (
	"math"

	"waterkey/brass"
	"waterkey/score"
)

// BarEffort is what one bar asks of the arm. A move belongs to the bar of the
// note it leads to.
type BarEffort struct {
	Bar       int // index into Performance.Bars
	TravelCM  float64
	PeakSpeed float64 // cm/s, of the fastest move
	Peak      float64 // Effort of that move: 1 is comfortable
	Cost      float64 // what the bar's notes add to the path's cost
	Work      float64 // Cost without what depends on the horn's usual ways and on glissandi
	Broken    int     // glissandi that its ways cannot connect
}

// Efforts is the effort of every played bar.
func (p *Path) Efforts() []BarEffort {
	out := make([]BarEffort, len(p.Performance.Bars))
	for b := range out {
		out[b].Bar = b
		first, last := p.Performance.NotesIn(b, b)
		for i := first; i < last; i++ {
			out[b].add(p.Steps[i].Move)
			terms := p.termsAt(i)
			for term, c := range terms {
				out[b].Cost += c
				if term != alternateTerm && term != glissandoTerm {
					out[b].Work += c
				}
			}
			if terms[glissandoTerm] > 0 {
				out[b].Broken++
			}
		}
	}
	return out
}

func (e *BarEffort) add(m Move) {
	e.TravelCM += math.Abs(m.TravelCM)
	e.PeakSpeed = max(e.PeakSpeed, m.PeakSpeed)
	e.Peak = max(e.Peak, m.Effort())
}

// BarSaving is what one horn spares against another in a bar, or in several.
// Negative is a loss.
type BarSaving struct {
	Bar      int     // index into Performance.Bars; the first of several
	TravelCM float64 // less slide
	Work     float64 // less effort
	Gained   int     // notes that only the second horn reaches
	Lost     int     // notes that only the first horn reaches
	Gliss    int     // glissandi that the second horn can play and the first cannot, less the other way round
}

// Saving compares horn b with horn a over a part, bar by bar, each on its own
// best path. Where notes are gained, the effort of the two does not compare: a
// note out of reach costs nothing.
func Saving(pf *score.Performance, a, b *brass.Instrument) []BarSaving {
	return Compare(Solve(pf, a), Solve(pf, b))
}

// Compare is [Saving] for two paths over one performance, such as one for a
// longer arm ([Options].ReachCM).
func Compare(a, b *Path) []BarSaving {
	ea, eb := a.Efforts(), b.Efforts()
	out := make([]BarSaving, len(ea))
	for i := range out {
		out[i] = BarSaving{Bar: i, TravelCM: ea[i].TravelCM - eb[i].TravelCM, Work: ea[i].Work - eb[i].Work,
			Gliss: ea[i].Broken - eb[i].Broken}
		first, last := a.Performance.NotesIn(i, i)
		for n := first; n < last; n++ {
			switch {
			case a.Steps[n].Way == nil && b.Steps[n].Way != nil:
				out[i].Gained++
			case a.Steps[n].Way != nil && b.Steps[n].Way == nil:
				out[i].Lost++
			}
		}
	}
	return out
}

// SumSavings adds up several bars.
func SumSavings(bars []BarSaving) BarSaving {
	var sum BarSaving
	for i, b := range bars {
		if i == 0 {
			sum.Bar = b.Bar
		}
		sum.TravelCM += b.TravelCM
		sum.Work += b.Work
		sum.Gained += b.Gained
		sum.Lost += b.Lost
		sum.Gliss += b.Gliss
	}
	return sum
}
