package desk

import (
	"fmt"
	"strings"

	"waterkey/hear"
	"waterkey/practice"
	"waterkey/reading"
	"waterkey/score"
)

// HeardTake is a take that was listened to.
type HeardTake struct {
	Name string
	Take *hear.Take
}

// Plan plans the practice of a part from what was read on the page, what the slide
// allows, what takes showed, the oldest first, and what was done on past days, see
// [practice.Material]. The error is that of [practice.Make].
func (p *Prepared) Plan(t practice.Terms, takes []HeardTake, past []practice.Day) (*practice.Plan, error) {
	m := practice.Material{Title: p.Part.Title, Run: float64(p.Played.Length()), Findings: reading.Walk(p.page()), Level: p.level, Past: past}
	m.Bars = p.practiceBars()
	if keys := p.keys(); len(keys) > 0 {
		m.Key = keySigns.Replace(keys[0].Name)
	}
	if p.Path.Instrument.Slide() {
		m.Comfort = func(s practice.Span) (float64, string, bool) {
			c, err := p.comfort(s.From, s.To, p.level.Arm())
			if err != nil || c.Hardest == "" {
				return 0, "", false
			}
			// Comfort counts by the first beat, which a fermata may hold.
			return c.BPM * m.Bars[s.From].BPM / p.beatBPM(s.From, 0), c.Hardest, true
		}
	}
	for _, h := range takes {
		m.Takes = append(m.Takes, p.practiceTake(h))
	}
	return practice.Make(m, t)
}

// practiceBars are the bars as they are practiced: each once, at the tempo of the
// performance. Those at fortissimo are strong.
func (p *Prepared) practiceBars() []practice.Bar {
	out := make([]practice.Bar, len(p.Part.Bars))
	for i, b := range p.Through.Bars {
		unit, _ := p.Part.Felt(i)
		end := b.At.Add(p.Part.Bars[i].Length)
		out[i] = practice.Bar{
			Number: p.barOrCount(i), Silent: true, Unit: score.ValueName(unit),
			Seconds: float64(p.Through.Seconds(end) - p.Through.Seconds(b.At)),
			BPM:     round(p.barBPM(i), 2),
		}
	}
	level := p.Part.LevelLine()
	fortissimo, _ := score.LevelStep("ff")
	for _, n := range p.Part.Notes {
		if lasts := float64(p.Through.Seconds(n.End()) - p.Through.Seconds(n.Onset)); !n.Grace && (out[n.Bar].Quick == 0 || lasts < out[n.Bar].Quick) {
			out[n.Bar].Quick = lasts
		}
		out[n.Bar].Strong = out[n.Bar].Strong || level.At(n.Onset) >= fortissimo
		for _, piece := range n.Pieces {
			out[piece.Bar].Silent = false
		}
	}
	return out
}

// barBPM is the tempo of a bar in felt beats a minute: that of its fastest beat,
// since a fermata only holds.
func (p *Prepared) barBPM(bar int) float64 {
	_, beats := p.Part.Felt(bar)
	top := p.beatBPM(bar, 0)
	for k := 1; k < beats; k++ {
		top = max(top, p.beatBPM(bar, k))
	}
	return top
}

// beatBPM is the tempo of the k-th beat of a bar, from 0.
func (p *Prepared) beatBPM(bar, k int) float64 {
	unit, _ := p.Part.Felt(bar)
	at := p.Through.Bars[bar].At.Add(unit.Scale(int64(k), 1))
	return 60 / float64(p.Through.Seconds(at.Add(unit))-p.Through.Seconds(at))
}

// keySigns put the signs of print into the name of a key.
var keySigns = strings.NewReplacer("b ", "♭ ", "# ", "♯ ")

// barOrCount is how findings name a bar.
func (p *Prepared) barOrCount(bar int) string {
	if n := p.barNumber(bar); n != "" {
		return n
	}
	return fmt.Sprint(bar + 1)
}

// practiceTake keeps of a take what a plan needs: the tempo of every bar that was
// heard, and what was found.
func (p *Prepared) practiceTake(h HeardTake) practice.Take {
	t := practice.Take{Name: h.Name, Share: make([]float64, len(p.Part.Bars)), Findings: h.Take.Findings}
	goal := p.openingBPM()
	at := map[string]int{}
	for i := range p.Part.Notes {
		at[p.Part.Notes[i].ID] = p.Part.Notes[i].Bar
	}
	for _, n := range h.Take.Notes {
		bar, ok := at[n.ID]
		if !ok || n.Measures == nil || n.Tempo <= 0 {
			continue
		}
		if share := n.Tempo / goal; t.Share[bar] == 0 || share < t.Share[bar] {
			t.Share[bar] = share
		}
	}
	return t
}
