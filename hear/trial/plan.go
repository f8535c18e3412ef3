package trial

import (
	"math"
	"math/rand/v2"
	"slices"

	"waterkey/demo/trombone"
	"waterkey/hear"
	"waterkey/score"
)

// How an able human plays (estimates; time scatter after the 20 to 50 ms of
// expressive timing and the 27 to 37 ms between players in ensembles, R. A.
// Rasch 1979: a single player's own is smaller).
const (
	timeScatter   = 0.008 // s, standard deviation, cut at three
	lengthScatter = 0.05  // of the length
	pitchScatter  = 6.0   // cents, standard deviation, for a note of the scale
	noteScatter   = 3.0   // cents, for a single note
	levelScatter  = 1.0   // dB
	levelStep     = 4.0   // dB from one dynamic to the next

	tongue       = 0.030 // s of release at the least before a tongued note
	lead         = 1.0   // s of room before the take
	after        = 1.2   // s after it
	breathLong   = 0.35  // s
	breathGap    = 0.30  // s: a silence that counts as room for a breath
	shortSteady  = 0.12  // s: shorter notes have no pitch to argue about
	pauseRestart = 1.6   // s between a stop and a new start
)

// stretch is a run of the page that is played through: from one moment of the
// performance to another, in the page's seconds.
type stretch struct{ from, to, pause float64 }

// event is one sound of a take.
type event struct {
	trombone.Tone
	note int // of the performance; -1 for what the page does not have
}

// planner turns a page into events.
type planner struct {
	c       Case
	r       *rand.Rand
	pf      *score.Performance
	notes   []Truth
	events  []event
	extra   []Heard
	free    []span
	breaths []span // audible ones
	length  float64
	phase   float64 // of the drift
	ends    float64 // of the take so far
}

func newPlanner(c Case, pf *score.Performance) *planner {
	p := &planner{c: c, r: rand.New(rand.NewPCG(c.seed, 7)), pf: pf, length: float64(pf.Length())}
	p.phase = 2 * math.Pi * p.r.Float64()
	for range pf.Notes {
		p.notes = append(p.notes, Truth{State: hear.Missed})
	}
	return p
}

// warp is the moment of the take, less its beginning, for a moment of the page.
func (p *planner) warp(page float64) float64 {
	const turns = 1.5 // of the drift over the take
	k := 2 * math.Pi * turns / p.length
	wave := func(s float64) float64 { return -math.Cos(k*s+p.phase) / k }
	return (page + p.c.drift*(wave(page)-wave(0))) / p.c.speed
}

// stretches are what is played, in order.
func (p *planner) stretches() []stretch {
	whole := []stretch{{0, p.length, 0}}
	bar := func(i int) float64 { return float64(p.pf.Seconds(p.pf.Bars[i].At)) }
	n := len(p.pf.Bars)
	switch {
	case p.c.restart > 0:
		stop := n/2 + 1
		return []stretch{{0, bar(stop) - 0.4*(bar(stop)-bar(stop-1)), 0}, {bar(stop - p.c.restart), p.length, pauseRestart}}
	case p.c.skipBar:
		return []stretch{{0, bar(n / 2), 0}, {bar(n/2 + 1), p.length, 0}}
	case p.c.noRepeat:
		i := slices.IndexFunc(p.pf.Bars, func(b score.PlayedBar) bool { return b.Pass == 2 })
		k := i
		for k < n && p.pf.Bars[k].Pass == 2 {
			k++
		}
		return []stretch{{0, bar(i), 0}, {bar(k), p.length, 0}}
	}
	return whole
}

// plan lays all events.
func (p *planner) plan() {
	p.ends = lead
	if p.c.before {
		p.ends += p.warmUp()
	}
	offsets := p.intonation()
	for k, s := range p.stretches() {
		p.play(s, k, offsets)
	}
	if p.c.faults {
		p.spoilNotes()
	}
	p.takeBreaths()
	p.settle()
}

// play adds the notes of a stretch.
func (p *planner) play(s stretch, turn int, offsets []float64) {
	base := p.ends + s.pause - p.warp(s.from)
	var first, last float64
	for i, n := range p.pf.Notes {
		start, end := float64(n.Start), float64(n.End)
		if start < s.from-1e-6 || start >= s.to-1e-6 || p.pf.Written(i).Pitch.Step == 0 {
			continue
		}
		e := p.event(i, base, min(end, s.to), offsets[i])
		e.Joined = e.Joined && len(p.events) > 0 && p.events[len(p.events)-1].note == i-1
		p.events = append(p.events, e)
		if first == 0 {
			first = e.Start
		}
		last = e.End
		p.notes[i].Value = p.warp(end) - p.warp(start)
	}
	p.ends = base + p.warp(s.to)
	if turn == 0 && p.c.restart > 0 {
		p.free = append(p.free, span{base + p.warp(p.stretches()[1].from) - 0.1, last + 0.1})
	}
}

// event is the i-th note with the scatter of a human.
func (p *planner) event(i int, base, end, off float64) event {
	n, w := p.pf.Notes[i], p.pf.Written(i)
	scatter := max(-3, min(p.r.NormFloat64(), 3)) * timeScatter
	start, value := base+p.warp(float64(n.Start)), p.warp(end)-p.warp(float64(n.Start))
	scatter = max(-value/4, min(scatter, value/4))
	e := event{note: i, Tone: trombone.Tone{Start: start + scatter}}
	share := w.SoundedShare()
	if share < 1 {
		share *= 1 + lengthScatter*p.r.NormFloat64()
	}
	e.End = e.Start + share*value
	e.Hz = w.Pitch.Hz(p.c.a4) * ratio(off) * math.Exp2(float64(p.c.octave))
	e.HzEnd = e.Hz
	if w.GlissTo && i+1 < len(p.pf.Notes) {
		e.HzEnd = p.pf.Written(i+1).Pitch.Hz(p.c.a4) * math.Exp2(float64(p.c.octave))
	}
	e.Level = levelStep*(p.pf.Part.Level(w.Onset)-0.5) + levelScatter*p.r.NormFloat64()
	if i > 0 {
		before := p.pf.Written(i - 1)
		next := p.pf.Notes[i].Note == p.pf.Notes[i-1].Note+1
		e.Joined = next && (before.SlurTo || before.GlissTo) && before.Pitch.MIDI() != w.Pitch.MIDI()
	}
	if value > 2*trombone.VibratoFrom {
		e.Vibrato = p.c.vibrato
	}
	return e
}

// intonation is how far each note is off equal temperament at the take's own
// A, in cents. Notes of one name share a part of it. The weighted median is
// taken out, so that the take's A is what it says.
func (p *planner) intonation() []float64 {
	named := map[int]float64{}
	for m := 20; m < 90; m++ {
		named[m] = pitchScatter * p.r.NormFloat64()
	}
	out := make([]float64, len(p.pf.Notes))
	var v, weights []float64
	for i, n := range p.pf.Notes {
		out[i] = named[p.pf.Written(i).Pitch.MIDI()] + noteScatter*p.r.NormFloat64()
		v, weights = append(v, out[i]), append(weights, min(float64(n.End-n.Start), 1))
	}
	middle := weightedMedian(v, weights)
	for i := range out {
		out[i] -= middle
	}
	return out
}

func weightedMedian(v, weights []float64) float64 {
	order := make([]int, len(v))
	total := 0.0
	for i := range v {
		order[i], total = i, total+weights[i]
	}
	slices.SortFunc(order, func(a, b int) int { return int(math.Copysign(1, v[a]-v[b])) })
	sum := 0.0
	for _, i := range order {
		if sum += weights[i]; sum >= total/2 {
			return v[i]
		}
	}
	return 0
}

// settle keeps tongued notes apart and writes the truth down.
func (p *planner) settle() {
	slices.SortStableFunc(p.events, func(a, b event) int { return int(math.Copysign(1, a.Start-b.Start)) })
	for k := range p.events {
		e := &p.events[k]
		if k+1 < len(p.events) {
			if next := p.events[k+1]; next.Joined {
				e.End = next.Start
			} else {
				e.End = max(min(e.End, next.Start-tongue), e.Start+tongue)
			}
		}
	}
	for k := range p.events {
		p.write(k)
	}
	for i := range p.notes {
		p.room(i)
	}
}

// write records what an event is.
func (p *planner) write(k int) {
	e := p.events[k]
	if e.note < 0 {
		return
	}
	t := &p.notes[e.note]
	h := Heard{e.Start, e.End, e.Hz}
	if t.Split {
		h.Start = p.events[k-1].Start // the crack before it
	}
	if t.State == hear.Missed {
		t.State = hear.Played
	} else if t.Start > 0 {
		t.Again = append(t.Again, t.Heard)
	}
	t.Heard = h
	w := p.pf.Written(e.note)
	arrives := e.note > 0 && p.pf.Written(e.note-1).GlissTo
	t.Steady = t.State == hear.Played && h.End-h.Start >= shortSteady && !w.GlissTo && !arrives && !w.Grace &&
		(e.Vibrato == 0 || h.End-h.Start > 4*trombone.VibratoFrom)
}

// room marks the silences that are long enough for a breath.
func (p *planner) room(i int) {
	t := &p.notes[i]
	if t.State == hear.Missed || t.Breath != noBreath {
		return
	}
	for k := i + 1; k < len(p.notes); k++ {
		if p.notes[k].State != hear.Missed {
			if p.notes[k].Start-t.End >= breathGap {
				t.Breath = silence
			}
			return
		}
	}
}
