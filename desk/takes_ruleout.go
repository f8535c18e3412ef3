package desk

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"waterkey/hear"
	"waterkey/hear/align"
)

// fewNotes may be missed at either end of a whole take (estimate: a first note that
// does not speak is a fault of the playing).
const fewNotes = 2

// ruleOuts says why a take should not be sent whatever was played, one sentence
// each: why it could not be heard, or what listening and the file say against it.
func ruleOuts(sound recorded, heard *hear.Take, failure error) []string {
	var out []string
	if failure != nil {
		out = append(out, whyFailed(failure))
	}
	if heard != nil {
		out = append(out, heard.RuleOuts()...)
		if len(out) == len(heard.RecordingFaults()) { // listening lacks nothing of the page
			out = append(out, cutEnds(heard.Notes)...)
		}
	}
	if sound.facts != nil {
		for _, channel := range sound.facts.DeadChannels {
			out = append(out, fmt.Sprintf("Channel %d is silent. Check the cable, or record one channel.", channel))
		}
	}
	return out
}

// whyFailed is a rule-out for a take that was not measured.
func whyFailed(failure error) string {
	if errors.Is(failure, align.ErrUnlike) {
		return "It is no take of this part: " + failure.Error() + "."
	}
	return "It could not be measured: " + failure.Error() + "."
}

// cutEnds says which notes of the page stand before and after the recording.
func cutEnds(notes []hear.Note) []string {
	var out []string
	first, last := missedEnds(notes)
	if first > fewNotes {
		out = append(out, fmt.Sprintf("The first %d notes of the page are not in it; it begins in bar %s.", first, barAt(notes, first)))
	}
	if last > fewNotes {
		out = append(out, fmt.Sprintf("The last %d notes of the page are not in it; it ends in bar %s.", last, barAt(notes, len(notes)-1-last)))
	}
	return out
}

// times is "1 place" or "3 places".
func times(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// missedEnds counts the notes missed before the first and after the last that
// sounds.
func missedEnds(notes []hear.Note) (first, last int) {
	sounds := func(n hear.Note) bool { return n.Measures != nil }
	first = slices.IndexFunc(notes, sounds)
	if first < 0 {
		return 0, 0
	}
	for last = 0; !sounds(notes[len(notes)-1-last]); last++ {
	}
	return first, last
}

func barAt(notes []hear.Note, i int) string {
	if i < 0 || i >= len(notes) {
		return "?"
	}
	return strings.TrimSpace(notes[i].Bar)
}
