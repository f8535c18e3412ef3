package align

import (
	"math"
	"slices"

	"waterkey/hear/onset"
)

// search looks for paths through one take.
type search struct {
	page   *page
	sounds []onset.Sound
	cells  []cell // room that one run leaves to the next
}

// transposition is how the whole take lies above the page.
type transposition struct {
	tuning  float64 // cents, octaves and semitones taken out
	octaves int
	steps   int // semitones beyond that: another clef or part
}

func (t transposition) cents() float64 {
	return t.tuning + 1200*float64(t.octaves) + 100*float64(t.steps)
}

// Bounds of the search (estimates).
const (
	// beam is how far below the best a path may lie and still be followed: about
	// what stopping and beginning anew costs. What lies further below can begin
	// anew from the best and be there.
	beam = 3.5
	// mostCells bounds the notes that a sound can be, the likeliest kept.
	mostCells = 128
	// mostPassed is how many sounds in a row may be passed over inside a run;
	// any number inside a trill.
	mostPassed = 8
)

// cell is a sound standing for a note, at the end of some path.
type cell struct {
	note, sound int32
	prev        int32 // cell before it, -1 for none
	upTo        int32 // last sound that the cell before it may go on with
	kind        Kind
}

// head is the end of a path that is still followed.
type head struct {
	cell    int32
	passed  int
	right   bool
	score   float64
	covered float64 // share of the note's length that has sounded, up to 1
	pace    pace
}

// entry is the best way found into a note with the sound at hand.
type entry struct {
	score float64
	prev  int32
	upTo  int32
	kind  Kind
	pace  pace
}

// run is one search in progress.
type run struct {
	*search
	cents float64   // by which the take lies above the page
	tempo []float64 // by sound: seconds of the take for one of the page; nil while paths carry their own
	cells []cell
	heads []head
	row   []entry // by note
	gains []float64
	right []bool
	known []int32 // the sound that gains and right are for, plus one
	into  []int32 // notes entered with the sound at hand
	best  float64 // score of the best head or break
	rest  entry   // the best path that has stopped
	end   entry   // the best path that has ended
}

// run finds the best path at a transposition. With a tempo the costs are fixed;
// without, paths carry their own along.
func (s *search) run(t transposition, tempo []float64) result {
	n := len(s.page.notes)
	r := &run{search: s, cents: t.cents(), tempo: tempo, row: make([]entry, n), gains: make([]float64, n), right: make([]bool, n), known: make([]int32, n), cells: s.cells[:0]}
	for i := range r.row {
		r.row[i].score = math.Inf(-1)
	}
	r.rest = entry{score: math.Inf(-1), prev: -1}
	r.end = r.rest
	for k := range s.sounds {
		r.into = r.into[:0]
		for h := range r.heads {
			r.goOn(&r.heads[h], k)
		}
		r.begin(k)
		r.pass(k)
		r.open(k)
		r.close(k)
	}
	s.cells = r.cells
	return r.trace(t)
}

// gain is what sound k gives as note i, and whether it has its pitch.
func (r *run) gain(i, k int) (float64, bool) {
	if r.known[i] != int32(k+1) {
		r.gains[i], r.right[i] = matchGain(&r.page.notes[i], &r.sounds[k], r.cents)
		r.known[i] = int32(k + 1)
	}
	return r.gains[i], r.right[i]
}

// offer enters note i when that is the best way yet.
func (r *run) offer(i int, e entry) {
	if e.score <= r.row[i].score || e.score < r.best-beam {
		return
	}
	if math.IsInf(r.row[i].score, -1) {
		r.into = append(r.into, int32(i))
	}
	r.row[i] = e
}

// mostGain is more than any match gives.
const mostGain = startGain + rightGain + fillGain

// goOn offers sound k to the notes after a head's, near ones and by leaps.
func (r *run) goOn(h *head, k int) {
	c := r.cells[h.cell]
	skipped := 0.0
	for i := int(c.note) + 1; i < len(r.page.notes) && h.score-skipped+mostGain > r.best-beam; i++ {
		r.follow(h, i, k, 0, skipped, steps)
		skipped += missCost(&r.page.notes[i])
	}
	for _, l := range r.page.leaps[c.note] {
		if h.score-l.cost+mostGain > r.best-beam {
			r.follow(h, l.to, k, l.cut, l.cost, l.kind)
		}
	}
}

// follow offers sound k as note i after a head, so many seconds of the page
// cut out and so much paid for the way.
func (r *run) follow(h *head, i, k int, cut, paid float64, kind Kind) {
	c, n := r.cells[h.cell], &r.page.notes[i]
	gain, _ := r.gain(i, k)
	score := h.score - paid + gain
	if score <= r.row[i].score || score+fillGain < r.best-beam {
		return
	}
	from := &r.page.notes[c.note]
	passed := r.sounds[k].Start - r.sounds[c.sound].Start
	step := n.start - from.start - cut
	loose := 0.0
	if n.grace || from.grace {
		loose = sigmaGrace
	}
	pace := h.pace
	if r.tempo != nil {
		score -= untimely(passed, step*r.tempo[c.sound], loose)
	} else {
		var cost float64
		cost, pace = pace.follow(passed, step, loose, i > 0 && n.start-r.page.notes[i-1].end >= restLeast)
		score -= cost
	}
	r.offer(i, entry{score, h.cell, int32(k - 1), kind, pace})
}

// begin offers sound k to every note of its pitch, for a path that begins with
// it or begins anew after a stop.
func (r *run) begin(k int) {
	s := &r.sounds[k]
	first := -outsideLoss * float64(k)
	again := r.rest
	again.score -= beginAt(s)
	again.kind = begins
	if again.pace.steps > 2 {
		again.pace.steps = 2 // the tempo may be another
	}
	for _, i := range r.page.sounding(s.Cents - r.cents) {
		n := &r.page.notes[i]
		late := 0.0
		if i > 0 {
			late = lateBegin + n.begin
		}
		score := max(first-late, again.score-n.begin)
		if score+mostGain < r.best-beam || score+mostGain <= r.row[i].score {
			continue
		}
		gain, right := r.gain(int(i), k)
		if !right {
			continue // nobody begins with a wrong note
		}
		if first-late >= again.score-n.begin {
			r.offer(int(i), entry{first - late + gain, -1, -1, begins, pace{}})
		} else {
			e := again
			e.score += gain - n.begin
			r.offer(int(i), e)
		}
	}
}

// passing is what passing over sound s does to a head: it goes on with the
// head's note, or belongs to no note.
func (s *search) passing(h *head, n *note, v *onset.Sound, cents, stretch float64) (score, covered float64, continues bool) {
	extra := -extraCost(v)
	if !goesOn(n, v, cents) {
		return extra, h.covered, false
	}
	more := 0.0
	if !n.moving {
		more -= againLoss * plain(min(v.Rise, v.Dip))
	}
	covered = h.covered
	if h.right {
		covered = min(1, covered+filled(n, v.End-v.Start, stretch))
		more += fillGain * (covered - h.covered)
	}
	if more < extra {
		return extra, h.covered, false
	}
	return more, covered, true
}

// stretchAt is the tempo behind a head.
func (r *run) stretchAt(sound int32, p pace) float64 {
	switch {
	case r.tempo != nil:
		return r.tempo[sound]
	case p.stretch > 0:
		return p.stretch
	}
	return 1
}

// pass lets every head pass over sound k, and drops those that fell behind.
func (r *run) pass(k int) {
	kept := r.heads[:0]
	for _, h := range r.heads {
		c := r.cells[h.cell]
		n := &r.page.notes[c.note]
		more, covered, _ := r.passing(&h, n, &r.sounds[k], r.cents, r.stretchAt(c.sound, h.pace))
		h.score, h.covered = h.score+more, covered
		h.passed++
		if h.score+mostGain > r.best-beam && (n.moving || h.passed <= mostPassed) {
			kept = append(kept, h)
		}
	}
	r.heads = kept
}

// open makes heads of the notes entered with sound k.
func (r *run) open(k int) {
	first := len(r.heads)
	for _, i := range r.into {
		e := &r.row[i]
		n, s := &r.page.notes[i], &r.sounds[k]
		h := head{cell: int32(len(r.cells)), score: e.score, pace: e.pace}
		if _, h.right = r.gain(int(i), k); h.right {
			h.covered = filled(n, s.End-s.Start, r.stretchAt(int32(k), e.pace))
			h.score += fillGain * h.covered
		}
		r.cells = append(r.cells, cell{i, int32(k), e.prev, e.upTo, e.kind})
		r.heads = append(r.heads, h)
		e.score = math.Inf(-1)
	}
	if fresh := r.heads[first:]; len(fresh) > mostCells {
		slices.SortFunc(fresh, func(a, b head) int {
			if a.score > b.score {
				return -1
			}
			return 1
		})
		r.heads = r.heads[:first+mostCells]
	}
}

// close notes the best paths that stop or end after sound k.
func (r *run) close(k int) {
	r.rest.score -= outsideLoss
	r.end.score -= outsideLoss
	r.best = r.rest.score
	for _, h := range r.heads {
		r.best = max(r.best, h.score)
		stop := entry{h.score - stopCost, h.cell, int32(k), begins, h.pace}
		if stop.score > r.rest.score {
			r.rest = stop
		}
		if int(r.cells[h.cell].note) < len(r.page.notes)-1 {
			stop.score = h.score - earlyEnd
		} else {
			stop.score = h.score
		}
		if stop.score > r.end.score {
			r.end = stop
		}
	}
}

// step is a note of a path with its sounds.
type step struct {
	note, sound, last int // last is the last sound that goes on with it
	upTo              int // the last sound passed over after it, inside the run
	kind              Kind
	right             bool
	cents             float64 // the pitch that counts
}

// result is a run's best path.
type result struct {
	transposition
	score float64
	steps []step
}

// trace follows the best path back from its end.
func (r *run) trace(t transposition) result {
	out := result{transposition: t, score: r.end.score}
	upTo := r.end.upTo
	for at := r.end.prev; at >= 0; {
		c := r.cells[at]
		out.steps = append(out.steps, r.stepOf(c, int(upTo)))
		at, upTo = c.prev, c.upTo
	}
	slices.Reverse(out.steps)
	return out
}

// stepOf is a cell with the sounds up to a given one that go on with it.
func (r *run) stepOf(c cell, upTo int) step {
	n := &r.page.notes[c.note]
	v := step{note: int(c.note), sound: int(c.sound), last: int(c.sound), upTo: upTo, kind: c.kind}
	v.cents = n.meant(&r.sounds[c.sound], r.cents)
	v.right = n.right(v.cents, r.cents)
	for k := v.sound + 1; k <= upTo; k++ {
		h := head{right: v.right, covered: 1}
		if _, _, goes := r.passing(&h, n, &r.sounds[k], r.cents, 1); goes {
			v.last = k
		}
	}
	return v
}
