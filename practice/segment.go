package practice

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"waterkey/finding"
	"waterkey/player"
)

// coreSeconds is how long the trouble of one segment may last at the goal tempo,
// by level: one breath for an advanced player, less for one who keeps less in
// mind (estimates).
var coreSeconds = map[player.Level]float64{player.First: 5, player.Second: 5, player.Third: 6, player.Advanced: 8, player.Professional: 8}

const (
	// coreBars is the most bars of trouble in one segment, slowBars how many it may
	// have however long they last, so that slow music is not cut into single bars
	// (estimates: a common phrase and half of one).
	coreBars, slowBars = 4, 2
	// broadShare is the share of the bars from which a place is the whole page and
	// no matter of a segment (estimate).
	broadShare = 0.5
	// named is how many kinds the name of a segment lists (estimate).
	named = 3
)

// trouble is a stretch of bars with what makes it one.
type trouble struct {
	Span
	weight float64
}

// cut finds the segments of a part: stretches of trouble, merged where they
// share bars and the whole stays short, each with a bar more on either side.
func cut(m Material) []Segment {
	at := index(m.Bars)
	lines := phrases(m, at)
	found := append(slices.Clip(m.Findings), lastSlips(m, at)...)
	var seeds []trouble
	for _, f := range found {
		if aside[f.Kind] || f.Weight < leastSeed {
			continue
		}
		for _, s := range places(f, at) {
			if !m.broad(s) {
				seeds = append(seeds, m.short(s, lines, f.Weight)...)
			}
		}
	}
	var out []Segment
	for _, core := range m.near(m.merge(seeds)) {
		out = append(out, m.segment(core, found, at))
	}
	return m.heard(out, at)
}

// broad says whether a place is so long that it is the whole page.
func (m Material) broad(s Span) bool { return float64(s.bars()) > broadShare*float64(len(m.Bars)) }

// fits says whether a stretch is short enough for the core of a segment.
func (m Material) fits(s Span) bool {
	return s.bars() <= slowBars || s.bars() <= coreBars && m.seconds(s) <= m.coreSeconds()
}

func (m Material) coreSeconds() float64 {
	if s, ok := coreSeconds[m.Level]; ok {
		return s
	}
	return coreSeconds[player.DefaultLevel]
}

// seconds is how long a stretch lasts at the goal tempo.
func (m Material) seconds(s Span) float64 {
	sum := 0.0
	for _, b := range m.Bars[s.From : s.To+1] {
		sum += b.Seconds
	}
	return sum
}

// short cuts a place that is too long, first where phrases end, then evenly.
func (m Material) short(s Span, lines []Span, weight float64) []trouble {
	if m.fits(s) {
		return []trouble{{s, weight}}
	}
	var out []trouble
	from := s.From
	for _, line := range lines {
		if line.To >= from && line.To < s.To {
			out = append(out, m.even(Span{from, line.To}, weight)...)
			from = line.To + 1
		}
	}
	return append(out, m.even(Span{from, s.To}, weight)...)
}

// even cuts a stretch into the fewest pieces of nearly as many bars each that
// fit.
func (m Material) even(s Span, weight float64) []trouble {
	for pieces := 1; ; pieces++ {
		var out []trouble
		ok := true
		for i := range pieces {
			piece := Span{s.From + i*s.bars()/pieces, s.From + (i+1)*s.bars()/pieces - 1}
			ok = ok && m.fits(piece)
			out = append(out, trouble{piece, weight})
		}
		if ok {
			return out
		}
	}
}

// merge joins places that share bars or stand side by side while the whole fits.
// The cores that come out share none.
func (m Material) merge(seeds []trouble) []Span {
	slices.SortStableFunc(seeds, func(a, b trouble) int {
		return cmp.Or(cmp.Compare(a.From, b.From), cmp.Compare(b.To, a.To))
	})
	var out []Span
	for _, s := range seeds {
		if m.silent(s.Span) {
			continue
		}
		k := len(out) - 1
		if k > 0 { // what the core before the last one took is gone
			s.From = max(s.From, out[k-1].To+1)
		}
		switch {
		case k >= 0 && s.From <= out[k].To+1 && m.fits(out[k].join(s.Span)):
			out[k] = out[k].join(s.Span)
		case k < 0 || s.From > out[k].To:
			out = append(out, s.Span)
		case s.To > out[k].To:
			out = append(out, Span{out[k].To + 1, s.To})
		}
	}
	return slices.DeleteFunc(out, m.silent)
}

// near joins cores that lie so near that one would be practiced within the other:
// half or more of the bars of one, with its neighbors, would be the other's too.
func (m Material) near(cores []Span) []Span {
	var out []Span
	for _, c := range cores {
		k := len(out) - 1
		if k >= 0 {
			a, b := m.around(out[k]), m.around(c)
			if shared := a.To - b.From + 1; 2*shared >= min(a.bars(), b.bars()) && m.fits(out[k].join(c)) {
				out[k] = out[k].join(c)
				continue
			}
		}
		out = append(out, c)
	}
	return out
}

// around is a core with a bar more on either side, where something sounds there.
func (m Material) around(core Span) Span {
	if core.From > 0 && !m.Bars[core.From-1].Silent {
		core.From--
	}
	if core.To+1 < len(m.Bars) && !m.Bars[core.To+1].Silent {
		core.To++
	}
	return core
}

// silent says whether nothing sounds in a stretch.
func (m Material) silent(s Span) bool {
	for _, b := range m.Bars[s.From : s.To+1] {
		if !b.Silent {
			return false
		}
	}
	return true
}

// segment is a core with its neighbors and what was found in it.
func (m Material) segment(core Span, found []finding.Finding, at map[string]int) Segment {
	s := Segment{core: core, span: m.around(core), State: Work, Stage: finding.Choices}
	calm := 1.0
	for _, f := range found {
		touches := func(p Span) bool { return p.meets(core) && !m.broad(p) }
		if aside[f.Kind] || !slices.ContainsFunc(places(f, at), touches) {
			continue
		}
		s.found = append(s.found, f)
		calm *= 1 - f.Weight
		s.Stage = min(s.Stage, f.Stage)
	}
	// Any of several may go wrong, taken as if by chance and apart (estimate).
	s.Weight = round2(1 - calm)
	finding.Sort(s.found)
	for _, f := range s.found {
		s.Why = append(s.Why, f.Says)
	}
	s.Name = nameList(s.found)
	for _, b := range m.Bars[core.From : core.To+1] {
		s.strong = s.strong || b.Strong
	}
	s.Bars, s.Core = m.numbers(s.span), m.numbers(core)
	s.GoalBPM, s.Unit = m.Bars[s.span.From].BPM, m.Bars[s.span.From].Unit
	return s
}

// nameList names what weighs most.
func nameList(found []finding.Finding) string {
	byWeight := slices.Clone(found)
	slices.SortStableFunc(byWeight, func(a, b finding.Finding) int { return cmp.Compare(b.Weight, a.Weight) })
	var names []string
	for _, f := range byWeight {
		if n := nameOf(f); !slices.Contains(names, n) && len(names) < named {
			names = append(names, n)
		}
	}
	return strings.Join(names, ", ")
}

// numbers are the printed numbers of the ends of a stretch.
func (m Material) numbers(s Span) [2]string {
	return [2]string{m.Bars[s.From].Number, m.Bars[s.To].Number}
}

// phraseBars is the length of a phrase where the page shows none (common
// practice).
const phraseBars = 4

// phrases are the whole lines of the part, in order.
func phrases(m Material, at map[string]int) []Span {
	for _, f := range m.Findings {
		if f.Kind != "phrase" {
			continue
		}
		out := slices.DeleteFunc(places(f, at), m.silent)
		if len(out) > 1 {
			return out
		}
	}
	var out []Span
	for from := 0; from < len(m.Bars); from += phraseBars {
		if s := (Span{from, min(from+phraseBars, len(m.Bars)) - 1}); !m.silent(s) {
			out = append(out, s)
		}
	}
	return out
}

// more is what the weight of a segment counts for each that is kept already for the
// same trouble: twelve high places are no plan (estimate).
const more = 0.9

// keepHeaviest leaves visits of their own to as many segments as keep, the heaviest,
// what is not yet among them before more of the same.
func keepHeaviest(segments []Segment, keep int) []Segment {
	out := slices.Clone(segments)
	kept, same := map[int]bool{}, map[string]int{}
	for range min(keep, len(out)) {
		best, most := -1, -1.0
		for i, s := range out {
			if w := s.Weight * math.Pow(more, float64(same[s.lead()])); !kept[i] && w > most {
				best, most = i, w
			}
		}
		kept[best] = true
		same[out[best].lead()]++
	}
	for i := range out {
		if !kept[i] && out[i].State == Work {
			out[i].State = InRuns
		}
	}
	return out
}

// lead is the trouble that weighs most in a segment.
func (s *Segment) lead() string {
	name, _, _ := strings.Cut(s.Name, ", ")
	return name
}
