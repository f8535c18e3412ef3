package breath

import (
	"slices"

	"waterkey/score"
)

// judge says of every place how much speaks for the end of a phrase, and what
// forbids a breath there, entry by entry.
func (g *ground) judge() {
	sections, levels := g.sections(), g.levelMarks()
	first := 0
	for i := range g.pf.Notes {
		if i+1 < len(g.pf.Notes) && !g.places[i].entry {
			continue
		}
		e := entry{ground: g, first: first, last: i, sections: sections, levels: levels}
		e.judge()
		if i < len(g.places) {
			g.places[i].evidence = 1
		}
		first = i + 1
	}
}

// entry is playing between two long rests, notes first to last.
type entry struct {
	*ground
	first, last int
	sections    map[int]bool        // bars that start a section
	levels      map[score.Time]bool // moments with a printed level
}

func (e entry) judge() {
	profile := e.profile()
	long := 2 * e.usualLength()
	slurred := 0         // notes under the slur that ends here
	afterRest := e.first // the note after the last rest
	for i := e.first; i < e.last; i++ {
		p, w := &e.places[i], e.pf.Written(i)
		if !w.SlurFrom {
			slurred = 0
		}
		slurred++
		v := profile[i-e.first] + e.silence(p) + e.marks(i)
		if e.pf.Notes[i].Duration.Float() >= long {
			v += longEvidence
		}
		if slurred >= longSlur && !w.SlurTo {
			v += slurEvidence
		}
		p.evidence = min(v+e.meter(i), 1)
		p.ban = e.bans(i, afterRest)
		if p.rest {
			afterRest = i + 1
		}
	}
}

// profile is the boundary profile of the entry, grace notes left in: they are
// heard.
func (e entry) profile() []float64 {
	var m Melody
	for i := e.first; i < e.last; i++ {
		a, b := e.pf.Notes[i], e.pf.Notes[i+1]
		onset := b.At.Sub(a.At)
		m.Add(float64(e.pf.Written(i+1).Pitch.MIDI()-e.pf.Written(i).Pitch.MIDI()), onset.Float(), onset.Sub(a.Duration).Float())
	}
	return m.Boundaries()
}

// usualLength is the median length of the entry's notes, in whole notes.
func (e entry) usualLength() float64 {
	var all []float64
	for i := e.first; i <= e.last; i++ {
		all = append(all, e.pf.Notes[i].Duration.Float())
	}
	slices.Sort(all)
	return all[len(all)/2]
}

func (e entry) silence(p *place) float64 {
	if !p.rest || p.gap < e.opts.Lungs.CatchSeconds {
		return 0
	}
	return restEvidence + restMore*min(p.gap, 1)
}

// marks is what stands on the page: breath mark, fermata, section, level.
func (e entry) marks(i int) float64 {
	w, next := e.pf.Written(i), e.pf.Written(i+1)
	v := 0.0
	if w.Marks.Any(score.BreathAfter | score.Fermata) {
		v += markEvidence
	}
	if next.Bar != w.Bar && e.sections[next.Bar] {
		v += sectionEvidence
	}
	if e.levels[next.Onset] {
		v += levelEvidence
	}
	return v
}

// meter is what the place in the bar says, measured against where the entry began.
func (e entry) meter(i int) float64 {
	start, next := e.pf.Written(e.first), e.pf.Written(i+1)
	bars := next.Bar - start.Bar
	if bars < 1 || e.placeInBar(start) != e.placeInBar(next) {
		return 0
	}
	if bars == 2 || bars%4 == 0 {
		return placeEvidence + squareEvidence
	}
	return placeEvidence
}

// placeInBar is where a note stands in its bar; a pickup bar is counted from its
// end.
func (g *ground) placeInBar(w *score.Note) score.Time {
	bar := g.pf.Part.Bars[w.Bar]
	at := w.Onset.Sub(bar.Start)
	if full := bar.Meter.Length(); w.Bar == 0 && bar.Length.Less(full) {
		at = at.Add(full.Sub(bar.Length))
	}
	return at
}

// sections are the bars with which something new begins.
func (g *ground) sections() map[int]bool {
	part, out := g.pf.Part, map[int]bool{}
	for i, b := range part.Bars {
		if b.RepeatStart || b.Segno || b.Coda {
			out[i] = true
		}
		if b.RepeatEnd > 0 || b.Fine || b.DaCapo || b.DalSegno || b.ToCoda || b.Barline == "light-light" {
			out[i+1] = true
		}
	}
	for _, k := range part.Keys {
		out[k.Bar] = true
	}
	for _, m := range part.Meters {
		out[m.Bar] = true
	}
	for _, t := range part.Tempos {
		if t.BPM > 0 || score.IsTempoWord(t.Text) {
			out[t.Bar] = true
		}
	}
	return out
}

func (g *ground) levelMarks() map[score.Time]bool {
	out := map[score.Time]bool{}
	for _, d := range g.pf.Part.Dynamics {
		out[d.At] = true
	}
	return out
}
