package align

import (
	"math"

	"waterkey/hear/onset"
)

// What a path gains and pays, in units of one right note (estimates, tuned on
// synthesised takes with planted faults).
const (
	rightCents  = 60.0 // cents: nearer than this is the right note, tuned as the take is
	rightGain   = 0.4  // at once, and as the note's length is filled
	fillGain    = 0.6  // up to so much more
	fillShare   = 0.5  // of the written value is the full length: staccato
	farLoss     = 0.2  // of the gain, at rightCents
	wrongLoss   = 0.25 // another pitch at the right time, nearby
	wrongFar    = 0.15 // more at an octave's distance
	startGain   = 0.2  // the note begins at a plain cut
	missLoss    = 0.6
	outsideMiss = 0.3 // a note before the first or after the last one played, or a grace note
	extraLoss   = 0.1
	extraLong   = 0.4  // more for a sound of extraFull seconds or longer
	extraFull   = 0.15 // s
	outsideLoss = 0.03 // a sound before the first or after the last note: count-in, talk
	againLoss   = 0.5  // a plain new attack inside a note
	shortNote   = 0.05 // s: so much of a note is always enough
)

// move is how a path came into a cell.
type move uint8

const (
	none move = iota
	matched
	missed
	extra     // the sound belongs to no note
	continues // the sound goes on with the note before
)

// carried is what a path knows about time: the last note matched and the tempo
// there.
type carried struct {
	score       float64
	stretch     float64 // seconds of the take for one of the page
	note, sound int     // last match, -1 for none
	covered     float64 // share of that note's length that has sounded, up to 1
}

// grid is the table of notes against sounds.
type grid struct {
	notes  []note
	sounds []onset.Sound
	moves  []move
}

// result is one run's best path.
type result struct {
	score   float64
	tuning  float64
	matches []Match
	extra   []int // sounds inside a match's range that are not the note's
	clock   *Clock
}

// run finds the best path. With a clock, notes are due when it says; without,
// the path carries its tempo along from start.
func (g *grid) run(start carried, tuning float64, clock *Clock) result {
	rows, cols := len(g.notes)+1, len(g.sounds)+1
	if len(g.moves) != rows*cols {
		g.moves = make([]move, rows*cols)
	}
	due := g.due(clock)
	start.note, start.sound, start.score = -1, -1, 0
	above, row := make([]carried, cols), make([]carried, cols)
	best, bestRow := math.Inf(-1), 0
	for i := range rows {
		for j := range cols {
			if i == 0 && j == 0 {
				row[0] = start
				continue
			}
			c, m := carried{score: math.Inf(-1)}, none
			if j > 0 {
				c, m = g.pass(row[j-1], i, j-1, tuning)
			}
			if i > 0 {
				if n := g.skip(above[j], i-1); n.score > c.score {
					c, m = n, missed
				}
			}
			if i > 0 && j > 0 {
				if n := g.match(above[j-1], i-1, j-1, tuning, due); n.score > c.score {
					c, m = n, matched
				}
			}
			row[j], g.moves[i*cols+j] = c, m
		}
		if s := row[cols-1].score - outsideMiss*float64(rows-1-i); s > best {
			best, bestRow = s, i
		}
		above, row = row, above
	}
	r := g.trace(bestRow, tuning)
	r.score, r.tuning, r.clock = best, tuning, clock
	return r
}

// due is when the clock expects each note, nil without a clock.
func (g *grid) due(clock *Clock) []float64 {
	if clock == nil {
		return nil
	}
	due := make([]float64, len(g.notes))
	for i, n := range g.notes {
		due[i] = clock.At(n.start)
	}
	return due
}

// pass leaves sound j without a note of its own, i notes being dealt with.
func (g *grid) pass(c carried, i, j int, tuning float64) (carried, move) {
	s := &g.sounds[j]
	switch {
	case c.note < 0 || i == len(g.notes) && !g.goesOn(c, i, j, tuning):
		c.score -= outsideLoss
		return c, extra
	case g.goesOn(c, i, j, tuning):
		if !g.notes[c.note].moving {
			c.score -= againLoss * plain(min(s.Rise, s.Dip))
		}
		if g.notes[c.note].off(g.sounds[c.sound].Cents, tuning) <= rightCents {
			c.fill(&g.notes[c.note], s)
		}
		return c, continues
	}
	c.score -= extraLoss + extraLong*min(1, (s.End-s.Start)/extraFull)
	return c, extra
}

// goesOn says whether sound j can be more of the note matched last.
func (g *grid) goesOn(c carried, i, j int, tuning float64) bool {
	const pause = 0.3 // s of silence that ends a note for good (estimate)
	return c.note == i-1 && g.notes[c.note].off(g.sounds[j].Cents, tuning) <= rightCents && g.sounds[j].Gap < pause
}

// fill gains for the part of a note's length that a sound fills: a short slip
// on the right pitch is no note.
func (c *carried) fill(n *note, s *onset.Sound) {
	full := max(fillShare*(n.end-n.start), shortNote)
	now := min(1, c.covered+(s.End-s.Start)/full)
	c.score += fillGain * (now - c.covered)
	c.covered = now
}

// skip leaves note i without a sound.
func (g *grid) skip(c carried, i int) carried {
	if c.note < 0 || g.notes[i].grace {
		c.score -= outsideMiss
	} else {
		c.score -= missLoss
	}
	return c
}

// match gives sound j to note i.
func (g *grid) match(c carried, i, j int, tuning float64, due []float64) carried {
	n, s := &g.notes[i], &g.sounds[j]
	c.covered = 0
	switch off := n.off(s.Cents, tuning); {
	case math.IsNaN(n.cents):
		c.score += rightGain // no pitch on the page: any will do
	case off <= rightCents:
		c.score += rightGain - farLoss*off*off/rightCents/rightCents
		c.fill(n, s)
	default:
		c.score -= wrongLoss + wrongFar*min(1, off/1200)
	}
	c.score += startGain * max(plain(s.Rise), pitchStep(s))
	if due != nil {
		c.score -= g.untimely(s.Start-due[i], i)
	} else {
		c.follow(i, s.Start, g)
	}
	c.note, c.sound = i, j
	return c
}

// plain is how plainly a rise of so many dB is an attack, 0 to 1.
func plain(rise float64) float64 {
	const weak, sure = 3.0, 12.0 // dB (estimate: vibrato makes 3)
	return max(0, min((rise-weak)/(sure-weak), 1))
}

// pitchStep is how plainly a sound begins by its pitch, 0 to 1.
func pitchStep(s *onset.Sound) float64 { return min(math.Abs(s.Step)/100, 1) }

// trace follows the moves back from the last sound and the given row.
func (g *grid) trace(row int, tuning float64) result {
	r := result{matches: make([]Match, len(g.notes))}
	for i := range r.matches {
		r.matches[i] = Match{First: -1, Last: -1}
	}
	last := -1 // the furthest sound that goes on with the note being traced
	for i, j := row, len(g.sounds); i > 0 || j > 0; {
		switch g.moves[i*(len(g.sounds)+1)+j] {
		case matched:
			i, j = i-1, j-1
			right := math.IsNaN(g.notes[i].cents) || g.notes[i].off(g.sounds[j].Cents, tuning) <= rightCents
			r.matches[i] = Match{First: j, Last: max(j, last), Right: right}
			last = -1
		case missed:
			i--
		case continues:
			j--
			last = max(last, j)
		default:
			j--
			r.extra = append(r.extra, j)
		}
	}
	return r
}
