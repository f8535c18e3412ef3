package main

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"waterkey/brass"
	"waterkey/desk"
	"waterkey/reading"
)

// whyDocument is the JSON of mark --why.
type whyDocument struct {
	Instrument string             `json:"instrument"`
	Written    string             `json:"written"` // how the sentences name notes
	Why        []desk.WhyEntry    `json:"why"`
	Comfort    *desk.ComfortEntry `json:"comfort"` // null on valve brass, or where no tempo is slow enough
}

// explain says why the bars of --why go as they do, and up to which tempo the
// slide is comfortable.
func (m *markFlags) explain(w io.Writer, p *desk.Prepared, asJSON bool) error {
	from, to, err := m.span(p, m.why)
	if err != nil {
		return err
	}
	d := whyDocument{Instrument: p.Path.Instrument.Name, Written: reading.AsWritten(p.Part, p.Path.Instrument), Why: p.Why(from, to)}
	if c, err := p.Comfort(from, to); err == nil {
		d.Comfort = &c
	}
	if asJSON {
		return printJSON(w, d)
	}
	printHead(w, p.Part.Title, p.Part.Name)
	if d.Written != "" {
		printLines(w, 0, d.Written)
	}
	for _, e := range d.Why {
		fmt.Fprintln(w)
		printLines(w, 0, strings.Join(e.Says, " "))
	}
	if len(d.Why) == 0 {
		fmt.Fprintf(w, "\nNo note within reach there (--why %s).\n", m.why)
	}
	if d.Comfort != nil {
		fmt.Fprintln(w)
		printLines(w, 0, comfortable(*d.Comfort))
	}
	return nil
}

// comfortable says up to which tempo the slide is.
func comfortable(c desk.ComfortEntry) string {
	const anyBPM = 300 // faster than felt beats are taken (estimate)
	if c.Hardest == "" || c.BPM >= anyBPM {
		return "The slide is comfortable here at any tempo."
	}
	return fmt.Sprintf("The slide is comfortable here up to %s = %.0f; the move that sets the limit is %s.", c.Unit, math.Floor(c.BPM), c.Hardest)
}

// set answers --compare: an instrument's name, or a reach in cm.
func (m *markFlags) set(w io.Writer, p *desk.Prepared, asJSON bool) error {
	d, err := m.comparison(p)
	if err != nil {
		return err
	}
	if asJSON {
		return printJSON(w, d)
	}
	printHead(w, p.Part.Title, p.Part.Name)
	printLines(w, 0, compared(d))
	for _, b := range d.Bars {
		fmt.Fprintf(w, "%5s  %s\n", b.Bar, difference(b, d.Slides))
	}
	return nil
}

func (m *markFlags) comparison(p *desk.Prepared) (desk.CompareDocument, error) {
	if number, ok := strings.CutSuffix(m.compare, "cm"); ok {
		cm, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
		if err = checkReach(cm, err); err != nil {
			return desk.CompareDocument{}, usage(fmt.Errorf("--compare %s: %w", m.compare, err))
		}
		if in := p.Path.Instrument; !in.Slide() {
			return desk.CompareDocument{}, usage(fmt.Errorf("--compare %s: the %s has no slide for an arm to reach; name an instrument instead, such as euphonium", m.compare, in.Title))
		}
		return p.CompareReach(cm), nil
	}
	in, err := brass.Named(m.compare)
	if err != nil {
		return desk.CompareDocument{}, usage(fmt.Errorf("--compare: %w; or give a reach such as 60cm", err))
	}
	return p.CompareHorn(in), nil
}

// compared is the sum in one sentence.
func compared(d desk.CompareDocument) string {
	text := fmt.Sprintf("With %s instead of %s: %s in all", reading.WithArticle(d.With), reading.WithArticle(d.Than), difference(desk.CompareEntry{TravelCM: d.TravelCM, Work: d.Work, Gained: d.Gained, Lost: d.Lost, Gliss: d.Gliss}, d.Slides))
	if len(d.Bars) == 0 {
		return text + "; no bar gets much easier or harder."
	}
	scale := "An effort of 0.5 is a comfortable move of the slide."
	if !d.Slides {
		scale = "An effort of 0.1 is two fingers moving with time to spare."
	}
	return text + ". " + scale + " The bars where it tells:"
}

// difference says what is spared; where neither instrument has a slide, of fingers
// alone.
func difference(e desk.CompareEntry, slides bool) string {
	text := "as much slide"
	switch whole := math.Round(e.TravelCM); {
	case whole > 0:
		text = fmt.Sprintf("%.0f cm less slide", whole)
	case whole < 0:
		text = fmt.Sprintf("%.0f cm more slide", -whole)
	}
	if !slides {
		text = ""
	}
	switch tenths := math.Round(10 * e.Work); {
	case e.Gained+e.Lost > 0: // a note out of reach costs nothing, so the efforts do not compare
	case tenths > 0:
		text += fmt.Sprintf(", %.1f less effort", e.Work)
	case tenths < 0:
		text += fmt.Sprintf(", %.1f more effort", -e.Work)
	case !slides:
		text = ", as much effort"
	}
	for _, c := range []struct {
		n          int
		what, then string
	}{
		{e.Gained, "note", " more within reach"}, {e.Lost, "note", " out of reach"},
		{e.Gliss, "glissando", " more to play"}, {-e.Gliss, "glissando", " fewer to play"},
	} {
		if c.n > 0 {
			text += ", " + counted(c.n, c.what) + c.then
		}
	}
	return strings.TrimPrefix(text, ", ")
}

// counted is "1 note" or "3 notes".
func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %s", n, strings.Replace(what+"s", "os", "i", 1))
}
