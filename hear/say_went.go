package hear

import (
	"fmt"
	"slices"

	"waterkey/finding"
	"waterkey/hear/align"
)

// stops speaks for every place where the player stopped.
func (l *listener) stops(*Take) []finding.Finding {
	var out []finding.Finding
	for _, j := range l.al.Jumps {
		from, to := l.barOf(j.From), l.barOf(j.To)
		f := finding.Finding{Stage: finding.Notes, Kind: "restart", Bars: []string{to, from}, Weight: 1,
			Do: "Play through whatever happens: a take that stops cannot be sent. Work on that bar alone, then start four bars before it and go on past it."}
		switch j.Kind {
		case align.Restart:
			if j.To == l.firstJudged() {
				continue // a false start, to be cut off
			}
			f.Says = fmt.Sprintf("The take stops in bar %s and begins again in bar %s; what is measured is the last time through.", from, to)
		case align.GoesOn:
			f.Kind, f.Bars = "stop", []string{from, to}
			f.Says = fmt.Sprintf("The take stops after the %s in bar %s before it goes on in bar %s.", l.pf.Written(j.From).Pitch, from, to)
		default:
			continue // what is not there is told by the gap
		}
		out = append(out, f)
	}
	return out
}

// firstJudged is the first note that the take is judged by.
func (l *listener) firstJudged() int {
	for _, r := range l.al.Runs {
		if r.Judged() {
			return r.From
		}
	}
	return -1
}

// inGap says whether the i-th note lies in a stretch that the take does not
// have.
func (l *listener) inGap(i int) bool {
	return slices.ContainsFunc(l.al.Gaps, func(g align.Gap) bool { return g.From <= i && i <= g.To && !slip(g) })
}

// slip says whether a gap is no more than notes that did not speak at one end.
func slip(g align.Gap) bool {
	const most = 2 // notes
	return (g.Kind == align.NotBegun || g.Kind == align.NotReached) && g.To-g.From < most
}

// gaps speaks for the stretches of the page that the take does not have.
func (l *listener) gaps(*Take) []finding.Finding {
	var out []finding.Finding
	for _, g := range l.al.Gaps {
		if g.Kind == align.RepeatNotTaken || slip(g) {
			continue // a choice, or told as missed notes
		}
		from, to := l.barOf(g.From), l.barOf(g.To)
		f := finding.Finding{Stage: finding.Notes, Bars: []string{from, to}, Weight: 1}
		f.Kind, f.Says, f.Do = l.gapWords(g, from, to)
		out = append(out, f)
	}
	return out
}

// gapWords says what is missing and what to do.
func (l *listener) gapWords(g align.Gap, from, to string) (kind, says, do string) {
	notes := plural(g.To-g.From+1, "note")
	are, sound := "are", "do"
	if g.From == g.To {
		are, sound = "is", "does"
	}
	bars := fmt.Sprintf("bars %s to %s", from, to)
	if from == to {
		bars = "bar " + from
	}
	switch g.Kind {
	case align.LeftOut:
		return "left-out", fmt.Sprintf("In %s, %s %s left out; the take goes straight on without losing the beat.", bars, notes, are),
			"Mark the place where the eye jumped, say the bars before and after it aloud in rhythm, then play across."
	case align.Silent:
		return "missed-note", fmt.Sprintf("In %s, %s %s not sound; the beat goes on.", bars, notes, sound),
			"Plan the breath before these bars, and play them alone until they hold, then from four bars before."
	case align.NotBegun:
		return "missed-note", fmt.Sprintf("The take begins after %s: %s at the start of the page are not there.", bars, notes),
			"Start the recorder, wait, breathe, then play from the first bar."
	case align.NotReached:
		return "missed-note", fmt.Sprintf("The take ends before %s: %s at the end of the page are not there.", bars, notes),
			"Record through to the last bar before anything else is worked on, and let the recorder run on."
	}
	return "left-out", fmt.Sprintf("The take stops and goes on further down: in %s, %s %s not there.", bars, notes, are),
		"Play through whatever happens; to learn the bars, start four bars before them."
}

// repeats says which repeats were not taken, as a choice to be made knowingly.
func (l *listener) repeats(*Take) []finding.Finding {
	var out []finding.Finding
	for _, g := range l.al.Gaps {
		if g.Kind != align.RepeatNotTaken {
			continue
		}
		from, to := l.barOf(g.From), l.barOf(g.To)
		out = append(out, finding.Finding{
			Stage: finding.Choices, Kind: "repeat", Bars: []string{from, to}, Weight: 0.3,
			Says: fmt.Sprintf("The repeat is not taken: bars %s to %s are heard once.", from, to),
			Do:   "Ask what the panel wants; where nothing is said, excerpts are mostly played without repeats.",
		})
	}
	return out
}

// otherOctave speaks when the whole take sounds an octave off the page.
func (l *listener) otherOctave(*Take) []finding.Finding {
	if l.al.Octaves == 0 {
		return nil
	}
	side := "above"
	if l.al.Octaves < 0 {
		side = "below"
	}
	return []finding.Finding{{
		Stage: finding.Notes, Kind: "octave", Bars: l.wholePart(), Weight: 1,
		Says: fmt.Sprintf("The whole take sounds an octave %s the page; everything else is measured there.", side),
		Do:   "Look at the clef and at how the part is written for your instrument, find the first note, then record again.",
	}}
}
