package musicxml

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"waterkey/score"
)

// accidentals settles which notes print one: those of the page, and where the
// source gives none, those that the key and the bar ask for.
func accidentals(part *score.Part, bars []barContent) {
	for i := range bars {
		inForce := map[int]int{} // alteration by place on the staff
		for k := range bars[i].events {
			e := &bars[i].events[k]
			if e.note == nil {
				continue
			}
			at, p := diatonic(e.note.Written), e.note.Written
			is, said := inForce[at]
			if !said {
				is = part.Bars[i].Key.Alteration(p.Step)
			}
			switch {
			case !e.first: // a tie carries its accidental along
			case e.note.Accidental != "":
				e.accidental = e.note.Accidental
			case is != p.Alter:
				e.accidental = accidentalNames[p.Alter]
			}
			if e.first {
				inForce[at] = p.Alter
			}
		}
	}
}

// accidentalNames are those of the open standard (W3C MusicXML 4.0, accidental).
var accidentalNames = map[int]string{-2: "flat-flat", -1: "flat", 0: "natural", 1: "sharp", 2: "double-sharp"}

// tuplets brackets notes of one ratio until their lengths add up to a plain value.
func tuplets(events []event) {
	start := -1
	var sum score.Time
	for i := range events {
		e := &events[i]
		if e.length.Sign() == 0 {
			continue
		}
		ratio := e.piece.Tuplet
		if start >= 0 && events[start].piece.Tuplet != ratio {
			start = -1
		}
		if ratio.Actual == 0 {
			continue
		}
		if start < 0 {
			start, sum = i, score.Time{}
		}
		sum = sum.Add(e.length)
		if den := sum.Den(); den&(den-1) == 0 {
			events[start].tupletStart, e.tupletStop = true, true
			start = -1
		}
	}
}

// beamCount is how many beams or flags a note has.
func beamCount(p score.Piece) int {
	value, _ := printed(p)
	n := 0
	for v := score.Frac(1, 8); value.Sign() > 0 && !v.Less(value); v = v.Scale(1, 2) {
		n++
	}
	return n
}

// beam joins short notes within a beat: a quarter of simple meters, three eighths
// of compound ones (common practice).
func beam(events []event, bar score.Bar) {
	span := score.Frac(1, 4)
	if m := bar.Meter; m.Unit >= 8 && m.Beats%3 == 0 {
		span = score.Frac(3, int64(m.Unit))
	}
	group := []*event{}
	beat := int64(-1)
	for i := range events {
		e := &events[i]
		if e.note != nil && e.note.Grace {
			continue
		}
		from := e.at.Sub(bar.Start)
		now := from.Scale(span.Den(), span.Num())
		in := now.Num() / now.Den()
		if e.note == nil || beamCount(e.piece) == 0 || in != beat {
			joinBeams(group)
			group = group[:0]
		}
		beat = in
		if e.note != nil && beamCount(e.piece) > 0 {
			group = append(group, e)
		}
	}
	joinBeams(group)
}

// joinBeams writes the beams of one group, level by level; a level that only one
// note of its neighbors has becomes a hook.
func joinBeams(group []*event) {
	if len(group) < 2 {
		return
	}
	has := func(i, level int) bool { return i >= 0 && i < len(group) && beamCount(group[i].piece) >= level }
	for i, e := range group {
		for level := 1; has(i, level); level++ {
			before, after := has(i-1, level), has(i+1, level)
			s := "continue"
			switch {
			case before && !after:
				s = "end"
			case after && !before:
				s = "begin"
			case !before && i == 0:
				s = "forward hook"
			case !before:
				s = "backward hook"
			}
			e.beams = append(e.beams, s)
		}
	}
}

func (w *writer) collectDirections() {
	p := w.part
	put := func(bar int, at score.Time, xml string) {
		w.bars[bar].directions = append(w.bars[bar].directions, placed{at, xml})
	}
	for _, t := range p.Tempos {
		put(t.Bar, t.At, tempoXML(t))
	}
	attacks := map[score.Time]string{}
	for _, n := range p.Notes {
		if n.Attack != "" {
			attacks[n.Onset] = n.Attack
		}
	}
	for _, d := range p.Dynamics {
		if accents[attacks[d.At]] == d.Mark {
			continue // fp says p already
		}
		put(d.Bar, d.At, `<direction placement="below"><direction-type><dynamics>`+dynamicXML(d.Mark)+`</dynamics></direction-type>`)
	}
	for i := range p.Notes {
		if n := p.Notes[i]; n.Attack != "" {
			put(n.Bar, n.Onset, `<direction placement="below"><direction-type><dynamics>`+dynamicXML(n.Attack)+`</dynamics></direction-type>`)
		}
	}
	for _, d := range p.Wedges {
		kind, niente := "diminuendo", ""
		if d.Grow {
			kind = "crescendo"
		}
		if d.Niente {
			niente = ` niente="yes"`
		}
		put(d.FromBar, d.From, fmt.Sprintf(`<direction placement="below"><direction-type><wedge type="%s"%s/></direction-type>`, kind, niente))
		put(d.ToBar, d.To, `<direction placement="below"><direction-type><wedge type="stop"/></direction-type>`)
	}
	for _, t := range p.Words {
		put(t.Bar, t.At, `<direction placement="above"><direction-type><words>`+escape(t.Text)+`</words></direction-type>`)
	}
	for i := range w.bars {
		slices.SortStableFunc(w.bars[i].directions, func(a, b placed) int { return a.at.Cmp(b.at) })
	}
}

// ownDynamics are the dynamic accents with an element of their own (W3C MusicXML
// 4.0, dynamics); every level has one.
var ownDynamics = map[string]bool{"sf": true, "sfp": true, "sfpp": true, "fp": true, "rf": true, "rfz": true, "sfz": true,
	"sffz": true, "fz": true, "pf": true, "sfzp": true}

// dynamicXML is a dynamic mark by its own element, or as other-dynamics.
func dynamicXML(mark string) string {
	if _, level := score.LevelStep(mark); level || ownDynamics[mark] {
		return "<" + mark + "/>"
	}
	return "<other-dynamics>" + escape(mark) + "</other-dynamics>"
}

// tempoXML prints words and number; a tempo without a printed number is for
// playback alone, in quarter notes.
func tempoXML(t score.TempoMark) string {
	s := `<direction placement="above">`
	if t.Text != "" {
		// The blank keeps words and metronome mark apart where both are engraved.
		s += "<direction-type><words font-weight=\"bold\">" + escape(t.Text) + " </words></direction-type>"
	}
	bpm := strconv.FormatFloat(t.BPM, 'f', -1, 64)
	for _, name := range typeNames {
		for dots := range 3 {
			if t.BPM > 0 && t.Unit.Sign() > 0 && dotted(values[name], dots) == t.Unit {
				s += "<direction-type><metronome><beat-unit>" + name + "</beat-unit>"
				for range dots {
					s += "<beat-unit-dot/>"
				}
				s += "<per-minute>" + bpm + "</per-minute></metronome></direction-type>"
			}
		}
	}
	if t.BPM > 0 && t.Unit.Sign() == 0 {
		if t.Text == "" {
			s += "<direction-type><words/></direction-type>"
		}
		s += `<sound tempo="` + bpm + `"/>`
	}
	return s
}

// directions writes those up to a moment that are not written yet.
func (w *writer) directions(c *barContent, until, cursor score.Time) {
	for len(c.directions) > 0 && !until.Less(c.directions[0].at) {
		w.direction(c.directions[0], cursor)
		c.directions = c.directions[1:]
	}
}

// direction writes one direction; where it stands at a moment past the cursor or
// before it, its offset says so.
func (w *writer) direction(d placed, cursor score.Time) {
	offset := ""
	if diff := d.at.Sub(cursor); diff.Sign() != 0 {
		offset = fmt.Sprintf(`<offset sound="yes">%d</offset>`, w.units(diff))
	}
	// The offset goes before a sound in the schema's sequence.
	types, sound, _ := strings.Cut(d.xml, "<sound")
	if sound != "" {
		sound = "<sound" + sound
	}
	w.line("      " + types + offset + sound + "</direction>")
}
