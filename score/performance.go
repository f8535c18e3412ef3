package score

import (
	"fmt"
	"slices"
	"sort"
)

// Seconds is a moment or length of sound.
type Seconds float64

// Performance is a part in the order it is played, with its clock. It is not
// changed after it was made.
type Performance struct {
	Part  *Part
	Bars  []PlayedBar
	Notes []PlayedNote
	clock []clockPoint
	end   Time
}

// PlayedBar is one turn of a bar.
type PlayedBar struct {
	Bar  int  // index into Part.Bars
	Pass int  // 1 the first time the bar is played
	At   Time // from the start of the performance
}

// PlayedNote is one turn of a sounding note.
type PlayedNote struct {
	Note     int // index into Part.Notes
	Pass     int // 1 the first time the note is played
	At       Time
	Duration Time // as counted on the page; 0 for a grace note
	// Start and End bound the note's full value in seconds, before any
	// shortening by articulation. Grace notes have taken their time from a
	// neighbor.
	Start, End Seconds
}

// clockPoint starts a stretch of steady tempo.
type clockPoint struct {
	at    Time
	s     Seconds
	speed float64 // whole notes a second
}

// FermataStretch is how much longer a held note or rest lasts than written
// (estimate: about half as long again is common; the player decides).
const FermataStretch = 1.5

// GraceSeconds is the length of a grace note that is given the time for it
// (estimate: quick but speaking on a brass instrument).
const GraceSeconds = 0.09

// Perform unfolds the part and sets it to a tempo. The error is that of
// [Part.Order], or an absurd tempo.
func (p *Part) Perform(t Tempo) (*Performance, error) {
	order, err := p.Order()
	if err != nil {
		return nil, err
	}
	return p.perform(order, t)
}

// ReadThrough sets the part to a tempo in written order, every bar once: each
// note of the page has one place in it. The error is an absurd tempo.
func (p *Part) ReadThrough(t Tempo) (*Performance, error) {
	order := make([]int, len(p.Bars))
	for i := range order {
		order[i] = i
	}
	return p.perform(order, t)
}

// CheckTempo wants felt beats a minute that can be meant.
func CheckTempo(bpm float64) error {
	const slowest, fastest = 5, 600 // beyond any metronome (estimate)
	if !(bpm >= slowest && bpm <= fastest) {
		return fmt.Errorf("tempo %g is outside %d to %d felt beats a minute; try %d", bpm, slowest, fastest, DefaultBPM)
	}
	return nil
}

func (p *Part) perform(order []int, t Tempo) (*Performance, error) {
	if t.BPM != 0 {
		if err := CheckTempo(t.BPM); err != nil {
			return nil, err
		}
	}
	pf := &Performance{Part: p}
	pf.layBars(order)
	pf.layNotes()
	pf.setClock(t)
	pf.timeNotes()
	return pf, nil
}

func (pf *Performance) layBars(order []int) {
	times := map[int]int{}
	var at Time
	for _, i := range order {
		times[i]++
		pf.Bars = append(pf.Bars, PlayedBar{Bar: i, Pass: times[i], At: at})
		at = at.Add(pf.Part.Bars[i].Length)
	}
	pf.end = at
}

// pieceRef finds the written piece a bar holds.
type pieceRef struct{ note, piece int }

// layNotes walks the played bars and strings the written pieces into notes. A
// tie that a jump cuts ends there; a tie that a jump lands in starts there.
func (pf *Performance) layNotes() {
	inBar := make([][]pieceRef, len(pf.Part.Bars))
	for n, note := range pf.Part.Notes {
		for k, piece := range note.Pieces {
			inBar[piece.Bar] = append(inBar[piece.Bar], pieceRef{n, k})
		}
	}
	for _, refs := range inBar {
		slices.SortStableFunc(refs, func(a, b pieceRef) int {
			return pf.piece(a).Onset.Cmp(pf.piece(b).Onset)
		})
	}
	var played pieceRef // the last one
	for _, b := range pf.Bars {
		start := pf.Part.Bars[b.Bar].Start
		for _, ref := range inBar[b.Bar] {
			piece := pf.piece(ref)
			at := b.At.Add(piece.Onset.Sub(start))
			before := played
			played = ref
			if ref.piece > 0 && before == (pieceRef{ref.note, ref.piece - 1}) {
				last := &pf.Notes[len(pf.Notes)-1]
				if last.At.Add(last.Duration) == at {
					last.Duration = last.Duration.Add(piece.Duration)
					continue
				}
			}
			pf.Notes = append(pf.Notes, PlayedNote{Note: ref.note, Pass: b.Pass, At: at, Duration: piece.Duration})
		}
	}
}

func (pf *Performance) piece(r pieceRef) Piece { return pf.Part.Notes[r.note].Pieces[r.piece] }

// hold is a stretch of the performance that a fermata slows down.
type hold struct{ from, to Time }

func (pf *Performance) setClock(t Tempo) {
	paces := pf.Part.paces()
	factor := 1.0
	if t.BPM > 0 {
		bpm, _, _ := pf.Part.OpeningTempo()
		factor = t.BPM / bpm
	}
	for _, b := range pf.Bars {
		bar := pf.Part.Bars[b.Bar]
		i := sort.Search(len(paces), func(i int) bool { return bar.Start.Less(paces[i].at) }) - 1
		pf.tick(b.At, paces[i].speed*factor)
		for _, pc := range paces[i+1:] {
			if !pc.at.Less(bar.End()) {
				break
			}
			pf.tick(b.At.Add(pc.at.Sub(bar.Start)), pc.speed*factor)
		}
	}
	if len(pf.clock) == 0 {
		pf.clock = []clockPoint{{speed: paces[0].speed * factor}}
	}
	pf.stretch(pf.holds())
	pf.windClock()
}

// tick adds a clock point unless the tempo simply goes on.
func (pf *Performance) tick(at Time, speed float64) {
	if n := len(pf.clock); n > 0 {
		if pf.clock[n-1].speed == speed {
			return
		}
		if pf.clock[n-1].at == at {
			pf.clock[n-1].speed = speed
			return
		}
	}
	pf.clock = append(pf.clock, clockPoint{at: at, speed: speed})
}

func (pf *Performance) holds() []hold {
	var hs []hold
	for _, n := range pf.Notes {
		if pf.Part.Notes[n.Note].Marks.Has(Fermata) && n.Duration.Sign() > 0 {
			hs = append(hs, hold{n.At, n.At.Add(n.Duration)})
		}
	}
	held := map[int][]Rest{}
	for _, r := range pf.Part.Rests {
		if r.Fermata && r.Duration.Sign() > 0 {
			held[r.Bar] = append(held[r.Bar], r)
		}
	}
	for _, b := range pf.Bars {
		for _, r := range held[b.Bar] {
			at := b.At.Add(r.Onset.Sub(pf.Part.Bars[b.Bar].Start))
			hs = append(hs, hold{at, at.Add(r.Duration)})
		}
	}
	return hs
}

// clockEdge is a moment at which the tempo (speed > 0) or the number of holds
// in force changes.
type clockEdge struct {
	at    Time
	speed float64
	hold  int
}

// stretch slows the clock inside the holds.
func (pf *Performance) stretch(holds []hold) {
	edges := make([]clockEdge, 0, len(pf.clock)+2*len(holds))
	for _, c := range pf.clock {
		edges = append(edges, clockEdge{at: c.at, speed: c.speed})
	}
	for _, h := range holds {
		edges = append(edges, clockEdge{at: h.from, hold: 1}, clockEdge{at: h.to, hold: -1})
	}
	slices.SortStableFunc(edges, func(a, b clockEdge) int { return a.at.Cmp(b.at) })
	pf.clock = nil
	var speed float64
	held := 0
	for _, e := range edges {
		if e.speed > 0 {
			speed = e.speed
		}
		held += e.hold
		if held > 0 {
			pf.tick(e.at, speed/FermataStretch)
		} else {
			pf.tick(e.at, speed)
		}
	}
}

// windClock computes the seconds of every clock point.
func (pf *Performance) windClock() {
	for i := 1; i < len(pf.clock); i++ {
		a := pf.clock[i-1]
		pf.clock[i].s = a.s + Seconds(pf.clock[i].at.Sub(a.at).Float()/a.speed)
	}
}

// Seconds maps a moment of the performance to seconds from its start.
func (pf *Performance) Seconds(at Time) Seconds {
	i := sort.Search(len(pf.clock), func(i int) bool { return at.Less(pf.clock[i].at) }) - 1
	c := pf.clock[max(i, 0)]
	return c.s + Seconds(at.Sub(c.at).Float()/c.speed)
}

// Moment maps seconds from the start to the page's time in whole notes, played
// order. It is the inverse of Seconds up to rounding, so it is no exact Time.
func (pf *Performance) Moment(s Seconds) float64 {
	i := sort.Search(len(pf.clock), func(i int) bool { return s < pf.clock[i].s }) - 1
	c := pf.clock[max(i, 0)]
	return c.at.Float() + float64(s-c.s)*c.speed
}

// Length is the whole performance, from the first bar's start to the last
// bar's end.
func (pf *Performance) Length() Seconds { return pf.Seconds(pf.end) }

// EndTime is the moment the performance ends, in played order.
func (pf *Performance) EndTime() Time { return pf.end }

// Written is the written note behind the i-th played one.
func (pf *Performance) Written(i int) *Note { return &pf.Part.Notes[pf.Notes[i].Note] }

// timeNotes sets Start and End, and lets grace notes take their time from the
// note before them, or from the note after when nothing comes before.
func (pf *Performance) timeNotes() {
	for i := range pf.Notes {
		n := &pf.Notes[i]
		n.Start, n.End = pf.Seconds(n.At), pf.Seconds(n.At.Add(n.Duration))
	}
	for i := 0; i < len(pf.Notes); i++ {
		j := i
		for j < len(pf.Notes) && pf.Written(j).Grace {
			j++
		}
		if j > i {
			pf.timeGraces(i, j)
			i = j
		}
	}
}

// timeGraces gives the grace notes from i to j (exclusive) their time.
func (pf *Performance) timeGraces(i, j int) {
	at := pf.Notes[i].Start
	room := GraceSeconds * Seconds(j-i)
	if i > 0 {
		// Before the beat: at most half of what the note before has, and none
		// of the silence before that.
		before := &pf.Notes[i-1]
		room = min(room, (at-before.Start)/2)
		before.End = min(before.End, at-room)
		at -= room
	} else if j < len(pf.Notes) {
		room = min(room, (pf.Notes[j].End-at)/2)
		pf.Notes[j].Start += room
	}
	for k := i; k < j; k++ {
		n := &pf.Notes[k]
		n.Start = at + room*Seconds(k-i)/Seconds(j-i)
		n.End = at + room*Seconds(k-i+1)/Seconds(j-i)
	}
}
