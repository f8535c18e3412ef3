// Package prose lays out text for a terminal.
package prose

import (
	"strings"
	"unicode/utf8"
)

// Columns is the width of all text output.
const Columns = 80

// Wrap breaks text at spaces to lines of at most width characters. A single word
// may be longer.
func Wrap(text string, width int) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(text) {
		switch {
		case line == "":
			line = word
		case utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > width:
			lines = append(lines, line)
			line = word
		default:
			line += " " + word
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}
