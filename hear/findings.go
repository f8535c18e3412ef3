package hear

import (
	"fmt"
	"regexp"
	"strings"

	"waterkey/finding"
	"waterkey/score"
)

// findings says what a coach would say, in no order yet.
func (l *listener) findings(t *Take) []finding.Finding {
	out := []finding.Finding{}
	for _, speak := range []func(*Take) []finding.Finding{
		l.stops, l.gaps, l.otherOctave, l.wrongNotes, l.missedNotes, l.splitNotes, l.extraNotes,
		l.intonation, l.scoops, l.sagging, l.wholeTuning,
		l.unevenBeats, l.rests, l.rushes, l.drift, l.pace,
		l.lengths, l.slurs, l.glissandi, l.attacks,
		l.contrasts, l.hairpins, l.glaring,
		l.brokenPhrases, l.repeats, l.recording,
	} {
		out = append(out, speak(t)...)
	}
	for i := range out {
		out[i].Says, out[i].Do = printed(out[i].Says), printed(out[i].Do)
	}
	return out
}

// tool is the words for the instrument at hand.
func (l *listener) tool(slide, valves string) string {
	if l.Valves {
		return valves
	}
	return slide
}

const (
	// firstMost is how many things a player can take from one take (common
	// practice among teachers: two or three).
	firstMost = 3
	// serious is the weight from which a fault goes before lighter ones of an
	// earlier stage (estimate).
	serious = 0.5
)

// first are the findings to say first, as indexes: the serious ones in the
// order of the stages, then the rest in theirs. Findings must be sorted.
func first(fs []finding.Finding) []int {
	out := []int{}
	for _, heavy := range []bool{true, false} {
		for i, f := range fs {
			if (f.Weight >= serious) == heavy && len(out) < firstMost {
				out = append(out, i)
			}
		}
	}
	return out
}

// noteName matches a pitch as score.Pitch spells it.
var noteName = regexp.MustCompile(`\b[A-G](b{1,2}|#{1,2})-?[0-9]\b`)

// printed puts the signs of print into the note names of a sentence.
func printed(text string) string {
	return noteName.ReplaceAllStringFunc(text, func(name string) string {
		p, err := score.ParsePitch(name)
		if err != nil {
			return name
		}
		return p.Text()
	})
}

// written is the note of the page behind n.
func (l *listener) written(n *Note) *score.Note { return l.pf.Written(n.index) }

// runs splits the notes that hold into groups; a note joins the group before
// it when together says so of the last one and of it.
func runs(notes []Note, holds func(*Note) bool, together func(a, b *Note) bool) [][]*Note {
	var out [][]*Note
	for i := range notes {
		n := &notes[i]
		if !holds(n) {
			continue
		}
		if k := len(out) - 1; k >= 0 && together(out[k][len(out[k])-1], n) {
			out[k] = append(out[k], n)
			continue
		}
		out = append(out, []*Note{n})
	}
	return out
}

// groups sorts the notes that hold by a key, in order of first appearance.
func groups(notes []Note, holds func(*Note) bool, key func(*Note) string) [][]*Note {
	place := map[string]int{}
	var out [][]*Note
	for i := range notes {
		n := &notes[i]
		if !holds(n) {
			continue
		}
		k, ok := place[key(n)]
		if !ok {
			k = len(out)
			place[key(n)], out = k, append(out, nil)
		}
		out[k] = append(out[k], n)
	}
	return out
}

// stretches splits notes into those that stand in the same or in neighboring
// bars of the page.
func (l *listener) stretches(notes []*Note) [][]*Note {
	var out [][]*Note
	for i, n := range notes {
		if i > 0 {
			if d := l.written(n).Bar - l.written(notes[i-1]).Bar; d == 0 || d == 1 {
				out[len(out)-1] = append(out[len(out)-1], n)
				continue
			}
		}
		out = append(out, []*Note{n})
	}
	return out
}

// bars are the printed numbers of the first and last bar of the first stretch.
func (l *listener) bars(notes []*Note) []string {
	g := l.stretches(notes)[0]
	return []string{g[0].Bar, g[len(g)-1].Bar}
}

// places are the bars of every stretch, nil for a single one.
func (l *listener) places(notes []*Note) [][]string {
	g := l.stretches(notes)
	if len(g) < 2 {
		return nil
	}
	var out [][]string
	for _, s := range g {
		out = append(out, []string{s[0].Bar, s[len(s)-1].Bar})
	}
	return out
}

// barList is "bar 4", "bars 4 and 9", "bars 4 to 7" or "bars 4, 9 and 5 more".
func (l *listener) barList(notes []*Note) string {
	var nums []string
	seen := map[string]bool{}
	row := true
	for i, n := range notes {
		if i > 0 {
			if d := l.written(n).Bar - l.written(notes[i-1]).Bar; d != 0 && d != 1 {
				row = false
			}
		}
		if !seen[n.Bar] {
			seen[n.Bar] = true
			nums = append(nums, n.Bar)
		}
	}
	const most = 4 // bars named one by one
	switch {
	case len(nums) == 1:
		return "bar " + nums[0]
	case row && len(nums) > 2:
		return "bars " + nums[0] + " to " + nums[len(nums)-1]
	case len(nums) <= most:
		return "bars " + strings.Join(nums[:len(nums)-1], ", ") + " and " + nums[len(nums)-1]
	}
	return fmt.Sprintf("bars %s and %d more up to bar %s", strings.Join(nums[:most-1], ", "), len(nums)-most+1, nums[len(nums)-1])
}

// at is barList with a capital letter, to begin a sentence.
func (l *listener) at(notes []*Note) string {
	s := l.barList(notes)
	return strings.ToUpper(s[:1]) + s[1:]
}

// plural is "1 note" or "3 notes".
func plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// weigh maps a deviation to a weight: low at the limit where it is first heard,
// high at several times that (estimate).
func weigh(low, high, deviation, limit float64) float64 {
	const full = 4.0 // times the limit
	share := (deviation/limit - 1) / (full - 1)
	return low + (high-low)*max(0, min(share, 1))
}
