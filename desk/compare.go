package desk

import (
	"cmp"
	"context"
	"slices"

	"waterkey/hear"
)

// Comparison is the takes of a sheet side by side: which one to send, and why.
type Comparison struct {
	Takes   []ComparedTake `json:"takes"` // the one to send first
	Send    ID             `json:"send"`  // "" when none should be sent
	Why     []string       `json:"why"`
	Steady  []string       `json:"steady"`   // what is alike in all takes
	Varies  []string       `json:"varies"`   // what is not
	OneMore []hear.OneMore `json:"one_more"` // the bars that would gain most from one more take
	Waiting int            `json:"waiting"`  // takes that are left out, as they are not measured yet
}

// ComparedTake is one take among the others.
type ComparedTake struct {
	Take     ID           `json:"take"`
	Name     string       `json:"name"` // as the sentences call it: "the take of 24 November, 17:42"
	Rank     int          `json:"rank"` // from 1: an order and no grade
	Because  []string     `json:"because"`
	RuledOut []string     `json:"ruled_out"` // the coach's reasons, then the program's
	ByStage  *hear.Stages `json:"by_stage"`  // null when it could not be heard
}

// CompareTakes puts the measured takes of a sheet in order, the one to send first.
// Takes that the coach ruled out stand last with those that the program rules out.
// Takes without a measure of the current version wait.
func (d *Desk) CompareTakes(ctx context.Context, s Sheet) (*Comparison, error) {
	heard, waiting, err := d.heardTakes(ctx, s)
	if err != nil {
		return nil, err
	}
	var candidates []hear.Candidate
	for _, h := range heard {
		candidates = append(candidates, hear.Candidate{Name: h.name, Take: h.heard, Err: h.failure, RuledOut: h.ruledOut()})
	}
	return comparison(heard, hear.Choose(candidates), waiting), nil
}

// comparison is a choice with the takes by their IDs.
func comparison(heard []heardTake, c *hear.Choice, waiting int) *Comparison {
	out := &Comparison{Takes: []ComparedTake{}, Why: sentences(c.Why), Steady: c.Steady, Varies: c.Varies, OneMore: c.OneMore, Waiting: waiting}
	if len(heard) == 0 {
		out.Why = []string{}
	}
	for i := range out.OneMore {
		out.OneMore[i].Says = sentence(out.OneMore[i].Says)
	}
	for i, standing := range c.Takes {
		out.Takes = append(out.Takes, ComparedTake{Take: heard[i].take.ID, Name: standing.File, Rank: standing.Rank,
			Because: sentences(standing.Because), RuledOut: standing.RuledOut, ByStage: standing.Stages})
		if c.Send != "" && standing.File == c.Send {
			out.Send = heard[i].take.ID
		}
	}
	slices.SortFunc(out.Takes, func(a, b ComparedTake) int { return cmp.Compare(a.Rank, b.Rank) })
	return out
}

func sentences(texts []string) []string {
	out := make([]string, len(texts))
	for i, t := range texts {
		out[i] = sentence(t)
	}
	return out
}

// heardTake is a take of a sheet with what was measured in it.
type heardTake struct {
	take    *Take
	measure *Measure
	name    string
	heard   *hear.Take // nil after a failure
	failure error
}

// ruledOut are the coach's reasons against a take, then the program's.
func (h heardTake) ruledOut() []string { return slices.Concat(h.take.RuleOut, h.measure.RuleOut) }

// heardTakes are the measured takes of a sheet, oldest first, and how many are still
// to be measured.
func (d *Desk) heardTakes(ctx context.Context, s Sheet) (out []heardTake, waiting int, err error) {
	if err := d.checkSheet(ctx, s); err != nil {
		return nil, 0, err
	}
	takes, err := d.Takes(ctx, TakeQuery{Sheet: s})
	if err != nil {
		return nil, 0, err
	}
	measures, err := d.MeasuresByTake(ctx, TakeQuery{Sheet: s})
	if err != nil {
		return nil, 0, err
	}
	names := takeNames(takes)
	slices.Reverse(takes)
	for _, t := range takes {
		version, err := d.MeasureVersion(ctx, t)
		if err != nil {
			return nil, 0, err
		}
		m := measures[t.ID]
		if m == nil || m.Version != version {
			waiting++
			continue
		}
		h := heardTake{take: t, measure: m, name: names[t.ID]}
		if h.heard, h.failure, err = d.heardOf(ctx, m); err != nil {
			return nil, 0, err
		}
		out = append(out, h)
	}
	return out, waiting, nil
}
