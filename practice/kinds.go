package practice

import (
	"slices"
	"strings"

	"waterkey/finding"
)

// kind says how a kind of finding is practiced.
type kind struct {
	name string // in a list of what a segment is about
	seam bool   // the trouble is where its places meet, at the first bar of each but the first
}

// aside are the kinds that are no matter of single bars, or that practice does not
// solve: phrases and breaths belong to whole lines, the prevailing articulation to
// the whole page, a bar that does not add up to the coach.
var aside = map[string]bool{"key": true, "clef": true, "attachment": true, "out-of-reach": true, "bar-sum": true, "prevailing": true,
	"breath": true, "phrase": true, "weight": true, "tuning": true, "recording": true, "tempo": true, "tempo-drift": true}

// kinds are named as a teacher would; one that is not here goes by its own word.
var kinds = map[string]kind{
	"accidental":           {name: "accidentals"},
	"key-change":           {name: "new key"},
	"low":                  {name: "low notes"},
	"high":                 {name: "high notes"},
	"leap":                 {name: "wide leap"},
	"slide-trap":           {name: "long way of the slide"},
	"alternate":            {name: "alternate positions"},
	"clef":                 {name: "clef"},
	"clef-change":          {name: "new clef"},
	"fingering":            {name: "awkward fingering"},
	"meter":                {name: "divided beat"},
	"meter-change":         {name: "new meter"},
	"short-rest":           {name: "short rest"},
	"dotted":               {name: "dotted figure"},
	"tie-over-bar":         {name: "tie over the bar line"},
	"tempo-change":         {name: "change of tempo"},
	"articulation-change":  {name: "change of articulation", seam: true},
	"stands-out":           {name: "one note that stands out"},
	"glissando-impossible": {name: "glissando to be agreed on"},
	"ornament":             {name: "ornament"},
	"level":                {name: "level"},
	"sudden":               {name: "sudden change of level"},
	"soft-and-low":         {name: "soft and low"},
	"loud-and-high":        {name: "loud and high"},
	"no-room-to-breathe":   {name: "tight breath"},
	"wrong-note":           {name: "wrong note"},
	"missed-note":          {name: "note that did not speak"},
	"split-note":           {name: "split note"},
	"extra-note":           {name: "note too many"},
	"glissando":            {name: "glissando"},
	"slur-broken":          {name: "broken slur"},
	"too-long":             {name: "notes too long"},
	"too-short":            {name: "notes too short"},
	"rushed":               {name: "rushed run"},
}

func nameOf(f finding.Finding) string {
	if k, ok := kinds[f.Kind]; ok {
		return k.name
	}
	return strings.ReplaceAll(f.Kind, "-", " ")
}

// leastSeed is the weight from which a finding makes a segment; a lighter one
// joins those that are there (estimate).
const leastSeed = 0.4

// index finds bars by their printed numbers, the first of several.
func index(bars []Bar) map[string]int {
	at := map[string]int{}
	for i, b := range bars {
		if _, ok := at[b.Number]; !ok {
			at[b.Number] = i
		}
	}
	return at
}

// places are the stretches of bars that a finding speaks of.
func places(f finding.Finding, at map[string]int) []Span {
	named := f.Places
	if len(named) == 0 {
		named = [][]string{f.Bars}
	}
	var out []Span
	for i, bars := range named {
		if len(bars) != 2 {
			continue
		}
		from, ok := at[bars[0]]
		to, ok2 := at[bars[1]]
		if !ok || !ok2 || to < from {
			continue
		}
		if kinds[f.Kind].seam {
			if i == 0 {
				continue
			}
			to = from
		}
		out = append(out, Span{from, to})
	}
	return out
}

// tiring are the bars with those high for the player strong as well.
func (m Material) tiring() []Bar {
	out := slices.Clone(m.Bars)
	at := index(out)
	for _, f := range m.Findings {
		if f.Kind != "high" && f.Kind != "loud-and-high" {
			continue
		}
		for _, s := range places(f, at) {
			for i := s.From; i <= s.To; i++ {
				out[i].Strong = true
			}
		}
	}
	return out
}
