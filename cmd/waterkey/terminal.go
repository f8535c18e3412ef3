package main

import (
	"io"
	"strings"
	"unicode"
	"unicode/utf8"
)

// terminal passes on text without control characters other than the ends of lines and
// tabs: a title or the name of a file cannot steer the terminal that shows it.
type terminal struct {
	w    io.Writer
	rest []byte // of a sign that is not whole yet
}

// Write passes on what is whole.
func (t *terminal) Write(text []byte) (int, error) {
	all := append(t.rest, text...)
	whole := len(all)
	for back := 1; back < utf8.UTFMax && back <= len(all); back++ {
		if at := len(all) - back; utf8.RuneStart(all[at]) {
			if !utf8.FullRune(all[at:]) {
				whole = at
			}
			break
		}
	}
	plain := strings.Map(func(r rune) rune {
		if unicode.IsControl(r) && r != '\n' && r != '\t' {
			return -1
		}
		return r
	}, string(all[:whole]))
	t.rest = append([]byte(nil), all[whole:]...)
	if _, err := io.WriteString(t.w, plain); err != nil {
		return 0, err
	}
	return len(text), nil
}
