package sound

import (
	"cmp"
	"io"
	"math"
	"slices"
)

// window is how many samples a Stream makes at once: 21 ms at 48 kHz, little
// enough to start at once and enough to go on fast.
const window = 1024

// Stream makes the samples of [Render] piece by piece: the first are there before
// the rest is computed. It serves one goroutine.
type Stream struct {
	o       Options
	length  int
	waiting []*player // by start
	playing []*player
	ticks   []Tone
	strokes []stroke
	block   int       // samples between two states of a tone
	buf     []float64 // from sample at on; a tone may reach a block past the window
	at      int
	ready   []float64 // the part of buf that was not read yet
}

// NewStream prepares the samples of tones, in any order.
func NewStream(tones []Tone, o Options) *Stream {
	o = o.filled()
	s := &Stream{o: o, block: max(o.Rate/blocksPerSecond, 1)}
	end := float64(o.Least)
	for _, t := range tones {
		end = max(end, float64(t.End)+tail)
		if t.isTick() {
			s.ticks = append(s.ticks, t)
		}
	}
	s.length = int(math.Ceil(end * float64(o.Rate)))
	stored := newBank(o)
	for _, c := range chains(tones, o.Timbre) {
		s.waiting = append(s.waiting, newPlayer(c, stored))
		s.strokes = append(s.strokes, c.strokesOf(o.Timbre)...)
	}
	slices.SortStableFunc(s.waiting, func(a, b *player) int { return cmp.Compare(a.first, b.first) })
	slices.SortStableFunc(s.strokes, func(a, b stroke) int { return cmp.Compare(a.start, b.start) })
	slices.SortStableFunc(s.ticks, func(a, b Tone) int { return cmp.Compare(a.Start, b.Start) })
	s.buf = make([]float64, window+s.block)
	return s
}

// Rate is the samples a second.
func (s *Stream) Rate() int { return s.o.Rate }

// Len is the number of samples in all.
func (s *Stream) Len() int { return s.length }

// Seconds is the length in all.
func (s *Stream) Seconds() float64 { return float64(s.length) / float64(s.o.Rate) }

// Read puts the next samples into x and says how many. The error is io.EOF after
// the last one.
func (s *Stream) Read(x []float64) (int, error) {
	n := 0
	for n < len(x) {
		if len(s.ready) == 0 {
			if s.at >= s.length {
				break
			}
			s.advance()
		}
		k := copy(x[n:], s.ready)
		s.ready = s.ready[k:]
		n += k
	}
	if n == 0 && len(x) > 0 {
		return 0, io.EOF
	}
	return n, nil
}

// advance makes the next window.
func (s *Stream) advance() {
	copy(s.buf, s.buf[window:])
	clear(s.buf[s.block:])
	until := s.at + window
	for len(s.waiting) > 0 && s.waiting[0].first < until {
		s.playing = append(s.playing, s.waiting[0])
		s.waiting = s.waiting[1:]
	}
	s.playing = slices.DeleteFunc(s.playing, func(p *player) bool { return p.playUntil(s.buf, s.at, until, s.block) })
	s.addShort(until)
	s.ready = s.buf[:min(window, s.length-s.at)]
	s.at = until
}

// addShort adds strokes and ticks, which are computed sample by sample, to the
// window that ends before until.
func (s *Stream) addShort(until int) {
	rate, out := float64(s.o.Rate), s.buf[:window]
	over := func(end float64) bool { return (end+1/rate)*rate < float64(s.at) }
	for len(s.strokes) > 0 && over(s.strokes[0].start+strokeTime) {
		s.strokes = s.strokes[1:]
	}
	for _, k := range s.strokes {
		if k.start*rate > float64(until) {
			break
		}
		k.addTo(out, s.at, rate)
	}
	for len(s.ticks) > 0 && over(float64(s.ticks[0].End)) {
		s.ticks = s.ticks[1:]
	}
	for _, t := range s.ticks {
		if float64(t.Start)*rate > float64(until+1) {
			break
		}
		addTick(out, s.at, t, s.o.Rate)
	}
}

// player plays one chain block by block.
type player struct {
	chain
	voice
	i     int     // the tone that sounds
	first int     // the sample it has come to
	end   float64 // the last one, in samples
	from  control
}

func newPlayer(c chain, stored *bank) *player {
	rate := float64(stored.rate)
	p := &player{chain: c, voice: voice{bank: stored}, first: int(math.Floor(c[0].start * rate)), end: c[len(c)-1].silent * rate}
	p.from = c.at(0, float64(p.first)/rate)
	return p
}

// playUntil adds whole blocks to out, whose first sample is number at of the clip,
// up to the one that reaches sample until. It says whether the chain is over.
func (p *player) playUntil(out []float64, at, until, block int) bool {
	for p.first < until && float64(p.first) < p.end {
		t := float64(p.first+block) / float64(p.rate)
		for p.i+1 < len(p.chain) && t >= p.chain[p.i+1].start {
			p.i++
		}
		to := p.chain.at(p.i, t)
		p.add(out, p.first-at, block, p.from, to)
		p.from, p.first = to, p.first+block
	}
	return float64(p.first) >= p.end
}
