package trial

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"

	"waterkey/demo"
	"waterkey/score"
	"waterkey/score/abc"
	"waterkey/score/musicxml"
)

// piece is music to play: bars first to last (exclusive, by index) of a file of
// the demo season or of the shared scores, or a sketch made up from a seed.
type piece struct {
	file        string
	first, last int
	sketch      uint64 // seed; 0 for a file
	repeat      bool   // the sketch repeats its first half
}

// The excerpts: the busiest half minute or so of each part.
var (
	parade       = piece{file: "harbor-parade.musicxml", first: 2, last: 27}
	paradeWhole  = piece{file: "harbor-parade.musicxml", last: 32}
	lanternWhole = piece{file: "lantern-song.musicxml", last: 32}
	quay         = piece{file: "iron-quay.musicxml", first: 1, last: 18}
	lantern      = piece{file: "lantern-song.musicxml", first: 21, last: 30}
	beach1       = piece{file: "beach-op-32-1-bass-trombone.musicxml", first: 266, last: 298}
	beach3       = piece{file: "beach-op-32-3-tenor-trombone-1.musicxml", first: 116, last: 122}
	beach4       = piece{file: "beach-op-32-4-bass-trombone.musicxml", first: 28, last: 63}
	beethoven5   = piece{file: "beethoven-op-67-4-tenor-trombone.musicxml", first: 0, last: 22}
	brahms2      = piece{file: "brahms-op-73-4-trombone-1.musicxml", first: 352, last: 371}
	brahms3      = piece{file: "brahms-op-90-4-trombone-3.musicxml", first: 150, last: 169}
	bruckner1    = piece{file: "bruckner-wab-105-1-bass-trombone.musicxml", first: 356, last: 375}
	bruckner2    = piece{file: "bruckner-wab-105-2-alto-trombone.musicxml", first: 184, last: 193}
	bruckner3    = piece{file: "bruckner-wab-105-3a-scherzo-tenor-trombone.musicxml", first: 300, last: 340}
)

func sketched(seed uint64) piece { return piece{sketch: seed} }

// part reads or makes the music. scores is the folder of the shared scores.
func (p piece) part(scores string) (*score.Part, error) {
	if p.sketch != 0 {
		return sketchPart(p.sketch, p.repeat)
	}
	data, err := demo.Open(p.file)
	if err != nil {
		if data, err = os.ReadFile(filepath.Join(scores, p.file)); err != nil {
			return nil, err
		}
	}
	doc, err := musicxml.Parse(p.file, data)
	if err != nil {
		return nil, err
	}
	part, err := doc.Part(score.Selection{})
	if err != nil {
		return nil, err
	}
	if p.last > len(part.Bars) {
		return nil, fmt.Errorf("%s has %d bars, the excerpt ends at %d", p.file, len(part.Bars), p.last)
	}
	if p.first == 0 && p.last == len(part.Bars) {
		return part, nil
	}
	return excerpt(part, p.first, p.last), nil
}

// excerpt is the part from bar first to bar last (exclusive) by itself,
// without repeats. No tie may cross its ends.
func excerpt(p *score.Part, first, last int) *score.Part {
	from, to := p.Bars[first].Start, p.Bars[last-1].End()
	inside := func(at score.Time) bool { return !at.Less(from) && at.Less(to) }
	out := &score.Part{Title: p.Title, Name: p.Name}
	for _, b := range p.Bars[first:last] {
		b.Start, b.RepeatStart, b.RepeatEnd, b.Endings = b.Start.Sub(from), false, 0, nil
		b.Fine, b.ToCoda, b.DaCapo, b.DalSegno = false, false, false, false
		out.Bars = append(out.Bars, b)
	}
	for _, n := range p.Notes {
		if inside(n.Onset) {
			out.Notes = append(out.Notes, moved(n, from, first))
		}
	}
	for _, r := range p.Rests {
		if inside(r.Onset) {
			r.Onset, r.Bar = r.Onset.Sub(from), r.Bar-first
			out.Rests = append(out.Rests, r)
		}
	}
	out.Tempos = excerptTempos(p, from, to, first)
	out.Dynamics = excerptDynamics(p, from, to, first)
	for _, w := range p.Wedges {
		if inside(w.From) && !to.Less(w.To) {
			w.From, w.To = w.From.Sub(from), w.To.Sub(from)
			w.FromBar, w.ToBar = w.FromBar-first, w.ToBar-first
			out.Wedges = append(out.Wedges, w)
		}
	}
	return out
}

func moved(n score.Note, from score.Time, bars int) score.Note {
	n.Onset, n.Bar = n.Onset.Sub(from), n.Bar-bars
	pieces := make([]score.Piece, len(n.Pieces))
	for i, p := range n.Pieces {
		p.Onset, p.Bar = p.Onset.Sub(from), p.Bar-bars
		pieces[i] = p
	}
	n.Pieces = pieces
	return n
}

// excerptTempos are the tempo marks inside, and the speed in force at the
// start as a mark of its own.
func excerptTempos(p *score.Part, from, to score.Time, first int) []score.TempoMark {
	bpm, unit, _ := p.OpeningTempo()
	start := score.TempoMark{BPM: bpm, Unit: unit}
	var out []score.TempoMark
	for _, m := range p.Tempos {
		switch {
		case !to.Less(m.At) && from.Less(m.At):
			m.At, m.Bar = m.At.Sub(from), m.Bar-first
			out = append(out, m)
		case !from.Less(m.At) && m.BPM > 0 && m.Unit.Sign() > 0:
			start.BPM, start.Unit = m.BPM, m.Unit
		}
	}
	return append([]score.TempoMark{start}, out...)
}

func excerptDynamics(p *score.Part, from, to score.Time, first int) []score.DynamicMark {
	var start, out []score.DynamicMark
	for _, m := range p.Dynamics {
		if !from.Less(m.At) {
			start = []score.DynamicMark{{Mark: m.Mark}}
		} else if m.At.Less(to) {
			m.At, m.Bar = m.At.Sub(from), m.Bar-first
			out = append(out, m)
		}
	}
	return append(start, out...)
}

// figures are bars of 4/4 in eighths for sketches: how many eighths each note
// lasts, a rest where negative.
var figures = [][]int{
	{2, 2, 2, 2}, {1, 1, 1, 1, 2, 2}, {3, 1, 2, 2}, {4, 2, 2}, {4, 4}, {2, 1, 1, 2, -2}, {-2, 2, 2, 2},
	{1, 1, 1, 1, 1, 1, 1, 1}, {6, 2}, {3, 1, 4}, {2, 2, 1, 1, -2}, {1, 2, 1, 2, 2},
}

// sketchPart makes twelve bars up, in abc notation: steps and small leaps in a
// key, one way of articulation for each bar, a dynamic every fourth.
func sketchPart(seed uint64, repeat bool) (*score.Part, error) {
	const bars = 12
	r := rand.New(rand.NewPCG(seed, 1))
	key := []string{"Bb", "F", "Eb", "C", "G", "Ab"}[r.IntN(6)]
	var b strings.Builder
	fmt.Fprintf(&b, "X:1\nT:Sketch %d\nM:4/4\nL:1/8\nQ:1/4=%d\nK:%s bass\n", seed, 66+r.IntN(60), key)
	step := 4 + r.IntN(7) // above C2
	for i := range bars {
		switch {
		case repeat && i == 0:
			b.WriteString("|:")
		case i%4 == 0:
			b.WriteString(" ")
		}
		if i%4 == 0 {
			fmt.Fprintf(&b, "!%s!", []string{"mf", "f", "p", "mp", "ff"}[r.IntN(5)])
		}
		step = sketchBar(&b, r, figures[r.IntN(len(figures))], step)
		if repeat && i == bars/2-1 {
			b.WriteString(":|")
		} else {
			b.WriteString("|")
		}
	}
	b.WriteString("]\n")
	doc, err := abc.Parse("sketch.abc", []byte(b.String()))
	if err != nil {
		return nil, err
	}
	return doc.Part(score.Selection{})
}

// sketchBar writes one bar and returns the step it ends on.
func sketchBar(b *strings.Builder, r *rand.Rand, figure []int, step int) int {
	const lowest, highest = 2, 18 // E2 to F4
	manner := []string{"", "", ".", "!tenuto!", "slur"}[r.IntN(5)]
	slurred := manner == "slur" && len(figure) > 1 && figure[0] > 0 && figure[len(figure)-1] > 0
	if manner == "slur" {
		manner = ""
	}
	for k, eighths := range figure {
		if eighths < 0 {
			fmt.Fprintf(b, "z%d", -eighths)
			continue
		}
		leap := []int{-3, -2, -1, -1, 0, 1, 1, 2, 3}[r.IntN(9)]
		if slurred && leap == 0 {
			leap = 1
		}
		if step+leap < lowest || step+leap > highest {
			leap = -leap
		}
		step += leap
		if slurred && k == 0 {
			b.WriteString("(")
		}
		fmt.Fprintf(b, "%s%s%d", manner, abcNote(step), eighths)
		if slurred && k == len(figure)-1 {
			b.WriteString(")")
		}
	}
	return step
}

// abcNote names a diatonic step above C2.
func abcNote(step int) string {
	return string("CDEFGAB"[step%7]) + strings.Repeat(",", 2-min(step/7, 2)) + strings.Repeat("'", max(step/7-2, 0))
}
