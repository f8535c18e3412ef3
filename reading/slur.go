package reading

import (
	"fmt"
	"math"

	"waterkey/finding"
	"waterkey/positions"
)

// Words for the slurs that need no tongue, in the order in which they are told.
var slurWords = []struct {
	kind positions.Slur
	text string
}{{positions.NaturalSlur, "%d natural"}, {positions.LipSlur, "%d on the lip"}, {positions.ValveSlur, "%d with the valve"}}

// fewSlurs is up to how many slurs that need no care are passed over (estimate).
const fewSlurs = 3

// slurs says which slurs go by themselves in the chosen positions and where a
// soft tongue must hide the slide (trombone.org, "Playing Legato on the Trombone:
// A Primer").
func slurs(p *Page) []finding.Finding {
	if !p.slide() {
		return valveSlurs(p)
	}
	kinds := map[positions.Slur][]int{}
	total := 0
	for i := range p.notes() {
		if kind := p.Path.Steps[i].Slur; kind != positions.NoSlur {
			kinds[kind] = append(kinds[kind], i)
			total++
		}
	}
	tongued := kinds[positions.TonguedSlur]
	if len(tongued) == 0 {
		if total <= fewSlurs {
			return nil
		}
		return []finding.Finding{p.finding("prevailing", 0, 0, len(p.Part.Bars)-1,
			fmt.Sprintf("All %d slurs from note to note go without the tongue on these positions.", total),
			"Trust them: air and slide alone make the slur, and the slide moves at the last moment.")}
	}
	rs := p.runs(tongued, 0)
	want := fmt.Sprintf("%d want", len(tongued))
	if len(tongued) == 1 {
		want = "one wants"
	}
	says := fmt.Sprintf("Of %d slurs from note to note, %s a legato tongue, in %s", total, want, p.barList(rs))
	if len(tongued) == total {
		says = fmt.Sprintf("Every slur from note to note wants a legato tongue, in %s", p.barList(rs))
	}
	var rest []string
	for _, w := range slurWords {
		if n := len(kinds[w.kind]); n > 0 {
			rest = append(rest, fmt.Sprintf(w.text, n))
		}
	}
	if len(rest) > 0 {
		says += "; the rest go by themselves, " + joinAnd(rest)
	}
	// Below the finding on what prevails, however many there are.
	const most = 0.4
	return p.merged("prevailing", most*float64(len(tongued))/float64(total), rs, says+"."+p.worstSmear(tongued),
		"Tongue those as softly as a spoken d, slide late and quick, on air that never stops, until nobody hears which they are.")
}

// worstSmear names the longest slide move on one partial under a slur, as
// a sentence. It is empty when no slur stays on its partial.
func (p *Page) worstSmear(tongued []int) string {
	worst, far := 0, 0.0
	for _, i := range tongued {
		a, b := p.Path.Steps[i-1].Way, p.Path.Steps[i].Way
		if cm := math.Abs(p.Path.Steps[i].Move.TravelCM); a.Partial == b.Partial && cm > far {
			worst, far = i, cm
		}
	}
	if far == 0 {
		return ""
	}
	return fmt.Sprintf(" The widest smear would be %s to %s in bar %s, %.0f cm of slide.",
		p.name(worst-1), p.name(worst), p.number(p.note(worst).Bar), far)
}
