package hear

import (
	"fmt"

	"waterkey/finding"
)

// brokenPhrases speaks for breaths inside a slur.
func (l *listener) brokenPhrases(t *Take) []finding.Finding {
	after := map[string]bool{}
	for _, b := range t.Breaths {
		after[b.After] = true
	}
	inside := func(n *Note) bool {
		return n.State == Played && after[n.ID] && l.unbroken(n)
	}
	var out []finding.Finding
	for _, g := range groups(t.Notes, inside, func(*Note) string { return "" }) {
		out = append(out, finding.Finding{
			Stage: finding.Choices, Kind: "breath", Bars: l.bars(g), Places: l.places(g), Weight: min(0.8, 0.5+0.1*float64(len(g))),
			Says: fmt.Sprintf("%s: a breath falls inside a slur (%s).", l.at(g), plural(len(g), "time")),
			Do:   "Plan the breath before the slur begins, take it deeper, and mark it on the page.",
		})
	}
	return out
}

// unbroken says whether the page slurs n to the next note without dots under
// the slur.
func (l *listener) unbroken(n *Note) bool {
	w := l.written(n)
	return w.SlurTo && w.SoundedShare() >= 1 && l.leadsOn(n)
}

// leadsOn says whether the page has the next note right at the end of n.
func (l *listener) leadsOn(n *Note) bool {
	i := n.index
	if i+1 >= len(l.pf.Notes) {
		return false
	}
	end := l.pf.Notes[i].At.Add(l.pf.Notes[i].Duration)
	return l.pf.Notes[i+1].At == end && !l.pf.Written(i+1).Grace
}

// recording speaks of what is wrong with the recording itself.
func (l *listener) recording(t *Take) []finding.Finding {
	var out []finding.Finding
	for _, says := range t.RecordingFaults() {
		out = append(out, finding.Finding{
			Stage: finding.Choices, Kind: "recording", Bars: l.wholePart(), Weight: 0.7, Says: says,
			Do: "Set the level on the loudest bar with 6 dB of room above it, step back two meters in a quiet room, and let the recorder run before and after.",
		})
	}
	return out
}
