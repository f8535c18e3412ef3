package score

import (
	"fmt"
	"strings"
)

// Line is which note of a chord a reader takes.
type Line int

// The two lines through chords.
const (
	Top Line = iota
	Bottom
)

// Selection says which line of which part to read. The zero Selection is the
// top line of the first part that has pitched notes.
type Selection struct {
	Part string // id, name in any case or the start of only one name, or number from 1
	Line Line
}

// PartInfo names one part of a file.
type PartInfo struct {
	ID    string
	Name  string // as printed; the id when the page gives none
	Notes int    // written notes with a pitch, chord notes included, cue notes not
}

// ReadError is what every failure of a reader is: where, and what.
type ReadError struct {
	File   string // base name of the file
	Part   string // name of the part, "" when outside any
	Bar    string // number as printed, "" when outside any
	Line   int    // of the text, from 1; 0 when unknown
	Column int    // from 1; 0 when unknown
	Msg    string
	Err    error // the cause, or nil
}

// Error gives place and message: `march.musicxml, part "Trombone", bar 12,
// line 340: duration -4 is negative`.
func (e *ReadError) Error() string {
	var place []string
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
	if e.Column > 0 {
		place = append(place, fmt.Sprintf("column %d", e.Column))
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
func (e *ReadError) Unwrap() error { return e.Err }
