package practice

import "fmt"

const (
	// longRest is from how many bars on a rest is cut in practice, and restBefore and
	// restAfter how many bars of it stay after the last note and before the next one
	// (common practice: nobody practices tacets, and an entrance needs bars to come in
	// from; numbers are estimates).
	longRest, restAfter, restBefore = 6, 1, 2
)

// cutRests is the material with its long rests cut short, and by how many seconds of
// the part.
func (m Material) cutRests() (Material, float64) {
	bars, total, cut := make([]Bar, len(m.Bars)), 0.0, 0.0
	copy(bars, m.Bars)
	for from := 0; from < len(bars); {
		to := from
		for to < len(bars) && bars[to].Silent {
			to++
		}
		for i := from + restAfter; to-from >= longRest && i < to-restBefore; i++ {
			cut += bars[i].Seconds
			bars[i].Seconds = 0
		}
		from = max(to, from+1)
	}
	for _, b := range m.Bars {
		total += b.Seconds
	}
	m.Bars = bars
	if total > 0 {
		m.Run *= (total - cut) / total // repeats have rests in their share
	}
	return m, cut
}

// restsRemark says what is left of the long rests; "" where none was cut.
func (p *planner) restsRemark() string {
	if p.cut == 0 {
		return ""
	}
	return fmt.Sprintf("Rests of %d bars and more are cut in practice to a bar after the last note and %d before the next entrance; so the part takes %s. Count them in full when you know what the others play there.",
		longRest, restBefore, clock(p.m.Run))
}

// clock is "4:05".
func clock(seconds float64) string {
	s := int(seconds + 0.5)
	return fmt.Sprintf("%d:%02d", s/60, s%60)
}
