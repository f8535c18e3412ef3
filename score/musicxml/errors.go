package musicxml

import (
	"fmt"
	"strings"
)

// Error is what every failure of this package is: where, and what.
type Error struct {
	File string // base name of the file
	Part string // name of the part, "" when outside any
	Bar  string // number as printed, "" when outside any
	Line int    // from 1; 0 when unknown
	Msg  string
	Err  error // the cause, or nil
}

// Error gives place and message: `march.musicxml, part "Trombone", bar 12,
// line 340: duration -4 is negative`.
func (e *Error) Error() string {
	place := []string{}
	if e.File != "" {
		place = append(place, e.File)
	}
	if e.Part != "" {
		place = append(place, fmt.Sprintf("part %q", e.Part))
	}
	if e.Bar != "" {
		place = append(place, "bar "+e.Bar)
	}
	if e.Line > 0 {
		place = append(place, fmt.Sprintf("line %d", e.Line))
	}
	msg := e.Msg
	if e.Err != nil {
		if msg != "" {
			msg += ": "
		}
		msg += e.Err.Error()
	}
	if len(place) == 0 {
		return msg
	}
	return strings.Join(place, ", ") + ": " + msg
}

// Unwrap returns the cause.
func (e *Error) Unwrap() error { return e.Err }
