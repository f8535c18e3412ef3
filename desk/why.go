package desk

import (
	"fmt"
	"io"
	"math"
	"slices"

	"waterkey/brass"
	"waterkey/positions"
	"waterkey/score"
)

// WhyEntry explains the choices of one bar.
type WhyEntry struct {
	Bar  string   `json:"bar"`
	Says []string `json:"says"`
}

// Why explains the choices of bars from to to (indexes, both included): positions, and
// the breaths that are taken in them. Bars without either are left out.
func (p *Prepared) Why(from, to int) []WhyEntry {
	out := []WhyEntry{}
	for i, b := range p.Through.Bars {
		if b.Bar < from || b.Bar > to {
			continue
		}
		says := slices.Clone(p.Path.Why(i))
		for k, br := range p.Breathing.Breaths {
			if !br.Entry && p.Breathing.EndBar(br.After) == b.Bar {
				says = append(says, p.Breathing.Why(k))
			}
		}
		if len(says) > 0 {
			out = append(out, WhyEntry{p.barNumber(b.Bar), says})
		}
	}
	return out
}

// ComfortEntry is the fastest tempo at which every move of a passage is
// comfortable in the ways that were chosen.
type ComfortEntry struct {
	Bars    [2]string `json:"bars"`
	BPM     float64   `json:"bpm"` // felt beats a minute
	Unit    string    `json:"unit"`
	Hardest string    `json:"hardest"` // the move that sets the limit: "C3 to F3 in bar 5"; "" when the slide stays
}

// Comfort asks for bars from to to (indexes, both included). The error is that
// of [positions.ComfortTempo].
func (p *Prepared) Comfort(from, to int) (ComfortEntry, error) { return p.comfort(from, to, 1) }

// comfort is Comfort for moves of up to an effort.
func (p *Prepared) comfort(from, to int, effort float64) (ComfortEntry, error) {
	o := positions.Options{ReachCM: p.options.ReachCM, Pins: p.chosen()}
	c, err := positions.ComfortTempo(p.Part, from, to, p.Path.Instrument, effort, o)
	if err != nil {
		return ComfortEntry{}, err
	}
	unit, _ := p.Part.Felt(from)
	e := ComfortEntry{Bars: [2]string{p.barNumber(from), p.barNumber(to)}, BPM: round(c.BPM, 1), Unit: score.ValueName(unit)}
	if c.Hardest > 0 {
		a, b := p.Through.Written(c.Hardest-1), p.Through.Written(c.Hardest)
		e.Hardest = fmt.Sprintf("%s to %s in bar %s", a.Written.Text(), b.Written.Text(), p.barNumber(b.Bar))
	}
	return e, nil
}

// chosen pins every note to its way.
func (p *Prepared) chosen() []positions.Pin {
	var out []positions.Pin
	for i, s := range p.Path.Steps {
		if s.Way != nil {
			out = append(out, positions.Pin{Note: i, Position: s.Way.Position, Valve: &s.Way.Valve, Partial: s.Way.Partial})
		}
	}
	return out
}

// WriteSlide draws the slide over bars from to to (indexes, both included) as
// SVG. The error says that the horn has no slide, or is the writer's.
func (p *Prepared) WriteSlide(w io.Writer, from, to int) error {
	return p.Path.WriteSVG(w, from, to)
}

// CompareDocument says what another horn, or a longer arm, would spare.
type CompareDocument struct {
	With     string         `json:"with"`
	Than     string         `json:"than"`      // what it is compared with
	Slides   bool           `json:"slides"`    // whether either has a slide
	TravelCM float64        `json:"travel_cm"` // less slide in all; negative is more
	Work     float64        `json:"work"`      // less effort in all
	Gained   int            `json:"gained"`    // notes that only the other reaches
	Lost     int            `json:"lost"`      // notes that only this one reaches
	Gliss    int            `json:"gliss"`     // glissandi that only the other can play, less those that only this one can
	Bars     []CompareEntry `json:"bars"`      // where it makes a difference
}

// CompareEntry is one bar of a comparison.
type CompareEntry struct {
	Bar      string  `json:"bar"`
	TravelCM float64 `json:"travel_cm"`
	Work     float64 `json:"work"`
	Gained   int     `json:"gained"`
	Lost     int     `json:"lost"`
	Gliss    int     `json:"gliss"`
}

// tellingWork is the effort from which a bar of a comparison is worth a line: half
// of an alternate position on a short note (estimate).
const tellingWork = 0.25

// CompareHorn compares with another horn, CompareReach with another arm. What
// the coach fixed is left out on both sides, as it may not exist on the other.
func (p *Prepared) CompareHorn(other *brass.Instrument) CompareDocument {
	o := positions.Options{ReachCM: p.options.ReachCM}
	return p.compare(other.Title, p.Path.Instrument.Title, other, o)
}

// CompareReach compares with an arm that reaches so many cm.
func (p *Prepared) CompareReach(cm float64) CompareDocument {
	than := positions.AdultReachCM
	if p.options.ReachCM > 0 {
		than = p.options.ReachCM
	}
	arm := "arm that reaches %g cm"
	return p.compare(fmt.Sprintf(arm, cm), fmt.Sprintf(arm, than), p.Path.Instrument, positions.Options{ReachCM: cm})
}

func (p *Prepared) compare(with, than string, in *brass.Instrument, o positions.Options) CompareDocument {
	// Without pins a path always exists.
	mine, _ := positions.SolveWith(p.Through, p.Path.Instrument, positions.Options{ReachCM: p.options.ReachCM})
	theirs, _ := positions.SolveWith(p.Through, in, o)
	bars := positions.Compare(mine, theirs)
	sum := positions.SumSavings(bars)
	d := CompareDocument{With: with, Than: than, Slides: in.Slide() || p.Path.Instrument.Slide(), TravelCM: round(sum.TravelCM, 1), Work: round(sum.Work, 2), Gained: sum.Gained, Lost: sum.Lost, Gliss: sum.Gliss, Bars: []CompareEntry{}}
	for _, b := range bars {
		if math.Abs(b.Work) >= tellingWork || b.Gained+b.Lost > 0 || b.Gliss != 0 {
			d.Bars = append(d.Bars, CompareEntry{p.barNumber(p.Through.Bars[b.Bar].Bar), round(b.TravelCM, 1), round(b.Work, 2), b.Gained, b.Lost, b.Gliss})
		}
	}
	return d
}
