package reading

import (
	"slices"
	"sort"

	"waterkey/breath"
	"waterkey/score"
)

// What speaks for the end of a phrase after a note, in units of the boundary
// profile (0 to 1, see [breath.Melody]). The profile counts where it peaks; the rest
// are estimates, set so that one clear sign or two weak ones that agree are
// enough.
const (
	// restEvidence is for a rest of a second and more, less in proportion.
	restEvidence = 0.5
	// markEvidence is for a printed breath mark or a fermata.
	markEvidence = 1.5
	// sectionEvidence is for a repeat, or a new key, meter or tempo.
	sectionEvidence = 0.8
	// longEvidence is for a note twice as long as most.
	longEvidence = 0.2
	// slurEvidence is for the end of a slur of longSlur notes and more.
	slurEvidence = 0.2
	longSlur     = 4
	// parallelEvidence is for a next note at the same place of the bar as the
	// first note of the entry.
	parallelEvidence = 0.15
	// squareEvidence is for a phrase of two, four or eight bars.
	squareEvidence = 0.1

	// cutCost is what a cut must be worth.
	cutCost = 0.6
	// leastEvidence makes a place a candidate at all.
	leastEvidence = 0.15
)

// evidence is what speaks for a phrase end after each note of an entry but the
// last. Inside a slur or a glissando only the start of a section speaks for one.
func (l *line) evidence(e lineSpan) []float64 {
	profile := l.melody(e).Boundaries()
	long := 2 * l.middleLength(e)
	slurred := 0 // notes under the slur that ends here
	out := make([]float64, len(profile))
	for k := range profile {
		i := e.from + k
		n := l.note(i)
		if !n.SlurFrom {
			slurred = 0
		}
		slurred++
		if n.SlurTo || n.GlissTo {
			continue
		}
		v := profile[k] + restEvidence*min(l.silence(i), 1)
		if n.Marks.Any(score.BreathAfter | score.Fermata) {
			v += markEvidence
		}
		if l.length(i) >= long {
			v += longEvidence
		}
		if slurred >= longSlur {
			v += slurEvidence
		}
		if l.placeInBar(i+1) == l.placeInBar(e.from) {
			v += parallelEvidence
		}
		out[k] = v
	}
	for i := e.from; i < e.to; i++ {
		if l.signs.between(l.note(i).Onset, l.note(i+1).Onset) {
			out[l.beforePickup(i, e)-e.from] += sectionEvidence
		}
	}
	return out
}

// beforePickup is the note after which a section that starts after note i is
// felt to start: at the last rest less than a bar before, when what follows the
// rest leads into the section; otherwise i itself.
func (l *line) beforePickup(i int, e lineSpan) int {
	bar := l.p.Part.Bars[l.note(i+1).Bar].Meter.Length().Float()
	for j := i; j >= e.from && l.onsets[i+1]-l.onsets[j+1] < bar; j-- {
		if l.silence(j) > 0 {
			return j
		}
	}
	return i
}

// melody is the steps between the notes of an entry, times in whole notes.
func (l *line) melody(e lineSpan) breath.Melody {
	var m breath.Melody
	for i := e.from; i < e.to; i++ {
		a, b := l.note(i), l.note(i+1)
		m.Add(float64(b.Pitch.MIDI()-a.Pitch.MIDI()), b.Onset.Sub(a.Onset).Float(), b.Onset.Sub(a.End()).Float())
	}
	return m
}

// middleLength is the median value of a stretch in whole notes.
func (l *line) middleLength(s lineSpan) float64 {
	var all []float64
	for i := s.from; i <= s.to; i++ {
		all = append(all, l.length(i))
	}
	slices.Sort(all)
	return all[len(all)/2]
}

// placeInBar is where note i stands in its bar; a pickup bar is counted from its
// end.
func (l *line) placeInBar(i int) score.Time {
	n := l.note(i)
	bar := l.p.Part.Bars[n.Bar]
	at := n.Onset.Sub(bar.Start)
	if full := bar.Meter.Length(); n.Bar == 0 && bar.Length.Less(full) {
		at = at.Add(full.Sub(bar.Length))
	}
	return at
}

// moments are sorted moments of the page.
type moments []score.Time

// between says whether one lies after from, up to and including to.
func (m moments) between(from, to score.Time) bool {
	i := sort.Search(len(m), func(i int) bool { return from.Less(m[i]) })
	return i < len(m) && !to.Less(m[i])
}

// sectionSigns are the moments at which the page itself starts a section, and
// fermatas on rests.
func sectionSigns(part *score.Part) moments {
	var m moments
	for _, b := range part.Bars {
		if b.RepeatStart || b.Segno || b.Coda {
			m = append(m, b.Start)
		}
		if b.RepeatEnd > 0 || b.Fine || b.DaCapo || b.DalSegno || b.ToCoda {
			m = append(m, b.End())
		}
	}
	for _, k := range part.Keys {
		m = append(m, k.At)
	}
	for _, k := range part.Meters {
		m = append(m, k.At)
	}
	for _, t := range part.Tempos {
		if t.BPM > 0 || score.IsTempoWord(t.Text) {
			m = append(m, t.At)
		}
	}
	for _, r := range part.Rests {
		if r.Fermata {
			m = append(m, r.Onset)
		}
	}
	slices.SortFunc(m, score.Time.Cmp)
	return m
}
