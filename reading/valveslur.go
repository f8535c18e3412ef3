package reading

import (
	"fmt"
	"math"

	"waterkey/finding"
	"waterkey/positions"
)

// valveSlurs says which slurs the lip must make alone: on valve brass those between
// notes of one fingering. The rest the valves help along (common practice).
func valveSlurs(p *Page) []finding.Finding {
	lip := p.where(func(i int) bool { return p.Path.Steps[i].Slur == positions.LipSlur })
	valve := p.where(func(i int) bool { return p.Path.Steps[i].Slur == positions.ValveSlur })
	total := len(lip) + len(valve)
	switch {
	case total <= fewSlurs:
		return nil
	case len(lip) == 0:
		return []finding.Finding{p.finding("prevailing", 0, 0, len(p.Part.Bars)-1,
			fmt.Sprintf("All %d slurs from note to note change the fingering.", total),
			"Keep the air through the change; fingers quick and together, in time rather than early, make the slur.")}
	}
	widest := lip[0]
	for _, i := range lip {
		if p.span(i) > p.span(widest) {
			widest = i
		}
	}
	rs, lead := p.runs(lip, 0), "; the widest is "
	says := fmt.Sprintf("Of %d slurs from note to note, %d go on the lip alone, in %s", total, len(lip), p.barList(rs))
	switch {
	case len(lip) == total:
		says = fmt.Sprintf("All %d slurs from note to note go on the lip alone", total)
	case len(lip) == 1:
		says, lead = fmt.Sprintf("Of %d slurs from note to note, one goes on the lip alone", total), ": "
	}
	says += fmt.Sprintf("%s%s to %s in bar %s, %.0f semitones %s.", lead, p.name(widest-1), p.name(widest),
		p.number(p.note(widest).Bar), p.span(widest), positions.How(*p.Path.Steps[widest].Way))
	const most = 0.4 // below the finding on what prevails, as for slides
	return p.merged("prevailing", most*math.Sqrt(float64(len(lip))/float64(total)), rs, says,
		"Practice them slowly by themselves: air that never stops, the tongue arching from ah to ee on the way up, no bump between.")
}
