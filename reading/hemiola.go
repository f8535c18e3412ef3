package reading

import (
	"fmt"
	"slices"

	"waterkey/finding"
	"waterkey/score"
)

// A hemiola groups six pulses in three twos where the meter has two threes: two
// bars of three beats, or one bar of six in compound time. Its signs are
// looked for in the notes alone: the same rhythm on pulses 1, 3 and 5, or accents
// or slurs that begin just there.

// hemiolaAt is a hemiola by its bars.
type hemiolaAt struct {
	from, to int
	first    score.Time // where it begins
	pulse    score.Time
}

// hemiolas finds the hemiolas of the page, no two overlapping.
func (p *Page) hemiolas() []hemiolaAt {
	bars := p.Part.Bars
	var out []hemiolaAt
	for i := 0; i < len(bars); i++ {
		h, ok := p.hemiolaFrom(i)
		if ok && p.isHemiola(h) {
			out = append(out, h)
			i = h.to
		}
	}
	return out
}

// hemiolaFrom is the six pulses that begin with a bar, if its meter has them.
func (p *Page) hemiolaFrom(i int) (hemiolaAt, bool) {
	bars := p.Part.Bars
	m := bars[i].Meter
	pulse := score.Frac(1, int64(max(m.Unit, 1)))
	full := m.Unit > 0 && m.Groups == nil && bars[i].Length == m.Length()
	switch {
	case full && m.Beats == 6:
		return hemiolaAt{i, i, bars[i].Start, pulse}, true
	case full && m.Beats == 3 && i+1 < len(bars) && bars[i+1].Meter.String() == m.String() && bars[i+1].Length == m.Length():
		return hemiolaAt{i, i + 1, bars[i].Start, pulse}, true
	}
	return hemiolaAt{}, false
}

func (p *Page) isHemiola(h hemiolaAt) bool {
	end := h.first.Add(h.pulse.Scale(6, 1))
	var rhythm, accents, slurs [6]beatContent
	for i := p.noteFrom(h.first); i < p.notes() && p.note(i).Onset.Less(end); i++ {
		n := p.note(i)
		if n.Grace {
			continue
		}
		at := n.Onset.Sub(h.first)
		k := floor(at, h.pulse)
		into := at.Sub(h.pulse.Scale(k, 1))
		rhythm[k] = append(rhythm[k], into)
		if into.Sign() == 0 && (n.Marks.Any(score.Accent|score.Marcato) || n.Attack != "") {
			accents[k] = append(accents[k], into)
		}
		if into.Sign() == 0 && n.SlurTo && !n.SlurFrom {
			slurs[k] = append(slurs[k], into)
		}
	}
	return inTwos(rhythm) || inTwos(accents) || inTwos(slurs)
}

// beatContent is what begins in one pulse, by its distance from the pulse.
type beatContent []score.Time

// inTwos says whether pulses 1, 3 and 5 hold the same, beginning with the pulse
// itself, and pulses 2, 4 and 6 hold the same but something else.
func inTwos(c [6]beatContent) bool {
	begins := len(c[0]) > 0 && c[0][0].Sign() == 0
	return begins && slices.Equal(c[0], c[2]) && slices.Equal(c[2], c[4]) &&
		slices.Equal(c[1], c[3]) && slices.Equal(c[3], c[5]) && !slices.Equal(c[0], c[1])
}

// hemiolaNotes is the notes that belong to hemiolas.
func (p *Page) hemiolaNotes() map[int]bool {
	in := map[int]bool{}
	for _, h := range p.hemiolas() {
		end := h.first.Add(h.pulse.Scale(6, 1))
		for i := p.noteFrom(h.first); i < p.notes() && p.note(i).Onset.Less(end); i++ {
			in[i] = true
		}
	}
	return in
}

// hemiolaFinding names the hemiolas.
func (p *Page) hemiolaFinding() []finding.Finding {
	var places []place
	for _, h := range p.hemiolas() {
		says := fmt.Sprintf("Hemiola in %s: two bars of three are grouped as three twos.", p.barText(h.from, h.to))
		if h.from == h.to {
			says = fmt.Sprintf("Hemiola in %s: the six %ss are grouped in three twos, not in two threes.", p.barText(h.from, h.to), p.value(h.pulse))
		}
		places = append(places, place{h.from, h.to, says, p.barText(h.from, h.to)})
	}
	return p.each("syncopation", 0.5, places, "Hemiolas, three twos for two threes:",
		"Count one-two, one-two, one-two through it, and know where the downbeat is when it ends.")
}
