package musicxml

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"waterkey/score"
)

// bar writes one bar: its attributes, then notes, rests and directions in order
// of time, and its barlines.
func (w *writer) bar(i int) {
	b, c := w.part.Bars[i], w.bars[i]
	implicit := ""
	if b.Implicit {
		implicit = ` implicit="yes"`
	}
	fmt.Fprintf(&w.buf, "    <measure id=\"bar-%d\" number=%s%s>\n", i, quoted(b.Number), implicit)
	w.leftBarline(i)
	var divisions []string
	if i == 0 {
		divisions = append(divisions, fmt.Sprintf("        <divisions>%d</divisions>", w.divisions))
	}
	w.attributes(&c, b.Start, divisions...)
	w.multiRest(b.RestBars)
	w.navigation(b, false)
	at := b.Start
	for k := range c.events {
		e := &c.events[k]
		w.move(at, e.at)
		at = e.at.Add(e.length)
		w.attributes(&c, e.at)
		w.directions(&c, e.at, e.at)
		w.event(e)
	}
	w.attributes(&c, b.End())
	w.directions(&c, b.End(), at)
	w.move(at, b.End())
	w.navigation(b, true)
	w.rightBarline(i)
	w.line("    </measure>")
}

// move goes from one moment to another.
func (w *writer) move(from, to score.Time) {
	switch t := to.Sub(from); t.Sign() {
	case 1:
		fmt.Fprintf(&w.buf, "      <forward>\n        <duration>%d</duration>\n      </forward>\n", w.units(t))
	case -1: // a grace note inside another note
		fmt.Fprintf(&w.buf, "      <backup>\n        <duration>%d</duration>\n      </backup>\n", -w.units(t))
	}
}

// attributes writes what stands in a bar up to a moment and is not written yet;
// more goes before it.
func (w *writer) attributes(c *barContent, until score.Time, more ...string) {
	n := 0
	for n < len(c.attributes) && !until.Less(c.attributes[n].at) {
		more = append(more, c.attributes[n].xml)
		n++
	}
	c.attributes = c.attributes[n:]
	if len(more) > 0 {
		w.line("      <attributes>\n" + strings.Join(more, "\n") + "\n      </attributes>")
	}
}

// multiRest announces empty bars that the page draws as one.
func (w *writer) multiRest(bars int) {
	if bars > 0 {
		w.line(fmt.Sprintf("      <attributes>\n        <measure-style><multiple-rest>%d</multiple-rest></measure-style>\n      </attributes>", bars))
	}
}

func keyElement(k score.Key) string {
	if k.Other != nil {
		var b strings.Builder
		for _, name := range k.Other {
			alter := strings.Count(name, "#") - strings.Count(name, "b")
			fmt.Fprintf(&b, "<key-step>%s</key-step><key-alter>%d</key-alter>", name[:1], alter)
		}
		return "        <key>" + b.String() + "</key>"
	}
	mode := ""
	if k.Mode != "" {
		mode = "<mode>" + escape(k.Mode) + "</mode>"
	}
	return fmt.Sprintf("        <key><fifths>%d</fifths>%s</key>", k.Fifths, mode)
}

func meterElement(m score.Meter) string {
	if m.Unit == 0 {
		return "        <time><senza-misura/></time>"
	}
	beats := strconv.Itoa(m.Beats)
	if m.Groups != nil {
		var groups []string
		for _, g := range m.Groups {
			groups = append(groups, strconv.Itoa(g))
		}
		beats = strings.Join(groups, "+")
	}
	symbol := ""
	if m.Symbol != "" {
		symbol = " symbol=" + quoted(m.Symbol)
	}
	return fmt.Sprintf("        <time%s><beats>%s</beats><beat-type>%d</beat-type></time>", symbol, beats, m.Unit)
}

func clefElement(c score.Clef) string {
	s := "<sign>" + escape(c.Sign) + "</sign>"
	if c.Line != 0 {
		s += fmt.Sprintf("<line>%d</line>", c.Line)
	}
	if c.Octave != 0 {
		s += fmt.Sprintf("<clef-octave-change>%d</clef-octave-change>", c.Octave)
	}
	return "        <clef>" + s + "</clef>"
}

// interval is what lies between page and sound.
type interval struct{ steps, semitones int }

// transposition is read off the first note of a bar; ok is false without one.
func (c *barContent) transposition() (t interval, ok bool) {
	for _, e := range c.events {
		if n := e.note; n != nil && e.first {
			return interval{diatonic(n.Pitch) - diatonic(n.Written), n.Pitch.MIDI() - n.Written.MIDI()}, true
		}
	}
	return interval{}, false
}

func (t interval) element() string {
	return fmt.Sprintf("        <transpose><diatonic>%d</diatonic><chromatic>%d</chromatic></transpose>", t.steps, t.semitones)
}

func (w *writer) leftBarline(i int) {
	b := w.part.Bars[i]
	starts := b.Endings != nil && (i == 0 || !slices.Equal(w.part.Bars[i-1].Endings, b.Endings) || w.part.Bars[i-1].RepeatEnd > 0)
	if !starts && !b.RepeatStart {
		return
	}
	s := `      <barline location="left">`
	if b.RepeatStart {
		s += "<bar-style>heavy-light</bar-style>"
	}
	if starts {
		s += fmt.Sprintf(`<ending number="%s" type="start"/>`, endingNumbers(b.Endings))
	}
	if b.RepeatStart {
		s += `<repeat direction="forward"/>`
	}
	w.line(s + "</barline>")
}

func (w *writer) rightBarline(i int) {
	b := w.part.Bars[i]
	last := i == len(w.part.Bars)-1
	stops := b.Endings != nil && (b.RepeatEnd > 0 || last || !slices.Equal(w.part.Bars[i+1].Endings, b.Endings))
	if b.Barline == "" && !stops && b.RepeatEnd == 0 {
		return
	}
	s := `      <barline location="right">`
	if b.Barline != "" {
		s += "<bar-style>" + escape(b.Barline) + "</bar-style>"
	}
	if stops {
		kind := "discontinue"
		if b.RepeatEnd > 0 {
			kind = "stop"
		}
		s += fmt.Sprintf(`<ending number="%s" type="%s"/>`, endingNumbers(b.Endings), kind)
	}
	if b.RepeatEnd > 0 {
		times := ""
		if b.RepeatEnd != 2 {
			times = fmt.Sprintf(` times="%d"`, b.RepeatEnd)
		}
		s += fmt.Sprintf(`<repeat direction="backward"%s/>`, times)
	}
	w.line(s + "</barline>")
}

func endingNumbers(ns []int) string {
	var out []string
	for _, n := range ns {
		out = append(out, strconv.Itoa(n))
	}
	return strings.Join(out, ", ")
}

// navigation writes the signs at the start of a bar, and the jumps at its end.
func (w *writer) navigation(b score.Bar, end bool) {
	sign := func(kind, sound string) {
		w.line(`      <direction placement="above"><direction-type>` + kind + `</direction-type><sound ` + sound + `/></direction>`)
	}
	if !end {
		if b.Segno {
			sign("<segno/>", `segno="segno"`)
		}
		if b.Coda {
			sign("<coda/>", `coda="coda"`)
		}
		return
	}
	for _, jump := range []struct {
		on          bool
		word, sound string
	}{
		{b.Fine, "Fine", `fine="yes"`}, {b.ToCoda, "To Coda", `tocoda="coda"`},
		{b.DaCapo, "D.C.", `dacapo="yes"`}, {b.DalSegno, "D.S.", `dalsegno="segno"`},
	} {
		if jump.on {
			sign("<words>"+jump.word+"</words>", jump.sound)
		}
	}
}
