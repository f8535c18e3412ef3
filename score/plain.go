package score

import (
	"strings"
	"unicode"
)

// Plain is a text of a file as one line: words joined by single blanks, without the
// control characters (ISO/IEC 6429, C0 and C1) by which a text could steer the terminal
// it is shown on.
func Plain(s string) string {
	line := strings.Join(strings.Fields(s), " ")
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return -1
		}
		return r
	}, line)
}
