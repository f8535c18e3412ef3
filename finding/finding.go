// Package finding is what Waterkey says: one observation about a page or a
// take, where it is, and what to do about it. Reading and listening share the
// type, so that advice about a take can point back at a warning about the page.
package finding

import (
	"cmp"
	"fmt"
	"slices"
)

// Stage is a step of the fixed order in which a coach works: nothing later
// matters until the earlier is right.
type Stage int

// The five stages, in their order.
const (
	Notes Stage = iota
	Rhythm
	Articulation
	Dynamics
	Choices
)

var names = [...]string{"notes", "rhythm", "articulation", "dynamics", "choices"}

// Stages lists all stages in order.
func Stages() []Stage { return []Stage{Notes, Rhythm, Articulation, Dynamics, Choices} }

// String is the stage's name in lower case.
func (s Stage) String() string {
	if s < 0 || int(s) >= len(names) {
		return fmt.Sprintf("Stage(%d)", int(s))
	}
	return names[s]
}

// MarshalText makes a Stage a JSON string.
func (s Stage) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads what MarshalText writes.
func (s *Stage) UnmarshalText(b []byte) error {
	i := slices.Index(names[:], string(b))
	if i < 0 {
		return fmt.Errorf("stage %q: want one of %v", b, names)
	}
	*s = Stage(i)
	return nil
}

// Finding is one thing to say.
type Finding struct {
	Stage Stage `json:"stage"`
	// Kind is the trade's word for what it is, in lower case, hyphenated.
	Kind string `json:"kind"`
	// Bars are the printed numbers of the first and the last bar concerned.
	Bars []string `json:"bars"`
	// Places are the first and last bar of every place when a finding speaks
	// of several; Bars is the first of them. Nil for one place.
	Places [][]string `json:"places,omitempty"`
	// Weight orders findings within a stage, 0 to 1: how likely it goes wrong
	// times how much it is heard (estimate).
	Weight float64 `json:"weight"`
	Says   string  `json:"says"` // one sentence of what
	Do     string  `json:"do"`   // one sentence of what to do
}

// Sort orders findings by stage, then weight from high to low. Equal ones keep
// their order.
func Sort(fs []Finding) {
	slices.SortStableFunc(fs, func(a, b Finding) int {
		return cmp.Or(cmp.Compare(a.Stage, b.Stage), cmp.Compare(b.Weight, a.Weight))
	})
}

// Top keeps the n heaviest findings, in the order they had. A negative n keeps
// all.
func Top(fs []Finding, n int) []Finding {
	if n < 0 || n >= len(fs) {
		return fs
	}
	order := make([]int, len(fs))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(fs[b].Weight, fs[a].Weight) })
	kept := slices.Sorted(slices.Values(order[:n]))
	out := make([]Finding, 0, n)
	for _, i := range kept {
		out = append(out, fs[i])
	}
	return out
}
