package trial

import (
	"slices"

	"waterkey/demo/trombone"
	"waterkey/hear"
	"waterkey/score"
)

// How often each fault is planted, as a share of the notes, and how near two
// may stand (estimates: more than an audition has, so that there is something
// to count).
const (
	wrongShare, missedShare, splitShare, extraShare = 0.04, 0.03, 0.06, 0.09

	faultsApart = 3 // notes
)

// Sizes of the faults.
const (
	crackShortest, crackLongest = 0.045, 0.09 // s on the wrong partial
	crackNote                   = 0.22        // s that a note must have to be split
	wrongNote                   = 0.10        // s that a wrong note must have
	extraLong                   = 0.16        // s
	extraRoom                   = 0.45        // s of note or rest that an extra one needs
)

// spoilNotes plants wrong, missed, split and extra notes.
func (p *planner) spoilNotes() {
	last := -faultsApart
	for k := 0; k < len(p.events); k++ {
		e := p.events[k]
		x := p.r.Float64()
		if e.note < 0 || e.note-last < faultsApart || p.first(e.note) || p.moves(e.note) || p.twice(e.note) {
			continue
		}
		done := false
		switch {
		case x < wrongShare:
			done = p.playWrong(k)
		case x < wrongShare+missedShare:
			done = p.leaveOut(k)
		case x < wrongShare+missedShare+splitShare:
			done = p.crack(k)
		case x < wrongShare+missedShare+splitShare+extraShare:
			done = p.slipIn(k)
		}
		if done {
			last = e.note
		}
	}
}

// first says whether the note is the first or the last: a take begins and ends
// on its own.
func (p *planner) first(i int) bool { return i == 0 || i == len(p.notes)-1 }

// moves says whether the note is part of a glissando or a grace note.
func (p *planner) moves(i int) bool {
	w := p.pf.Written(i)
	return w.GlissTo || w.Grace || p.pf.Written(i-1).GlissTo || p.pf.Written(i-1).Grace || w.Marks.Any(score.Trill)
}

// twice says whether the note is played twice because of a restart: what
// became of it would be a question of taste.
func (p *planner) twice(i int) bool {
	n := 0
	for _, e := range p.events {
		if e.note == i {
			n++
		}
	}
	return n > 1
}

func (p *planner) playWrong(k int) bool {
	e := &p.events[k]
	if e.End-e.Start < wrongNote {
		return false
	}
	for _, semitones := range p.r.Perm(4) {
		step := []float64{-200, -100, 100, 200}[semitones]
		hz := e.Hz * ratio(step)
		if k > 0 && near(hz, p.events[k-1].Hz) || k+1 < len(p.events) && near(hz, p.events[k+1].Hz) {
			continue // would be the neighbor played twice
		}
		e.Hz, e.HzEnd = hz, hz
		p.notes[e.note].State = hear.Other
		return true
	}
	return false
}

func near(a, b float64) bool { return cents(a, b) < 60 && cents(a, b) > -60 }

func (p *planner) leaveOut(k int) bool {
	if k+1 < len(p.events) {
		p.events[k+1].Joined = false
	}
	p.events = slices.Delete(p.events, k, k+1)
	return true
}

// crack lets a tongued note begin on a higher partial.
func (p *planner) crack(k int) bool {
	e := &p.events[k]
	if e.End-e.Start < crackNote || e.Joined {
		return false
	}
	c := *e
	c.note = -1
	up := []float64{5.0 / 4, 4.0 / 3, 6.0 / 5}[p.r.IntN(3)]
	c.Hz, c.HzEnd = e.Hz*up, e.Hz*up
	c.End = e.Start + crackShortest + (crackLongest-crackShortest)*p.r.Float64()
	e.Start, e.Joined = c.End, true
	p.notes[e.note].Split = true
	p.events = slices.Insert(p.events, k, c)
	return true
}

// slipIn plays a note that is not on the page: in the end of a long note, or
// in the rest after it.
func (p *planner) slipIn(k int) bool {
	e := &p.events[k]
	if k+1 >= len(p.events) || p.events[k+1].Joined || p.events[k+1].Start-e.Start < extraRoom {
		return false
	}
	next := p.events[k+1].Start
	x := event{note: -1, Tone: trombone.Tone{Level: e.Level}}
	x.End = next - 2*tongue
	x.Start = x.End - extraLong
	if rest := next - e.End; rest > extraRoom {
		x.Start = e.End + rest/2 - extraLong/2
		x.End = x.Start + extraLong
	}
	step := []float64{-300, -200, 200, 300}[p.r.IntN(4)]
	x.Hz = e.Hz * ratio(step)
	if near(x.Hz, p.events[k+1].Hz) {
		x.Hz = e.Hz * ratio(-step)
	}
	if near(x.Hz, p.events[k+1].Hz) {
		return false
	}
	x.HzEnd = x.Hz
	e.End = min(e.End, x.Start-tongue)
	p.extra = append(p.extra, Heard{x.Start, x.End, x.Hz})
	p.events = slices.Insert(p.events, k+1, x)
	return true
}

// takeBreaths shortens a note now and then to breathe.
func (p *planner) takeBreaths() {
	const apart = 5.0 // s
	if !p.c.breaths {
		return
	}
	last := p.events[0].Start
	for k := 0; k+1 < len(p.events); k++ {
		e, next := &p.events[k], &p.events[k+1]
		if e.note < 0 || next.note < 0 || next.Joined || e.Start-last < apart || next.Start-e.Start < 2*breathLong {
			continue
		}
		e.End = min(e.End, next.Start-breathLong)
		last = e.Start
		p.notes[e.note].Breath = breathing
		p.breaths = append(p.breaths, span{e.End + tongue, next.Start - tongue})
	}
}
