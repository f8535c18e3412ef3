package reading

import (
	"math"
	"slices"

	"waterkey/score"
)

// Phrase is a stretch of notes played as one line, both ends included, as
// indexes into the notes of the page read through.
type Phrase struct {
	First, Last int
	Peak        int // the high point: of pitch, level and length together
	Goal        int // the note the phrase leads to; First when it leads nowhere
}

// Phrases cuts the page into phrases. Together they hold every note once, in
// order; grace notes go with the note after them.
func Phrases(p *Page) []Phrase { return newLine(p).phrases() }

func (l *line) phrases() []Phrase {
	if len(l.notes) == 0 && l.p.notes() > 0 { // grace notes only
		return []Phrase{{Last: l.p.notes() - 1}}
	}
	var out []Phrase
	first := 0
	for _, c := range l.cuts() {
		ph := Phrase{First: first, Last: l.notes[c.to]}
		if c.to == len(l.notes)-1 {
			ph.Last = l.p.notes() - 1
		}
		var forward bool
		if ph.Peak, ph.Goal, forward = l.peakAndGoal(c); !forward {
			ph.Goal = ph.First
		}
		out = append(out, ph)
		first = ph.Last + 1
	}
	return out
}

// lineSpan is a stretch of a line, both ends included, as indexes into its notes.
type lineSpan struct{ from, to int }

// Lengths of phrases.
const (
	// entryRest is a silence that ends a phrase whatever else the page says:
	// after it the line starts anew (seconds, estimate).
	entryRest = 2.0
	// minPhrase is the shortest phrase inside an entry; less is a motive (seconds,
	// estimate).
	minPhrase = 2.5
	// maxPhrase is what an adult's full breath carries in the middle register at
	// mezzo-forte (seconds, estimate: some 3.3 liters at 0.25 a second); longer phrases
	// are divided where the page gives a reason. Phrases belong to the music, so the
	// lungs of the one who plays do not change them.
	maxPhrase = 13.1
	// overlong is what each further second costs, in units of evidence (estimate).
	overlong = 0.05
	// hopeless is the length beyond which a phrase is not considered when a shorter
	// one will do (seconds, estimate).
	hopeless = 40.0
)

// cuts divides the line into phrases: first into entries between long rests,
// then each entry where the evidence is best.
func (l *line) cuts() []lineSpan {
	var out []lineSpan
	for _, e := range l.entries() {
		out = append(out, l.divide(e)...)
	}
	return out
}

// entries are the stretches between rests of entryRest and more.
func (l *line) entries() []lineSpan {
	var out []lineSpan
	from := 0
	for i := range l.notes {
		if i == len(l.notes)-1 || l.silence(i) >= entryRest {
			out = append(out, lineSpan{from, i})
			from = i + 1
		}
	}
	return out
}

// divide cuts one entry so that the sum of what speaks for each cut, less what it
// costs, is the highest. Every phrase lasts minPhrase or more, unless the entry
// itself is shorter.
func (l *line) divide(e lineSpan) []lineSpan {
	evidence := l.evidence(e)
	ends := []int{} // candidates: last note of a phrase
	for i := e.from; i < e.to; i++ {
		if evidence[i-e.from] >= leastEvidence {
			ends = append(ends, i)
		}
	}
	ends = append(ends, e.to)
	best := make([]float64, len(ends)) // of the phrases up to this end
	back := make([]int, len(ends))     // the end before; -1 for the start of the entry
	for j, end := range ends {
		best[j], back[j] = math.Inf(-1), -1
		for k := j - 1; k >= -1; k-- {
			ph, before := lineSpan{e.from, end}, 0.0
			if k >= 0 {
				ph.from, before = ends[k]+1, best[k]
			}
			length := l.seconds(ph)
			if length < minPhrase && ph != e {
				continue
			}
			if value := before + l.worth(ph, length); value > best[j] {
				best[j], back[j] = value, k
			}
			if length > hopeless && !math.IsInf(best[j], -1) {
				break
			}
		}
		if end != e.to {
			best[j] += evidence[end-e.from] - cutCost
		}
	}
	return trace(e, ends, back)
}

// trace walks back from the last end to the start of the entry.
func trace(e lineSpan, ends, back []int) []lineSpan {
	var out []lineSpan
	for j := len(ends) - 1; j >= 0; j = back[j] {
		ph := lineSpan{e.from, ends[j]}
		if back[j] >= 0 {
			ph.from = ends[back[j]] + 1
		}
		out = append(out, ph)
	}
	slices.Reverse(out)
	return out
}

// worth is what the length of a phrase adds or costs: a little for two, four or
// eight bars (common practice), less for more than a breath.
func (l *line) worth(ph lineSpan, length float64) float64 {
	value := -overlong * max(length-maxPhrase, 0)
	if l.squareBars(ph) {
		value += squareEvidence
	}
	return value
}

// squareBars says whether from its first note to the first of the next the phrase
// takes two, four or eight bars.
func (l *line) squareBars(ph lineSpan) bool {
	bar := l.p.Part.Bars[l.note(ph.from).Bar].Meter.Length().Float()
	if bar == 0 || ph.to+1 >= len(l.notes) {
		return false
	}
	bars := (l.onsets[ph.to+1] - l.onsets[ph.from]) / bar
	const exact = 1e-6 // bars: rounding of the division
	return math.Abs(bars-2) < exact || math.Abs(bars-4) < exact || math.Abs(bars-8) < exact
}

// line is the page without grace notes: what phrases are cut from.
type line struct {
	p        *Page
	notes    []int     // of the page
	onsets   []float64 // of each note, in whole notes
	levels   score.LevelLine
	signs    moments      // see sectionSigns
	arrivals map[int]bool // notes on which crescendos end
}

func newLine(p *Page) *line {
	l := &line{p: p, levels: p.Part.LevelLine(), signs: sectionSigns(p.Part)}
	l.notes = p.where(func(i int) bool { return p.Through.Notes[i].Duration.Sign() > 0 })
	for i := range l.notes {
		l.onsets = append(l.onsets, l.note(i).Onset.Float())
	}
	l.arrivals = l.findArrivals()
	return l
}

func (l *line) note(i int) *score.Note { return l.p.note(l.notes[i]) }

// silence is the seconds of rest after note i, 0 after the last.
func (l *line) silence(i int) float64 {
	if i+1 >= len(l.notes) {
		return 0
	}
	n := l.p.Through.Notes[l.notes[i]]
	next := l.p.Through.Notes[l.notes[i+1]]
	return max(0, float64(l.p.Through.Seconds(next.At)-l.p.Through.Seconds(n.At.Add(n.Duration))))
}

// seconds is how long a stretch lasts from the start of its first to the end
// of its last note.
func (l *line) seconds(s lineSpan) float64 {
	return float64(l.p.Through.Notes[l.notes[s.to]].End - l.p.Through.Notes[l.notes[s.from]].Start)
}

// length is the written value of note i in whole notes.
func (l *line) length(i int) float64 { return l.note(i).Duration.Float() }
