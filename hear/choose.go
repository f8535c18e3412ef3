package hear

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"waterkey/finding"
	"waterkey/hear/align"
)

// Candidate is one of several takes of a part.
type Candidate struct {
	Name string // how it is called in sentences
	Take *Take  // nil when it could not be heard
	Err  error  // why
	// RuledOut is why it should not be sent, by those who knew before: the coach, and
	// whoever looked at the file.
	RuledOut []string
}

// Choice is what hearing several takes of one part side by side says.
type Choice struct {
	Takes []Standing `json:"takes"` // in the order given
	// Send is the take to send, "" when none should be sent, and Why says it in
	// sentences.
	Send    string    `json:"send"`
	Why     []string  `json:"why"`
	Steady  []string  `json:"steady"`   // what is alike in all takes
	Varies  []string  `json:"varies"`   // what is not
	OneMore []OneMore `json:"one_more"` // the bars that would gain most from one more take
}

// Standing is one take among the others. Its rank, from 1, is an order and no
// grade; takes that are ruled out come last.
type Standing struct {
	File     string   `json:"file"`
	Rank     int      `json:"rank"`
	Because  []string `json:"because"`
	RuledOut []string `json:"ruled_out"` // why it should not be sent
	Stages   *Stages  `json:"by_stage"`  // null when it could not be heard

	take    *Take
	trouble [5]float64 // by stage
}

// OneMore is a passage that another take could mend.
type OneMore struct {
	Bars []string `json:"bars"`
	Says string   `json:"says"`
}

// stageShare is how much trouble in a stage counts for the order of takes
// (estimate: nothing later outweighs as much trouble earlier).
var stageShare = [5]float64{1, 0.8, 0.5, 0.4, 0.25}

// Choose orders takes of one part: the first to be sent, and why.
func Choose(candidates []Candidate) *Choice {
	c := &Choice{Steady: []string{}, Varies: []string{}, OneMore: []OneMore{}, Why: []string{}}
	for _, k := range candidates {
		c.Takes = append(c.Takes, standing(k))
	}
	order := c.order()
	for r, s := range order {
		s.Rank = r + 1
	}
	for r, s := range order {
		s.Because = because(order, r)
	}
	c.say(order)
	fit := fitTakes(order)
	c.Steady, c.Varies = append(c.Steady, steadySays(fit)...), append(c.Varies, variesSays(fit)...)
	if len(fit) > 0 {
		c.OneMore = append(c.OneMore, oneMore(fit)...)
	}
	return c
}

// standing takes one candidate's figures.
func standing(k Candidate) Standing {
	s := Standing{File: k.Name, take: k.Take, Because: []string{}, RuledOut: append([]string{}, k.RuledOut...)}
	if k.Take == nil && len(k.RuledOut) > 0 {
		return s
	}
	if k.Take == nil {
		what := "It cannot be heard"
		if errors.Is(k.Err, align.ErrUnlike) {
			what = "It is no take of this part"
		}
		s.RuledOut = append(s.RuledOut, fmt.Sprintf("%s: %v.", what, k.Err))
		return s
	}
	for _, why := range k.Take.RuleOuts() {
		if !slices.Contains(s.RuledOut, why) {
			s.RuledOut = append(s.RuledOut, why)
		}
	}
	s.Stages = stagesOf(k.Take)
	for _, f := range k.Take.Findings {
		if f.Kind != "recording" && f.Kind != "repeat" {
			s.trouble[f.Stage] += f.Weight * float64(max(len(f.Places), 1))
		}
	}
	// Small differences between takes without findings decide too.
	const little = 0.2
	s.trouble[finding.Notes] += little * s.Stages.Notes.Spread / inTune
	s.trouble[finding.Rhythm] += little * s.Stages.Rhythm.Spread / lateLimit
	return s
}

// RuleOuts says why a take should not be sent, in sentences: what is wrong with the
// recording, and what is lacking of the page; nil for nothing.
func (t *Take) RuleOuts() []string { return append(t.RecordingFaults(), t.unfinished()...) }

// unfinished says where a take stops or lacks a stretch of the page: no panel
// takes that for a take.
func (t *Take) unfinished() []string {
	var out []string
	for _, f := range t.Findings {
		if f.Kind == "restart" || f.Kind == "stop" || f.Kind == "left-out" {
			out = append(out, f.Says)
		}
	}
	missed := 0
	for _, n := range t.Notes {
		if n.State == Missed {
			missed++
		}
	}
	const most = 0.2 // of the notes (estimate: a fifth is no slip any more)
	if float64(missed) > most*float64(len(t.Notes)) && len(out) == 0 {
		out = append(out, fmt.Sprintf("It is not whole: %d of %d notes are not there.", missed, len(t.Notes)))
	}
	return out
}

// weight is the trouble of a take over all stages.
func (s *Standing) weight() float64 {
	sum := 0.0
	for k, v := range s.trouble {
		sum += v * stageShare[k]
	}
	return sum
}

// order is the takes from the one to send on: those ruled out last, what cannot
// be heard at the very end.
func (c *Choice) order() []*Standing {
	out := make([]*Standing, len(c.Takes))
	for i := range c.Takes {
		out[i] = &c.Takes[i]
	}
	group := func(s *Standing) int {
		switch {
		case s.take == nil:
			return 2
		case len(s.RuledOut) > 0:
			return 1
		}
		return 0
	}
	slices.SortStableFunc(out, func(a, b *Standing) int {
		return cmp.Or(cmp.Compare(group(a), group(b)), cmp.Compare(a.weight(), b.weight()))
	})
	return out
}

// fitTakes are the takes that are not ruled out.
func fitTakes(order []*Standing) []*Standing {
	var out []*Standing
	for _, s := range order {
		if len(s.RuledOut) == 0 {
			out = append(out, s)
		}
	}
	return out
}

// say names the take to send.
func (c *Choice) say(order []*Standing) {
	fit := fitTakes(order)
	if len(fit) == 0 {
		c.Why = append(c.Why, "None of these takes should be sent as it is: each is ruled out. Record again before choosing.")
		return
	}
	c.Send = fit[0].File
	if len(fit) == 1 && len(order) > 1 {
		c.Why = append(c.Why, fmt.Sprintf("%s is the only take that is not ruled out.", c.Send))
		return
	}
	c.Why = append(c.Why, fit[0].Because...)
	const close = 0.15 // of trouble: a coach may well see it the other way (estimate)
	if len(fit) > 1 && math.Abs(fit[1].weight()-fit[0].weight()) < close {
		c.Why = append(c.Why, fmt.Sprintf("%s is so close that your ear should decide between the two.", fit[1].File))
	}
}

// because says what puts a take where it stands: against the best one, or, for
// the best, against the next.
func because(order []*Standing, r int) []string {
	s := order[r]
	if len(s.RuledOut) > 0 {
		return slices.Clone(s.RuledOut)
	}
	fit := fitTakes(order)
	if len(fit) == 1 {
		return []string{"It is the only one that can be sent."}
	}
	other := fit[0]
	if r == 0 {
		other = fit[1]
	}
	out := []string{}
	for k, stage := range finding.Stages() {
		d := s.trouble[k] - other.trouble[k]
		const tells = 0.1 // of trouble: less is no difference (estimate)
		if math.Abs(d) < tells {
			continue
		}
		worse, word, link := other, "better", ", where this is heard"
		if d > 0 {
			worse, word, link = s, "weaker", ""
		}
		out = append(out, fmt.Sprintf("%s are %s than in %s%s: %s", stageTitle(stage), word, other.File, link, worse.worst(stage)))
	}
	if len(out) == 0 {
		out = append(out, fmt.Sprintf("It differs from %s by less than can be told.", other.File))
	}
	return out
}

// worst is the heaviest finding of a stage and how many more there are, or the
// figures where there is none.
func (s *Standing) worst(stage finding.Stage) string {
	says, more := "", -1
	for _, f := range s.take.Findings {
		if f.Stage != stage || f.Kind == "recording" || f.Kind == "repeat" {
			continue
		}
		if more++; says == "" {
			says = f.Says
		}
	}
	switch {
	case says == "":
		return s.Stages.Says(stage) + "."
	case more > 0:
		return fmt.Sprintf("%s (%s more.)", says, plural(more, "remark"))
	}
	return says
}

// stageTitle is a stage as the subject of a plural sentence.
func stageTitle(s finding.Stage) string {
	return [...]string{"The notes", "Beat and rests", "Lengths and slurs", "The levels", "Breaths and phrases"}[s]
}
