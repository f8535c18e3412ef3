package desk

import (
	"io"
	"math"
	"strings"

	"waterkey/breath"
	"waterkey/player"
	"waterkey/score"
)

// AirDocument is what the air does with the planned breaths, as JSON. Air is in liters
// above what stays in the lungs when they are emptied.
type AirDocument struct {
	CapacityL float64        `json:"capacity_l"` // the vital capacity
	Lungs     string         `json:"lungs"`      // where it comes from
	Estimate  bool           `json:"estimate"`   // no long tone was timed: the flow is the model's
	Lines     AirLines       `json:"lines"`
	Points    []AirPoint     `json:"points"` // straight between them
	EndL      float64        `json:"end_l"`  // left after the last note
	Low       []LowEntry     `json:"low"`
	Lacking   []LackEntry    `json:"lacking"`
	Parted    []PartedEntry  `json:"parted"`
	Warnings  []WarningEntry `json:"warnings"`
	Cautions  []string       `json:"cautions"`
}

// AirLines are the levels that the curve is read against.
type AirLines struct {
	FullL        float64 `json:"full_l"`
	ComfortableL float64 `json:"comfortable_l"` // below it a player looks for the next breath
	ReserveL     float64 `json:"reserve_l"`     // below it no plan goes
}

// AirPoint is the air at a moment. At the start of a note the page's time is the note's
// own; elsewhere it is rounded to [airGrid].
type AirPoint struct {
	At     score.Time `json:"at"`
	AtS    float64    `json:"at_s"` // in the performance that reads every bar once
	Litres float64    `json:"litres"`
	Note   string     `json:"note,omitempty"` // id of the note that starts here
}

// LowEntry is playing below the comfortable line.
type LowEntry struct {
	Bars    [2]string `json:"bars"`
	Litres  float64   `json:"litres"`  // below the line
	Seconds float64   `json:"seconds"` // of sound below it
}

// LackEntry is a stretch that no choice of breaths carries.
type LackEntry struct {
	Bars    [2]string `json:"bars"`
	Litres  float64   `json:"litres"` // short of the reserve
	Seconds float64   `json:"seconds"`
	Says    string    `json:"says"`
	Do      string    `json:"do"`
	Drop    string    `json:"drop"` // id of the note to leave out; "" when none will do
	Tempo   *Slowest  `json:"slowest"`
}

// PartedEntry is a breath that parts what belongs together, as nothing else lasts.
type PartedEntry struct {
	After string   `json:"after"` // id of the note before it
	Bar   string   `json:"bar"`
	Parts string   `json:"parts"` // "a slur"
	Drop  string   `json:"drop"`  // id of the note to leave out instead; "" when none will do
	Tempo *Slowest `json:"slowest"`
}

// Slowest is the slowest tempo at which a stretch lasts on one full breath.
type Slowest struct {
	Bars [2]string `json:"bars"`
	BPM  float64   `json:"bpm"` // felt beats a minute
	Unit string    `json:"unit"`
}

// WarningEntry is playing that is hard on the player.
type WarningEntry struct {
	Bars [2]string `json:"bars"`
	Kind string    `json:"kind"`
	Says string    `json:"says"`
	Do   string    `json:"do"`
}

// airGrid is how fine the page's times of the air are, in parts of a whole note:
// finer than any drawing (a hundredth of a second at the slowest usual tempo).
const airGrid = 960

// Air is the air of a prepared part. It is worked out once.
func (p *Prepared) Air() AirDocument { return p.air() }

// AirBars is Air for the bars from to to alone (indexes, both included).
func (p *Prepared) AirBars(from, to int) AirDocument {
	b := p.Breathing
	d := AirDocument{CapacityL: round(b.Lungs.Vital, 2), Lungs: b.Lungs.Origin, Estimate: len(b.Lungs.Flow) == 0, EndL: round(b.End, 2),
		Lines:  AirLines{round(b.Lungs.FullLiters(), 2), round(b.Lungs.ComfortableLiters(), 2), round(b.Lungs.ReserveLiters(), 2)},
		Points: p.airPoints(from, to), Low: []LowEntry{}, Lacking: []LackEntry{}, Parted: p.parted(from, to), Warnings: []WarningEntry{}, Cautions: p.airCautions()}
	for _, l := range b.Low() {
		if p.meets(l.First, l.Last, from, to) {
			d.Low = append(d.Low, LowEntry{p.barSpan(l.First, l.Last), round(l.Liters, 2), round(float64(l.Seconds), 2)})
		}
	}
	for _, l := range b.Lacking() {
		if p.meets(l.First, l.Last, from, to) {
			d.Lacking = append(d.Lacking, LackEntry{p.barSpan(l.First, l.Last), round(l.Liters, 2), round(float64(l.Seconds), 2),
				b.Says(l), b.Do(l), p.noteID(l.Drop), p.slowest(l.First, l.Last, len(d.Lacking))})
		}
	}
	for _, w := range b.Warnings() {
		if p.meets(w.First, w.Last, from, to) {
			d.Warnings = append(d.Warnings, WarningEntry{p.barSpan(w.First, w.Last), string(w.Kind), w.Says, w.Do})
		}
	}
	return d
}

// airPoints is the curve over some bars.
func (p *Prepared) airPoints(from, to int) []AirPoint {
	out := []AirPoint{}
	if len(p.Part.Bars) == 0 {
		return out
	}
	start, end := p.Part.Bars[from].Start, p.Part.Bars[to].End()
	for _, pt := range p.Breathing.Curve() {
		e := AirPoint{At: score.Frac(int64(math.Round(p.Through.Moment(pt.At)*airGrid)), airGrid), AtS: round(float64(pt.At), 3), Litres: round(pt.Liters, 3)}
		if pt.Note >= 0 {
			e.At, e.Note = p.Through.Notes[pt.Note].At, p.noteID(pt.Note)
		}
		if !e.At.Less(start) && !end.Less(e.At) {
			out = append(out, e)
		}
	}
	return out
}

// mostTempos bounds how many stretches are given a tempo: each takes some dozen
// readings of the part (estimate: a part that needs more is too slow altogether).
const mostTempos = 20

// slowest is the tempo at which notes last on one breath; nil where none does, or
// nth stretches had theirs.
func (p *Prepared) slowest(first, last, nth int) *Slowest {
	if nth >= mostTempos {
		return nil
	}
	s, err := breath.SlowestTempo(p.Part, first, last, breath.Options{Lungs: p.Breathing.Lungs, Instrument: p.Path.Instrument})
	if err != nil {
		return nil
	}
	unit, _ := p.Part.Felt(p.Through.Written(first).Bar)
	// Rounded up, so that the tempo that is said does last.
	return &Slowest{p.barSpan(first, last), math.Ceil(s.BPM), p.terms.Value(unit)}
}

// parted lists the breaths that nobody would take if anything else lasted.
func (p *Prepared) parted(from, to int) []PartedEntry {
	out := []PartedEntry{}
	stretches := p.Breathing.Stretches()
	for k, b := range p.Breathing.Breaths {
		what := p.Breathing.Parts(k)
		if what == "" || b.Entry || b.Printed || b.Pinned || !p.meets(b.After, b.After, from, to) {
			continue
		}
		out = append(out, PartedEntry{p.noteID(b.After), p.barNumber(p.Breathing.EndBar(b.After)), what, p.noteID(p.Breathing.Spare(k)),
			p.slowest(stretches[k].First, stretches[k+1].Last, len(out))})
	}
	return out
}

func (p *Prepared) airCautions() []string {
	out := []string{breath.Caution}
	if l := p.Breathing.Lungs; len(l.Flow) == 0 && !strings.HasPrefix(l.Origin, "measured") {
		out = append(out, player.LungsCaution)
	}
	return append(out, ear)
}

// noteID is the id of a note, "" for -1.
func (p *Prepared) noteID(i int) string {
	if i < 0 {
		return ""
	}
	return p.Through.Written(i).ID
}

func (p *Prepared) barSpan(first, last int) [2]string {
	return [2]string{p.barNumber(p.Through.Written(first).Bar), p.barNumber(p.Breathing.EndBar(last))}
}

// meets says whether notes sound in the bars from to to.
func (p *Prepared) meets(first, last, from, to int) bool {
	return p.Through.Written(first).Bar <= to && p.Breathing.EndBar(last) >= from
}

// WriteAir draws the air over bars from to to (indexes, both included) as SVG. The
// error is the writer's, or says that there are no such bars.
func (p *Prepared) WriteAir(w io.Writer, from, to int) error {
	return p.Breathing.WriteSVG(w, from, to)
}
