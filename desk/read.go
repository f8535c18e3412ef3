package desk

import (
	"waterkey/finding"
	"waterkey/reading"
	"waterkey/score"
)

// ReadDocument is what a walk through the page says, as JSON.
type ReadDocument struct {
	Title      string            `json:"title"`
	Part       string            `json:"part"`
	Instrument string            `json:"instrument"`
	Bars       int               `json:"bars"`
	Notes      int               `json:"notes"`
	DurationS  float64           `json:"duration_s"` // with repeats, at the tempo
	Lowest     string            `json:"lowest"`     // "" for a part without notes
	Highest    string            `json:"highest"`
	Tessitura  TessituraEntry    `json:"tessitura"`
	Written    WrittenEntry      `json:"written"`
	Keys       []KeyEntry        `json:"keys"`
	Meters     []MeterEntry      `json:"meters"`
	Tempos     []TempoEntry      `json:"tempos"`
	Findings   []finding.Finding `json:"findings"`
	Cautions   []string          `json:"cautions"`
	PassedOver []string          `json:"passed_over"` // what the reader left out, one sentence each
}

// WrittenEntry names pitches as they stand on the page, which for a transposing part
// is not how they sound.
type WrittenEntry struct {
	Says    string `json:"says"`   // how the sentences name notes; "" when notes sound as written
	Lowest  string `json:"lowest"` // as in ReadDocument
	Highest string `json:"highest"`
	Low     string `json:"low"` // as in TessituraEntry
	High    string `json:"high"`
}

// TessituraEntry is where the part lies by time: a tenth of the playing is below
// Low, half below Middle, a tenth above High.
type TessituraEntry struct {
	Low       string       `json:"low"`
	Middle    string       `json:"middle"`
	High      string       `json:"high"`
	Histogram []PitchEntry `json:"histogram"` // every pitch of the part, low to high
}

// PitchEntry is how long a pitch sounds in all, each bar played once.
type PitchEntry struct {
	Pitch   string  `json:"pitch"`
	Seconds float64 `json:"seconds"`
}

// KeyEntry is a key signature.
type KeyEntry struct {
	Bar     string   `json:"bar"`
	Fifths  int      `json:"fifths"`
	Name    string   `json:"name"`
	Altered []string `json:"altered"`
}

// MeterEntry is a time signature and how it is felt.
type MeterEntry struct {
	Bar       string `json:"bar"`
	Beats     int    `json:"beats"`
	Unit      int    `json:"unit"`
	Cut       bool   `json:"cut"`
	FeltBeats int    `json:"felt_beats"`
	FeltUnit  string `json:"felt_unit"`
}

// TempoEntry is a tempo. Assumed says that the page gives no number: it is the
// middle of its tempo word's range, or the program's default.
type TempoEntry struct {
	Bar     string  `json:"bar"`
	BPM     float64 `json:"bpm"`
	Unit    string  `json:"unit"`
	Text    string  `json:"text,omitempty"`
	Assumed bool    `json:"assumed,omitempty"`
}

// Read walks through a prepared page.
func (p *Prepared) Read() ReadDocument {
	d := ReadDocument{Title: p.Part.Title, Part: p.Part.Name, Instrument: p.Path.Instrument.Name,
		Bars: len(p.Part.Bars), Notes: len(p.Part.Notes), DurationS: round(float64(p.Played.Length()), 2),
		Keys: p.keys(), Meters: p.meters(), Tempos: p.tempos(), PassedOver: p.Part.Skipped}
	d.Findings = reading.Walk(p.page())
	d.Cautions = cautions(d.Findings)
	t := reading.TessituraOf(p.Through)
	d.Tessitura, d.Written = tessitura(t), p.written(t)
	if lo, hi := p.compass(); lo != nil {
		d.Lowest, d.Highest = lo.Pitch.String(), hi.Pitch.String()
		d.Written.Lowest, d.Written.Highest = lo.Written.String(), hi.Written.String()
	}
	if d.PassedOver == nil {
		d.PassedOver = []string{}
	}
	return d
}

// compass is the lowest and the highest note, nil without notes.
func (p *Prepared) compass() (lowest, highest *score.Note) {
	for i := range p.Part.Notes {
		n := &p.Part.Notes[i]
		if lowest == nil || n.Pitch.MIDI() < lowest.Pitch.MIDI() {
			lowest = n
		}
		if highest == nil || n.Pitch.MIDI() > highest.Pitch.MIDI() {
			highest = n
		}
	}
	return lowest, highest
}

// written is how the page names where the part lies.
func (p *Prepared) written(t reading.Tessitura) WrittenEntry {
	e := WrittenEntry{Says: reading.AsWritten(p.Part, p.Path.Instrument), Low: t.Low.String(), High: t.High.String()}
	for i := range p.Part.Notes {
		n := &p.Part.Notes[i]
		if n.Pitch == t.Low {
			e.Low = n.Written.String()
		}
		if n.Pitch == t.High {
			e.High = n.Written.String()
		}
	}
	return e
}

func tessitura(t reading.Tessitura) TessituraEntry {
	e := TessituraEntry{t.Low.String(), t.Middle.String(), t.High.String(), []PitchEntry{}}
	for _, s := range t.Seconds {
		e.Histogram = append(e.Histogram, PitchEntry{s.Pitch.String(), round(s.Seconds, 2)})
	}
	return e
}

func (p *Prepared) keys() []KeyEntry {
	marks := p.Part.Keys
	if len(p.Part.Bars) > 0 && (len(marks) == 0 || marks[0].At.Sign() > 0) {
		marks = append([]score.KeyMark{{Key: p.Part.Bars[0].Key}}, marks...)
	}
	out := []KeyEntry{}
	for _, m := range marks {
		out = append(out, KeyEntry{p.barNumber(m.Bar), m.Key.Fifths, m.Key.Name(), m.Key.Altered()})
	}
	return out
}

func (p *Prepared) meters() []MeterEntry {
	marks := p.Part.Meters
	if len(p.Part.Bars) > 0 && len(marks) == 0 {
		marks = []score.MeterMark{{Meter: p.Part.Bars[0].Meter}}
	}
	out := []MeterEntry{}
	for _, m := range marks {
		unit, beats := p.Part.Felt(m.Bar)
		out = append(out, MeterEntry{p.barNumber(m.Bar), m.Meter.Beats, m.Meter.Unit, m.Meter.Cut(), beats, score.ValueName(unit)})
	}
	return out
}

// tempos lists the printed tempos, in the felt unit where the file gives
// quarter notes only, led by the opening one when the page leaves it open.
func (p *Prepared) tempos() []TempoEntry {
	out := []TempoEntry{}
	if len(p.Part.Bars) == 0 {
		return out
	}
	bpm, unit, printed := p.Part.OpeningTempo()
	if !printed {
		out = append(out, TempoEntry{Bar: p.barNumber(0), BPM: round(bpm, 2), Unit: score.ValueName(unit), Assumed: true})
	}
	for _, t := range p.Part.Tempos {
		e := TempoEntry{Bar: p.barNumber(t.Bar), BPM: t.BPM, Unit: score.ValueName(t.Unit), Text: t.Text}
		switch {
		case t.BPM == 0 && t.At.Sign() == 0:
			out[0].Text = t.Text
			continue
		case t.BPM == 0:
			low, high, ok := score.TempoRange(t.Text)
			if !ok {
				continue
			}
			felt, _ := p.Part.Felt(t.Bar)
			e.BPM, e.Unit, e.Assumed = (low+high)/2, score.ValueName(felt), true
		case t.Unit.Sign() == 0:
			felt, _ := p.Part.Felt(t.Bar)
			e.BPM, e.Unit = t.BPM*score.Frac(1, 4).Over(felt), score.ValueName(felt)
		}
		e.BPM = round(e.BPM, 2)
		out = append(out, e)
	}
	return out
}
