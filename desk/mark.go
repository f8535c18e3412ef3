package desk

import (
	"errors"

	"waterkey/brass"
	"waterkey/finding"
	"waterkey/positions"
	"waterkey/reading"
	"waterkey/score"
	"waterkey/score/musicxml"
)

// MarkDocument is the positions and breaths of a part, as JSON.
type MarkDocument struct {
	Instrument   string            `json:"instrument"`
	Written      string            `json:"written"` // how the sentences name notes; "" when notes sound as written
	Notes        []MarkedNote      `json:"notes"`
	Breaths      []BreathEntry     `json:"breaths"`
	TravelCM     float64           `json:"travel_cm"`
	PeakSpeedCMS float64           `json:"peak_speed_cm_s"`
	Efforts      []EffortEntry     `json:"efforts"` // one for each bar with a move of the slide
	Findings     []finding.Finding `json:"findings"`
}

// MarkedNote is one sounding note, ties merged, as written.
type MarkedNote struct {
	ID       string         `json:"id"`
	Bar      string         `json:"bar"`
	Onset    score.Time     `json:"onset"`    // from the start of the part
	Duration score.Time     `json:"duration"` // 0 for a grace note
	Pitch    string         `json:"pitch"`
	Written  string         `json:"written"` // the pitch as it stands on the page
	Choice   *Choice        `json:"choice"`  // null when the note is out of reach
	Others   []OtherChoice  `json:"others"`
	Pinned   bool           `json:"pinned"`
	Slur     positions.Slur `json:"slur"`  // kind of the slur from the note before
	Gliss    bool           `json:"gliss"` // a glissando leads to the next note, and the horn can play it
}

// Choice is a way to sound a note.
type Choice struct {
	Position    int     `json:"position"`
	Valve       string  `json:"valve"`
	Partial     int     `json:"partial"`
	ExtensionCM float64 `json:"extension_cm"`
	LeanCM      float64 `json:"lean_cm"`
	LeanCents   float64 `json:"lean_cents"`
	OffCents    float64 `json:"off_cents"` // what the slide cannot correct
	Label       string  `json:"label"`
}

// OtherChoice is a way not chosen, with what the whole path costs more through
// it.
type OtherChoice struct {
	Choice
	ExtraCost float64 `json:"extra_cost"`
}

// BreathEntry is a planned breath.
type BreathEntry struct {
	After      string  `json:"after"` // id of the note before it
	Bar        string  `json:"bar"`   // in which that note ends
	Pitch      string  `json:"pitch"` // of that note
	Written    string  `json:"written"`
	Kind       string  `json:"kind"` // "full" or "catch"
	RoomS      float64 `json:"room_s"`
	ShortenedS float64 `json:"shortened_s"` // of it taken from the note before
	AirBeforeL float64 `json:"air_before_l"`
	AirAfterL  float64 `json:"air_after_l"`
	Entry      bool    `json:"entry"`   // in a long rest, where nobody needs to be told
	Printed    bool    `json:"printed"` // a breath mark stands on the page
	Pinned     bool    `json:"pinned"`  // the coach asked for it
	Reason     string  `json:"reason"`  // what speaks for the place, one sentence
	Why        string  `json:"why"`     // the whole of it
}

// EffortEntry is what a bar asks of the arm. A move belongs to the bar of the note
// it leads to.
type EffortEntry struct {
	Bar          string  `json:"bar"`
	TravelCM     float64 `json:"travel_cm"`
	PeakSpeedCMS float64 `json:"peak_speed_cm_s"`
	Effort       float64 `json:"effort"` // that speed; 1 is comfortable
}

// Mark lists the choices of a prepared part. Its findings are those of the walk
// that speak of the slide and the valve.
func (p *Prepared) Mark() MarkDocument { return p.MarkBars(0, len(p.Part.Bars)-1) }

// MarkBars is Mark for the bars from to to alone (indexes, both included); travel
// and speed stay those of the whole part.
func (p *Prepared) MarkBars(from, to int) MarkDocument {
	within := func(bar int) bool { return bar >= from && bar <= to }
	d := MarkDocument{Instrument: p.Path.Instrument.Name, Written: reading.AsWritten(p.Part, p.Path.Instrument), Notes: []MarkedNote{}, Breaths: []BreathEntry{},
		TravelCM: round(p.Path.TravelCM(), 1), PeakSpeedCMS: round(p.Path.PeakSpeed(), 1), Findings: []finding.Finding{}}
	for i, s := range p.Path.Steps {
		if within(p.Through.Written(i).Bar) {
			d.Notes = append(d.Notes, p.marked(i, s))
		}
	}
	for k, b := range p.Breathing.Breaths {
		if within(p.Breathing.EndBar(b.After)) {
			d.Breaths = append(d.Breaths, p.breathEntry(k))
		}
	}
	d.Efforts = p.efforts(within)
	for _, f := range reading.Walk(p.page()) {
		if speaksOfWays[f.Kind] && p.touches(f, from, to) {
			d.Findings = append(d.Findings, f)
		}
	}
	return d
}

// speaksOfWays are the kinds of finding that go with a table of positions.
var speaksOfWays = map[string]bool{"out-of-reach": true, "slide-trap": true, "alternate": true, "attachment": true, "fingering": true,
	"glissando": true, "glissando-impossible": true, "no-room-to-breathe": true}

// touches says whether a place of a finding lies in the bars from to to.
func (p *Prepared) touches(f finding.Finding, from, to int) bool {
	places := f.Places
	if len(places) == 0 {
		places = [][]string{f.Bars}
	}
	for _, bars := range places {
		if len(bars) == 2 && barNumbered(p.Part, bars[0]) <= to && barNumbered(p.Part, bars[1]) >= from {
			return true
		}
	}
	return len(f.Bars) == 0
}

func (p *Prepared) breathEntry(k int) BreathEntry {
	b := p.Breathing.Breaths[k]
	n := p.Through.Written(b.After)
	return BreathEntry{After: n.ID, Bar: p.barNumber(p.Breathing.EndBar(b.After)), Pitch: n.Pitch.String(), Written: n.Written.String(), Kind: string(b.Kind),
		RoomS: round(float64(b.Room), 3), ShortenedS: round(float64(b.Shortened), 3), AirBeforeL: round(b.AirBefore, 2), AirAfterL: round(b.AirAfter, 2),
		Entry: b.Entry, Printed: b.Printed, Pinned: b.Pinned, Reason: p.Breathing.Reason(k), Why: p.Breathing.Why(k)}
}

func (p *Prepared) marked(i int, s positions.Step) MarkedNote {
	n := p.Through.Written(i)
	m := MarkedNote{ID: n.ID, Bar: p.barNumber(n.Bar), Onset: n.Onset, Duration: n.Duration, Pitch: n.Pitch.String(), Written: n.Written.String(),
		Others: []OtherChoice{}, Pinned: p.pinned[i], Slur: s.Slur, Gliss: n.GlissTo && !p.stepped(i)}
	if s.Way != nil {
		c := choice(*s.Way)
		m.Choice = &c
	}
	for _, o := range s.Others {
		m.Others = append(m.Others, OtherChoice{choice(o.Way), round(o.ExtraCost, 3)})
	}
	return m
}

func (p *Prepared) efforts(within func(bar int) bool) []EffortEntry {
	out := []EffortEntry{}
	for _, e := range p.Path.Efforts() {
		if e.TravelCM > 0 && within(p.Through.Bars[e.Bar].Bar) {
			out = append(out, EffortEntry{p.barNumber(p.Through.Bars[e.Bar].Bar), round(e.TravelCM, 1), round(e.PeakSpeed, 1), round(e.Peak, 2)})
		}
	}
	return out
}

func choice(w brass.Way) Choice {
	return Choice{w.Position, w.Valve, w.Partial, round(w.ExtensionCM, 1), round(w.LeanCM, 1), round(w.LeanCents, 1), round(w.OffCents, 1), w.Label}
}

// Marked is the part's own document with the chosen positions and the breaths
// written in, those in long rests left out, and what was left as it was. The error says so when the part is in a format that
// marks cannot be written into.
func (p *Prepared) Marked() ([]byte, musicxml.MarkReport, error) {
	if p.original == nil {
		return nil, musicxml.MarkReport{}, errors.New("positions can be written into MusicXML only; leave out -o to print them")
	}
	m := musicxml.Marks{Positions: map[string]string{}}
	for i, s := range p.Path.Steps {
		if s.Way != nil {
			m.Positions[p.Through.Written(i).ID] = s.Way.Label
		}
	}
	for _, b := range p.Breathing.Breaths {
		if !b.Entry {
			m.Breaths = append(m.Breaths, lastPiece(p.Through.Written(b.After)))
		}
	}
	doc, err := musicxml.Parse(p.file, p.original)
	if err != nil {
		return nil, musicxml.MarkReport{}, err
	}
	return doc.Mark(m)
}

// lastPiece is the id of the last of several tied notes: the breath stands after it.
func lastPiece(n *score.Note) string {
	if k := len(n.Pieces); k > 0 {
		return n.Pieces[k-1].ID
	}
	return n.ID
}
