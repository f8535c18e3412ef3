package trial

import (
	"math"
	"slices"
	"strconv"

	"waterkey/hear"
	"waterkey/score"
)

// Figures are the counts and errors of one take, or of many together.
type Figures struct {
	Seconds float64 // of sound
	Takes   int
	Refused int // takes that were not heard at all
	onsets  counts
	notes   counts    // ends left out
	ended   counts    // ends included
	late    []float64 // ms, found less true, each note that was played and found
	cents   []float64 // found less true, steady notes
	lengths []float64 // ratio, found less true
	tempo   []float64 // share, found less true
	tuning  []float64 // cents, found less true
	right   counts    // notes whose state is right
	wrong   counts
	missed  counts
	split   counts
	extra   counts
	breaths counts
	Faults  []string // what went wrong, for the reader
}

func (f *Figures) add(g Figures) {
	f.Seconds += g.Seconds
	f.Takes, f.Refused = f.Takes+g.Takes, f.Refused+g.Refused
	for _, p := range []struct{ to, from *counts }{
		{&f.onsets, &g.onsets}, {&f.notes, &g.notes}, {&f.ended, &g.ended}, {&f.right, &g.right},
		{&f.wrong, &g.wrong}, {&f.missed, &g.missed}, {&f.split, &g.split}, {&f.extra, &g.extra}, {&f.breaths, &g.breaths},
	} {
		p.to.add(*p.from)
	}
	f.late, f.cents, f.lengths = append(f.late, g.late...), append(f.cents, g.cents...), append(f.lengths, g.lengths...)
	f.tempo, f.tuning = append(f.tempo, g.tempo...), append(f.tuning, g.tuning...)
}

// judge compares a take with what was heard; t is nil when it was refused.
func judge(take *Take, t *hear.Take) Figures {
	j := &judgement{take: take, t: t, found: make([]*hear.Note, len(take.Notes))}
	j.f = Figures{Seconds: take.Clip.Seconds(), Takes: 1}
	if t == nil {
		j.f.Refused = 1
	} else {
		j.assign()
		j.f.tempo = []float64{t.TempoBPM/take.BPM - 1}
		j.f.tuning = []float64{j.octave(cents(t.TuningHz, take.A4))}
	}
	j.states()
	j.measures()
	j.sounds()
	j.breaths()
	return j.f
}

// judgement is a comparison under way.
type judgement struct {
	take  *Take
	t     *hear.Take
	found []*hear.Note // by note of the performance; nil when nothing was said of it
	f     Figures
}

// assign joins what was heard to the notes of the performance, by identity.
// When a repeat was not taken, its one turn may stand for either.
func (j *judgement) assign() {
	type turn struct {
		id   string
		pass int
	}
	heard := map[turn]*hear.Note{}
	for i := range j.t.Notes {
		n := &j.t.Notes[i]
		heard[turn{n.ID, max(n.Pass, 1)}] = n
	}
	pf := j.take.Page
	for i := range j.found {
		j.found[i] = heard[turn{pf.Written(i).ID, pf.Notes[i].Pass}]
	}
	if !j.take.Case.noRepeat {
		return
	}
	for i := range j.found {
		if pf.Notes[i].Pass != 2 {
			continue
		}
		first := slices.IndexFunc(pf.Notes, func(n score.PlayedNote) bool { return n.Note == pf.Notes[i].Note })
		if sounds(j.found[i]) && !sounds(j.found[first]) {
			j.found[first], j.found[i] = j.found[i], j.found[first]
		}
	}
}

func sounds(n *hear.Note) bool { return n != nil && n.Measures != nil }

// state is what was said of the i-th note. In a take that lies an octave off,
// a note that is named in that octave is right.
func (j *judgement) state(i int) hear.State {
	n := j.found[i]
	switch {
	case n == nil || n.State == hear.Missed:
		return hear.Missed
	case n.State == hear.Other && j.take.Case.octave != 0:
		p, err := score.ParsePitch(n.Heard)
		if err == nil && (p.MIDI()-j.take.Page.Written(i).Pitch.MIDI())%12 == 0 {
			return hear.Played
		}
	}
	return n.State
}

// states counts right states and each kind of fault.
func (j *judgement) states() {
	for i, truth := range j.take.Notes {
		got := j.state(i)
		j.f.right.truth++
		if got == truth.State {
			j.f.right.hits++
		} else {
			j.fault(i, string(truth.State)+" taken for "+string(got))
		}
		j.f.wrong.add(kind(truth.State == hear.Other, got == hear.Other))
		j.f.missed.add(kind(truth.State == hear.Missed, got == hear.Missed))
		split := sounds(j.found[i]) && j.found[i].Split
		j.f.split.add(kind(truth.Split, split))
		if truth.Split != split {
			j.fault(i, map[bool]string{true: "split not found", false: "split where none is"}[truth.Split])
		}
	}
}

func kind(truth, found bool) counts {
	var c counts
	if truth {
		c.truth = 1
	}
	if found {
		c.found = 1
	}
	if truth && found {
		c.hits = 1
	}
	return c
}

func (j *judgement) fault(i int, what string) {
	pf := j.take.Page
	w := pf.Written(i)
	at := ""
	if s := j.take.Notes[i].Start; s > 0 {
		at = " at " + strconv.FormatFloat(s, 'f', 2, 64) + " s"
	}
	j.f.Faults = append(j.f.Faults, "bar "+pf.Part.BarName(w.Bar)+" "+w.Pitch.String()+at+": "+what)
}

// octave takes out the octave of a take that lies one off.
func (j *judgement) octave(c float64) float64 {
	if j.take.Case.octave == 0 {
		return c
	}
	return math.Remainder(c, 1200)
}

// measures compares the numbers of each note that sounded and was found.
func (j *judgement) measures() {
	for i, truth := range j.take.Notes {
		n := j.found[i]
		if truth.State == hear.Missed || !sounds(n) {
			continue
		}
		h := nearest(truth, n.Onset)
		late := 1000 * (n.Onset - h.Start)
		j.f.late = append(j.f.late, late)
		if math.Abs(late) > 1000*onsetWindow {
			j.fault(i, strconv.FormatFloat(late, 'f', 0, 64)+" ms off")
		}
		if truth.State == hear.Played && n.State != hear.Missed && !j.take.Page.Written(i).Grace {
			j.f.lengths = append(j.f.lengths, n.LengthRatio-(h.End-h.Start)/truth.Value)
		}
		if !truth.Steady {
			continue
		}
		off := j.octave(n.Cents - cents(h.Hz, j.take.Page.Written(i).Pitch.Hz(440)))
		j.f.cents = append(j.f.cents, off)
		if math.Abs(off) > 20 {
			j.fault(i, strconv.FormatFloat(off, 'f', 1, 64)+" cents off")
		}
	}
}

// nearest is the turn of a note that lies nearest to a moment.
func nearest(t Truth, at float64) Heard {
	best := t.Heard
	for _, h := range t.Again {
		if math.Abs(h.Start-at) < math.Abs(best.Start-at) {
			best = h
		}
	}
	return best
}

// sounds scores onsets and notes by the conventions of mir_eval, and the extra
// notes.
func (j *judgement) sounds() {
	truth, found := j.truths(), j.heard()
	extra := j.extras()
	j.f.extra = tally(matchOnsets(starts(j.take.Extra), starts(extra)), len(extra))
	for _, e := range extra {
		if !slices.ContainsFunc(j.take.Extra, func(h Heard) bool { return math.Abs(h.Start-e.Start) <= onsetWindow }) {
			j.f.Faults = append(j.f.Faults, "extra note at "+strconv.FormatFloat(e.Start, 'f', 2, 64)+" s where none is")
		}
	}
	found = append(found, extra...)
	truth = append(truth, j.take.Extra...)
	j.f.onsets = tally(matchOnsets(starts(truth), starts(found)), len(found))
	j.f.notes = tally(matchNotes(truth, found, false), len(found))
	j.f.ended = tally(matchNotes(truth, found, true), len(found))
}

// truths are the notes that sounded; of one that was played twice the turn
// that was found.
func (j *judgement) truths() []Heard {
	var out []Heard
	for i, t := range j.take.Notes {
		if t.State == hear.Missed {
			continue
		}
		h := t.Heard
		if n := j.found[i]; sounds(n) {
			h = nearest(t, n.Onset)
		}
		out = append(out, h)
	}
	return out
}

// heard are the notes of the page that were found.
func (j *judgement) heard() []Heard {
	var out []Heard
	for i, n := range j.found {
		if !sounds(n) {
			continue
		}
		hz := j.take.Page.Written(i).Pitch.Hz(440) * ratio(n.Cents)
		if o := j.take.Case.octave; o != 0 && math.Abs(n.Cents) < 600 {
			hz *= math.Exp2(float64(o)) // told against the octave that was played
		}
		out = append(out, Heard{n.Onset, n.Offset, hz})
	}
	return out
}

// extras are the extra notes that were found, without those in what is no part
// of the music.
func (j *judgement) extras() []Heard {
	var out []Heard
	if j.t == nil {
		return nil
	}
	for _, e := range j.t.Extra {
		free := slices.ContainsFunc(j.take.Free, func(s span) bool { return s.from <= e.Onset && e.Onset <= s.to })
		p, err := score.ParsePitch(e.Pitch)
		if free || err != nil || j.again(e.Onset) {
			continue
		}
		out = append(out, Heard{e.Onset, e.Offset, p.Hz(j.t.TuningHz)})
	}
	return out
}

// again says whether a moment is that of a note that was played twice.
func (j *judgement) again(at float64) bool {
	return slices.ContainsFunc(j.take.Notes, func(t Truth) bool {
		return len(t.Again) > 0 && math.Abs(nearest(t, at).Start-at) <= onsetWindow
	})
}

func starts(v []Heard) []float64 {
	out := make([]float64, len(v))
	for i, h := range v {
		out[i] = h.Start
	}
	return out
}

// breaths counts breaths found: those that were audibly taken are to be found,
// and no other place counts against the listener that has room for one.
func (j *judgement) breaths() {
	const room = 0.2 // s
	heard := map[int]bool{}
	if j.t != nil {
		for _, b := range j.t.Breaths {
			for i, n := range j.found {
				if n != nil && n.ID == b.After && sounds(n) && math.Abs(n.Offset-b.At) < 0.5 {
					heard[i] = true
				}
			}
		}
	}
	for i, t := range j.take.Notes {
		taken := t.Breath == breathing && t.State != hear.Missed
		free := t.Breath == silence || i+1 == len(j.take.Notes) || j.take.Notes[i+1].Start-t.End > room
		j.f.breaths.add(kind(taken, heard[i] && (taken || !free)))
	}
}
