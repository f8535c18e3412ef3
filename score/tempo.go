package score

import (
	"regexp"
	"sort"
	"strings"
)

// tempoWord is the range of a tempo word in beats a minute.
type tempoWord struct {
	word      string
	low, high float64
}

// tempoWords give the beat of a tempo word when no number stands: published
// ranges that four reference pages agree on for Largo to Prestissimo, and one
// page's collected spread for Lento, Allegretto and Vivace (there is no
// standard). Longer words come first so that "larghetto" is not read as
// "largo".
var tempoWords = []tempoWord{
	{"prestissimo", 200, 208}, {"presto", 168, 200}, {"vivace", 132, 168},
	{"allegretto", 98, 128}, {"allegro", 120, 168}, {"moderato", 108, 120},
	{"andante", 76, 108}, {"adagio", 66, 76}, {"larghetto", 60, 66},
	{"lento", 40, 68}, {"largo", 40, 60},
}

// DefaultBPM is the felt beat taken when a part gives no tempo at all
// (estimate: a brisk walk, the middle of the published ranges).
const DefaultBPM = 96

// TempoRange is the range of the first tempo word in text, in beats a minute.
func TempoRange(text string) (low, high float64, ok bool) {
	text = strings.ToLower(text)
	at := len(text) + 1
	for _, w := range tempoWords {
		if i := strings.Index(text, w.word); i >= 0 && i < at {
			at, low, high, ok = i, w.low, w.high, true
		}
	}
	return low, high, ok
}

// fade matches words that change the tempo gradually or hand back an earlier
// one; they set no tempo of their own.
var fade = regexp.MustCompile(`(?i)\b(rit|ritard|rall|accel|string|stringendo|calando|morendo)`)

// IsTempoWord says whether text names a tempo that TempoRange knows.
func IsTempoWord(text string) bool {
	_, _, ok := TempoRange(text)
	return ok && !fade.MatchString(text)
}

// Felt is the beat that a player feels in the bar at index i, and how many of
// them fill it (0 in free time). The meter decides (see [Meter.Felt]) unless
// the last metronome mark that stands in this meter names another value that
// divides the bar. A mark printed in another meter does not count: a quarter
// in 4/4 says nothing about the beat of 6/8.
func (p *Part) Felt(i int) (unit Time, beats int) {
	m := p.Bars[i].Meter
	if m.Unit == 0 {
		return m.Felt(), 0
	}
	k := sort.Search(len(p.Tempos), func(k int) bool { return p.Tempos[k].Bar > i })
	for k--; k >= 0; k-- {
		t := p.Tempos[k]
		if t.BPM <= 0 || t.Unit.Sign() <= 0 || p.Bars[t.Bar].Meter.String() != m.String() {
			continue
		}
		if n := m.Length().Over(t.Unit); n == float64(int(n)) && n >= 1 {
			return t.Unit, int(n)
		}
	}
	return m.Felt(), int(m.Length().Over(m.Felt()) + 0.5)
}

// pace is a tempo in force: whole notes in a second from a moment on.
type pace struct {
	at    Time
	speed float64 // whole notes a second
}

// Tempo says how fast to take a part.
type Tempo struct {
	// BPM is the opening tempo in felt beats a minute; later marks keep their
	// proportion to it. 0 takes the page's own tempo.
	BPM float64
}

// OpeningTempo is the tempo the part starts with, in felt beats a minute, and
// whether the page gives it as a number. Otherwise it is the middle of its tempo
// word's range, or DefaultBPM.
func (p *Part) OpeningTempo() (bpm float64, unit Time, printed bool) {
	unit = Frac(1, 4)
	if len(p.Bars) > 0 {
		unit, _ = p.Felt(0)
	}
	ps := p.paces()
	speed := ps[0].speed
	for _, t := range p.Tempos {
		if t.At.Sign() == 0 && t.BPM > 0 {
			printed = true
		}
	}
	return speed / unit.Float() * 60, unit, printed
}

// paces lists the tempos of the page in whole notes a second, the first at 0.
func (p *Part) paces() []pace {
	unit := Frac(1, 4)
	if len(p.Bars) > 0 {
		unit, _ = p.Felt(0)
	}
	ps := []pace{{Time{}, DefaultBPM / 60.0 * unit.Float()}}
	for _, t := range p.Tempos {
		speed, ok := p.speedOf(t)
		if !ok {
			continue
		}
		if last := &ps[len(ps)-1]; last.at == t.At {
			last.speed = speed
		} else {
			ps = append(ps, pace{t.At, speed})
		}
	}
	return ps
}

// speedOf is the speed of a tempo mark in whole notes a second.
func (p *Part) speedOf(t TempoMark) (float64, bool) {
	if t.BPM > 0 {
		unit := t.Unit
		if unit.Sign() <= 0 {
			unit = Frac(1, 4)
		}
		return t.BPM / 60 * unit.Float(), true
	}
	low, high, ok := TempoRange(t.Text)
	if !ok || fade.MatchString(t.Text) || t.Bar >= len(p.Bars) {
		return 0, false
	}
	unit, _ := p.Felt(t.Bar)
	return (low + high) / 2 / 60 * unit.Float(), true
}
