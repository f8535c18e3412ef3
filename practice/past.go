package practice

import "slices"

// remember enters what was done before the first day planned, so that the plan goes
// on from there.
func (p *planner) remember() {
	at := index(p.m.Bars)
	p.out = make([]Day, p.first, len(p.days))
	for k, f := range p.days[:p.first] {
		i := slices.IndexFunc(p.m.Past, func(d Day) bool { return d.Date == iso(f.date) })
		if i < 0 {
			continue
		}
		p.out[k] = p.m.Past[i]
		p.recall(k, p.m.Past[i], at)
	}
	for i := range p.seen {
		p.seen[i].past = p.seen[i].met
		if p.segments[i].SlippedIn != "" { // does not wait for its turn
			p.seen[i].due = min(p.seen[i].due, p.first)
		}
	}
}

// recall enters one past day. Its items know their bars alone: segments may have been
// cut otherwise since.
func (p *planner) recall(k int, d Day, at map[string]int) {
	met := map[int]bool{}
	for _, it := range d.Items {
		span, ok := spanOf(it, at)
		if !ok {
			continue
		}
		it.span = span
		for i, s := range p.segments {
			if it.Kind == Visit && len(it.Tempos) > 0 && span.holds(s.core) && !met[i] {
				met[i] = true
				p.visited(k, i, slices.Min(it.Tempos))
			}
		}
		for i, line := range p.lines {
			if it.joins(line) {
				p.lineMet[i]++
			}
		}
	}
}

// spanOf is the stretch of an item that was stored; false for one without bars, or
// with bars that the part does not have any more.
func spanOf(it Item, at map[string]int) (Span, bool) {
	if len(it.Bars) < 2 {
		return Span{}, false
	}
	from, known := at[it.Bars[0]]
	to, too := at[it.Bars[1]]
	return Span{from, to}, known && too && from <= to
}

// joins says whether an item plays a whole line, and not only places in it.
func (it Item) joins(line Span) bool {
	return it.Kind != Visit && it.Kind != WarmUp && it.Reps > 0 && it.span.holds(line)
}
