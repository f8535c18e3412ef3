package desk

import (
	"strings"
	"time"
)

// takeNameStart is how every name of a take begins within a sentence.
const takeNameStart = "the take of "

// takeNames name the takes of a sheet by when they were recorded, where that was:
// "the take of 24 November, 17:42", with the seconds where two share a minute, and
// the year where two share that.
func takeNames(takes []*Take) map[ID]string {
	out := map[ID]string{}
	for _, form := range []string{"2 January, 15:04", "2 January, 15:04:05", "2 January 2006, 15:04:05", "2 January 2006, 15:04:05.000 -07:00"} {
		count := map[string]int{}
		for _, t := range takes {
			count[t.Recorded.Format(form)]++
		}
		for _, t := range takes {
			if name := t.Recorded.Format(form); out[t.ID] == "" && count[name] == 1 {
				out[t.ID] = takeNameStart + name
			}
		}
	}
	for _, t := range takes {
		if out[t.ID] == "" { // not even the milliseconds tell
			out[t.ID] = takeNameStart + t.Recorded.Format(time.RFC3339) + " (" + string(t.ID) + ")"
		}
	}
	return out
}

// sentence gives a text that may start with the name of a take, or have one start a
// sentence in it, its capital letters.
func sentence(text string) string {
	const capital = "The take of "
	if rest, ok := strings.CutPrefix(text, takeNameStart); ok {
		text = capital + rest
	}
	for _, end := range []string{". ", "! ", "? "} {
		text = strings.ReplaceAll(text, end+takeNameStart, end+capital)
	}
	return text
}
