package score

import (
	"regexp"
	"slices"
	"sort"
	"strings"
	"unicode"
)

// tempoWord is the range of a tempo word in beats a minute.
type tempoWord struct {
	word      string
	low, high float64
}

// tempoWords give the beat of a tempo word when no number stands: published
// ranges that four reference pages agree on for Largo to Prestissimo, and one
// page's collected spread for Lento, Allegretto and Vivace (there is no
// standard). The words below those have no published range of their own: they
// take that of the word they are commonly put beside (common practice, from
// memory).
var tempoWords = []tempoWord{
	{"prestissimo", 200, 208}, {"presto", 168, 200}, {"vivace", 132, 168},
	{"allegretto", 98, 128}, {"allegro", 120, 168}, {"moderato", 108, 120},
	{"andante", 76, 108}, {"adagio", 66, 76}, {"larghetto", 60, 66},
	{"lento", 40, 68}, {"largo", 40, 60},

	{"grave", 40, 60}, {"adagietto", 66, 76}, {"andantino", 76, 108}, {"vivo", 132, 168}, {"vivacissimo", 168, 200},
	{"breit", 40, 60}, {"langsam", 40, 68}, {"gehend", 76, 108}, {"mäßig", 108, 120}, {"mässig", 108, 120},
	{"bewegt", 108, 120}, {"rasch", 120, 168}, {"schnell", 120, 168}, {"lebhaft", 132, 168},
	{"lent", 40, 68}, {"lentement", 40, 68}, {"modéré", 108, 120}, {"animé", 120, 168}, {"vite", 120, 168}, {"vif", 132, 168},
}

// DefaultBPM is the felt beat taken when a part gives no tempo at all
// (estimate: a brisk walk, the middle of the published ranges).
const DefaultBPM = 96

// TempoRange is the range of the first tempo word in text, in beats a minute.
// A word that is denied ("nicht schnell") or compared ("più lento") names none.
func TempoRange(text string) (low, high float64, ok bool) {
	words := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) })
	for i, word := range words {
		for _, w := range tempoWords {
			if w.word == word && !qualified(words[:i]) {
				return w.low, w.high, true
			}
		}
	}
	return 0, 0, false
}

// qualified says whether the words before a tempo word deny it ("nicht zu", "non
// troppo") or compare it with the tempo before ("poco più").
func qualified(before []string) bool {
	for k := len(before) - 1; k >= max(len(before)-2, 0); k-- {
		if slices.Contains([]string{"nicht", "non"}, before[k]) {
			return true
		}
	}
	return len(before) > 0 && slices.Contains([]string{"più", "piu", "meno", "plus", "moins"}, before[len(before)-1])
}

// fade matches words that change the tempo gradually; they set no tempo of
// their own.
var fade = regexp.MustCompile(`(?i)\b(?:(?:rit|ritard\w*|riten\w*|rall\w*|accel\w*|stringendo|allarg\w*|slarg\w*|slent\w*|smorz\w*|calando|morendo)\b|string\.)`)

// IsTempoWord says whether text names a tempo that TempoRange knows.
func IsTempoWord(text string) bool {
	_, _, ok := TempoRange(text)
	return ok && !fade.MatchString(text)
}

// TempoReturn is the earlier tempo that words hand back.
type TempoReturn int

// What words can return to.
const (
	NoReturn  TempoReturn = iota
	ToOpening             // "Tempo I": the tempo the part starts with
	ToLast                // "a tempo": the last tempo the page names
)

var (
	toOpening = regexp.MustCompile(`(?i)\btempo\s*(primo|i\b|i[°o]|imo|1)|zeitma(ß|ss) (wie|des) anfang|(erstes|haupt)\s?zeitma(ß|ss)|wie (zu )?anfang|\b(1er|premier) mouvement`)
	toLast    = regexp.MustCompile(`(?i)\b(a|in|im) tempo\b|\bim zeitma(ß|ss)|\bau mouvement`)
)

// returnWords are the words one of which stands in every text that returns; a
// look for them spares the patterns most texts.
var returnWords = []string{"tempo", "zeitma", "anfang", "mouvement"}

// ReturnsTempo says which earlier tempo text hands back (common practice). Text
// that also changes the tempo gradually ("rit. al Tempo I") hands back none.
func ReturnsTempo(text string) TempoReturn {
	lower := strings.ToLower(text)
	switch {
	case !slices.ContainsFunc(returnWords, func(w string) bool { return strings.Contains(lower, w) }):
		return NoReturn
	case fade.MatchString(text):
		return NoReturn
	case toOpening.MatchString(text):
		return ToOpening
	case toLast.MatchString(text):
		return ToLast
	}
	return NoReturn
}

// Felt is the beat that a player feels in the bar at index i, and how many of
// them fill it (0 in free time). The meter decides (see [Meter.Felt]) unless
// the last metronome mark that stands in this meter names another value that
// divides the bar. A mark printed in another meter does not count: a quarter
// in 4/4 says nothing about the beat of 6/8. The first mark counts for a pickup
// before it.
func (p *Part) Felt(i int) (unit Time, beats int) {
	m := p.Bars[i].Meter
	if m.Unit == 0 {
		return m.Felt(), 0
	}
	k := sort.Search(len(p.Tempos), func(k int) bool {
		return p.Tempos[k].Bar > i && !(k == 0 && p.opens(p.Tempos[k]))
	})
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

// Beat is the felt beat of a bar and how many of them fill it, 0 in free time.
type Beat struct {
	Unit  Time
	Count int
}

// FeltBeats is [Part.Felt] of every bar, in time proportional to the part; Felt
// for one bar looks through the tempo marks before it.
func (p *Part) FeltBeats() []Beat {
	marked := map[string]Time{} // by meter
	note := func(t TempoMark) {
		m := p.Bars[t.Bar].Meter
		if t.BPM <= 0 || t.Unit.Sign() <= 0 || m.Unit == 0 {
			return
		}
		if n := m.Length().Over(t.Unit); n == float64(int(n)) && n >= 1 {
			marked[m.String()] = t.Unit
		}
	}
	marks := p.Tempos
	if len(marks) > 0 && p.opens(marks[0]) && marks[0].Bar < len(p.Bars) {
		note(marks[0])
	}
	out := make([]Beat, len(p.Bars))
	for i, b := range p.Bars {
		for ; len(marks) > 0 && marks[0].Bar <= i; marks = marks[1:] {
			note(marks[0])
		}
		unit, ok := marked[b.Meter.String()]
		if !ok {
			unit = b.Meter.Felt()
		}
		out[i] = Beat{Unit: unit}
		if b.Meter.Unit > 0 {
			out[i].Count = int(b.Meter.Length().Over(unit) + 0.5)
		}
	}
	return out
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
	for i, t := range p.Tempos {
		if t.BPM > 0 && (t.At.Sign() == 0 || i == 0 && p.opens(t)) {
			printed = true
		}
	}
	return speed / unit.Float() * 60, unit, printed
}

// opens says whether a tempo mark, the first of the part, is the opening tempo:
// at the start, or up to the end of a pickup, over which no mark is printed by
// custom (common practice).
func (p *Part) opens(first TempoMark) bool {
	if first.At.Sign() == 0 || len(p.Bars) == 0 {
		return first.At.Sign() == 0
	}
	b := p.Bars[0]
	return b.Length.Less(b.Meter.Length()) && !b.End().Less(first.At)
}

// paces lists the tempos of the page in whole notes a second, the first at 0.
func (p *Part) paces() []pace {
	unit := Frac(1, 4)
	beats := p.FeltBeats()
	if len(beats) > 0 {
		unit = beats[0].Unit
	}
	ps := []pace{{Time{}, DefaultBPM / 60.0 * unit.Float()}}
	last, opened := ps[0].speed, false // the tempo last named by the page; whether the opening has been
	for _, t := range p.tempoMarks() {
		speed, ok := speedOf(t, beats)
		if back := ReturnsTempo(t.Text); t.BPM == 0 && back != NoReturn {
			speed, ok = last, true
			if back == ToOpening {
				speed = ps[0].speed
			}
		}
		if !ok {
			continue
		}
		if !opened && p.opens(t) {
			t.At, last = Time{}, speed
		}
		opened = true
		if (t.Text != "" || t.Unit.Sign() > 0) && !fade.MatchString(t.Text) {
			last = speed
		}
		if now := &ps[len(ps)-1]; now.at == t.At {
			now.speed = speed
		} else {
			ps = append(ps, pace{t.At, speed})
		}
	}
	return ps
}

// tempoMarks lists the tempo marks together with the words that hand back an
// earlier tempo, in written order. Words at the place of a mark come before it.
func (p *Part) tempoMarks() []TempoMark {
	var out []TempoMark
	for _, w := range p.Words {
		if ReturnsTempo(w.Text) != NoReturn {
			out = append(out, TempoMark{At: w.At, Bar: w.Bar, Text: w.Text})
		}
	}
	if out == nil {
		return p.Tempos
	}
	out = append(out, p.Tempos...)
	slices.SortStableFunc(out, func(a, b TempoMark) int { return a.At.Cmp(b.At) })
	return out
}

// speedOf is the speed of a tempo mark in whole notes a second, given the felt
// beats of the bars.
func speedOf(t TempoMark, beats []Beat) (float64, bool) {
	if t.BPM > 0 {
		unit := t.Unit
		if unit.Sign() <= 0 {
			unit = Frac(1, 4)
		}
		return t.BPM / 60 * unit.Float(), true
	}
	low, high, ok := TempoRange(t.Text)
	if !ok || fade.MatchString(t.Text) || t.Bar >= len(beats) {
		return 0, false
	}
	unit := beats[t.Bar].Unit
	return (low + high) / 2 / 60 * unit.Float(), true
}
