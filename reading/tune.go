package reading

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"waterkey/brass"
	"waterkey/finding"
	"waterkey/positions"
)

// muchCents is a deviation that the lip hardly mends (estimate).
const muchCents = 40.0

// heardSeconds is the length from which a note shows its pitch (estimate).
const heardSeconds = 0.25

// untuned is a note with a fingering that lies off pitch by itself.
type untuned struct {
	name string
	note int // one of them
	off  float64
}

// tuning names the fingerings that lie off pitch, and what mends each: a slide to
// draw, or the lip.
func tuning(p *Page) []finding.Finding {
	if p.slide() {
		return nil
	}
	var all []untuned
	notes := p.where(func(i int) bool {
		w := p.Path.Steps[i].Way
		return w != nil && math.Abs(w.LeanCents) >= positions.HeardCents && p.seconds(i) >= heardSeconds
	})
	for _, i := range notes {
		w := *p.Path.Steps[i].Way
		same := func(u untuned) bool {
			return p.note(u.note).Pitch.MIDI() == p.note(i).Pitch.MIDI() && *p.Path.Steps[u.note].Way == w
		}
		if !slices.ContainsFunc(all, same) {
			all = append(all, untuned{fmt.Sprintf("%s %s", p.name(i), positions.How(w)), i, w.LeanCents})
		}
	}
	if len(all) == 0 {
		return nil
	}
	slices.SortStableFunc(all, func(a, b untuned) int { return cmp.Compare(math.Abs(b.off), math.Abs(a.off)) })
	worst := math.Abs(all[0].off)
	kept := all[:min(len(all), maxPlaces)]
	says := "Off pitch by themselves: " + strings.Join(byDeviation(kept), "; ")
	if len(all) == 1 {
		says = "Off pitch by itself: " + strings.Join(byDeviation(kept), "")
	}
	if n := len(all) - len(kept); n > 0 {
		says += fmt.Sprintf("; and %s less far", plural(n, "more fingering"))
	}
	return p.merged("fingering", worst/muchCents, p.runs(notes, 0), says+".", p.mend(kept))
}

// byDeviation joins neighbors that lie off alike: "E5 open and D5 with 1, 14 cents
// flat".
func byDeviation(all []untuned) []string {
	var parts, names []string
	for k, u := range all {
		names = append(names, u.name)
		if off := positions.Off(u.off); k+1 == len(all) || positions.Off(all[k+1].off) != off {
			parts = append(parts, joinAnd(names)+", "+off)
			names = nil
		}
	}
	return parts
}

// mend says what brings each note into tune: valve slides drawn by how far, and the
// lip for the rest.
func (p *Page) mend(all []untuned) string {
	drawn := map[string][]string{} // notes with the way of the slide, by slides
	var slides, down, up []string
	for _, u := range all {
		w, name := *p.Path.Steps[u.note].Way, p.name(u.note)
		if w.LeanCM > 0 {
			s := p.slidesDrawn(w)
			if len(drawn[s]) == 0 {
				slides = append(slides, s)
			}
			drawn[s] = append(drawn[s], fmt.Sprintf("%s (%.1f cm)", name, w.LeanCM))
		}
		switch {
		case w.OffCents >= positions.HeardCents:
			down = append(down, name)
		case w.OffCents <= -positions.HeardCents:
			up = append(up, name)
		}
	}
	var parts []string
	for _, s := range slides {
		parts = append(parts, fmt.Sprintf("draw the %s for %s", s, joinAnd(drawn[s])))
	}
	if len(down) > 0 {
		parts = append(parts, p.words().down+" "+joinAnd(down))
	}
	if len(up) > 0 {
		parts = append(parts, "lip up "+joinAnd(up))
	}
	return capital(strings.Join(parts, "; ")) + "; check each long one against a drone, as instruments differ."
}

var ordinals = map[string]string{"1": "first", "2": "second", "3": "third", "4": "fourth", "5": "fifth"}

// slidesDrawn names the valve slides drawn for a way, the longest first and no more
// than it takes: "third slide", "third and first slides".
func (p *Page) slidesDrawn(w brass.Way) string {
	var down []brass.Valve
	for _, v := range p.Path.Instrument.Valves {
		if v.KickCM > 0 && slices.Contains(strings.Split(w.Valve, "+"), v.Name) {
			down = append(down, v)
		}
	}
	slices.SortStableFunc(down, func(a, b brass.Valve) int { return cmp.Compare(b.KickCM, a.KickCM) })
	var names []string
	for left, k := w.LeanCM, 0; left > 0 && k < len(down); k++ {
		names = append(names, ordinals[down[k].Name])
		left -= down[k].KickCM
	}
	if len(names) == 1 {
		return names[0] + " slide"
	}
	return joinAnd(names) + " slides"
}
