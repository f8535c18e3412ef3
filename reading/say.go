package reading

import (
	"fmt"
	"slices"
	"strings"

	"waterkey/finding"
	"waterkey/score"
)

// run is a stretch of bars, by index, both ends included, and the notes in it.
type run struct {
	from, to int
	notes    []int
}

// runs gathers notes into stretches of neighboring bars. Bars with at most gap
// other bars between them join.
func (p *Page) runs(notes []int, gap int) []run {
	var out []run
	for _, n := range notes {
		bar := p.note(n).Bar
		if k := len(out) - 1; k >= 0 && bar <= out[k].to+1+gap {
			out[k].to = max(out[k].to, bar)
			out[k].notes = append(out[k].notes, n)
			continue
		}
		out = append(out, run{bar, bar, []int{n}})
	}
	return out
}

// where returns the notes for which is holds.
func (p *Page) where(is func(i int) bool) []int {
	var out []int
	for i := range p.notes() {
		if is(i) {
			out = append(out, i)
		}
	}
	return out
}

// number is the printed number of a bar, or its count when none is printed.
func (p *Page) number(bar int) string {
	if n := p.Part.Bars[bar].Number; n != "" {
		return n
	}
	return fmt.Sprint(bar + 1)
}

func (p *Page) bars(from, to int) []string { return []string{p.number(from), p.number(to)} }

// barText is "bar 4" or "bars 4 to 7".
func (p *Page) barText(from, to int) string {
	if from == to {
		return "bar " + p.number(from)
	}
	return fmt.Sprintf("bars %s to %s", p.number(from), p.number(to))
}

// maxPlaces is how many places a sentence names before it says "and more"
// (estimate: what a listener keeps).
const maxPlaces = 6

// barList names the bars of several runs: "bars 3, 7 to 9 and 12".
func (p *Page) barList(rs []run) string {
	var parts []string
	for _, r := range rs {
		s := p.number(r.from)
		if r.to > r.from {
			s += " to " + p.number(r.to)
		}
		parts = append(parts, s)
	}
	word := "bar "
	if len(rs) > 1 || rs[0].to > rs[0].from {
		word = "bars "
	}
	if n := len(parts) - maxPlaces; n > 1 {
		parts = append(parts[:maxPlaces], fmt.Sprintf("%d more places", n))
	}
	return word + joinAnd(parts)
}

// joinAnd is "a", "a and b", "a, b and c".
func joinAnd(parts []string) string {
	n := len(parts)
	if n < 2 {
		return strings.Join(parts, "")
	}
	return strings.Join(parts[:n-1], ", ") + " and " + parts[n-1]
}

// signs turns accidentals of pitch names into the printed ones.
var signs = strings.NewReplacer("b", "♭", "#", "♯")

// pitches are the different notes of some, as written, low to high.
func (p *Page) pitches(notes []int) []score.Pitch {
	seen := map[score.Pitch]bool{}
	var ps []score.Pitch
	for _, n := range notes {
		if q := p.note(n).Written; !seen[q] {
			seen[q] = true
			ps = append(ps, q)
		}
	}
	slices.SortStableFunc(ps, func(a, b score.Pitch) int { return a.MIDI() - b.MIDI() })
	return ps
}

// sayNames lists the different pitches of some notes, low to high: "F2 and C3".
func (p *Page) sayNames(notes []int) string {
	var names []string
	for _, q := range p.pitches(notes) {
		names = append(names, q.Text())
	}
	if len(names) > maxPlaces {
		return fmt.Sprintf("%s to %s", names[0], names[len(names)-1])
	}
	return joinAnd(names)
}

// merged makes one finding of several runs: it stands at the first, the text names
// them, and Places has them all.
func (p *Page) merged(kind string, severity float64, rs []run, says, do string) []finding.Finding {
	if len(rs) == 0 {
		return nil
	}
	f := p.finding(kind, severity, rs[0].from, rs[0].to, says, do)
	if len(rs) > 1 {
		for _, r := range rs {
			f.Places = append(f.Places, p.bars(r.from, r.to))
		}
	}
	return []finding.Finding{f}
}

// place is one of several like places.
type place struct {
	from, to int    // bars
	says     string // the whole sentence when it stands alone
	short    string // what is said of it in a list: "bar 34 (mf to f)"
}

// apart is up to how many like places are named in a sentence each; more of them
// are listed in one (a coach does not give the same advice twice in one
// breath).
const apart = 1

// each says like places one by one, or in one sentence that opens with many when
// there are a lot of them.
func (p *Page) each(kind string, severity float64, places []place, many, do string) []finding.Finding {
	if len(places) == 0 {
		return nil
	}
	var out []finding.Finding
	if len(places) <= apart {
		for _, pl := range places {
			out = append(out, p.finding(kind, severity, pl.from, pl.to, pl.says, do))
		}
		return out
	}
	var parts []string
	for _, pl := range places {
		parts = append(parts, pl.short)
	}
	if n := len(parts) - maxPlaces; n > 1 {
		parts = append(parts[:maxPlaces], fmt.Sprintf("%d more places", n))
	}
	f := p.finding(kind, severity, places[0].from, places[0].to, many+" "+joinAnd(parts)+".", do)
	for _, pl := range places {
		f.Places = append(f.Places, p.bars(pl.from, pl.to))
	}
	return []finding.Finding{f}
}

// plural is "1 flat" or "3 flats" in words up to seven.
func plural(n int, thing string) string {
	words := []string{"no", "one", "two", "three", "four", "five", "six", "seven"}
	s := fmt.Sprint(n)
	if n < len(words) {
		s = words[n]
	}
	if n != 1 {
		thing += "s"
	}
	return s + " " + thing
}

// capital makes the first letter a capital.
func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// value names a note value in the page's terms.
func (p *Page) value(t score.Time) string { return p.Terms.Value(t) }
