package score

import "strings"

// Terms is the set of words for note values.
type Terms int

// The two sets in use.
const (
	American Terms = iota // quarter note, half note
	British               // crotchet, minim
)

var british = map[string]string{
	"double whole": "breve", "whole": "semibreve", "half": "minim", "quarter": "crotchet", "eighth": "quaver",
	"sixteenth": "semiquaver", "thirty-second": "demisemiquaver", "sixty-fourth": "hemidemisemiquaver",
}

// Value names a note value: ValueName in these terms.
func (t Terms) Value(v Time) string {
	name := ValueName(v)
	if t == American {
		return name
	}
	dots := ""
	for _, d := range []string{"dotted ", "double-dotted "} {
		if rest, ok := strings.CutPrefix(name, d); ok {
			dots, name = d, rest
		}
	}
	if b, ok := british[name]; ok {
		name = b
	} else {
		name = strings.Replace(name, "whole note", "semibreve", 1)
	}
	return dots + name
}
