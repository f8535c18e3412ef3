package score

import (
	"fmt"
	"strconv"
	"strings"
)

// PartError says that a file has no such part, or several: the choice is at fault,
// not the file.
type PartError struct {
	Want    string   // as it was asked for
	Names   []string // of all parts in order, or of those that it may mean
	Several bool     // it is the start of more than one name
}

// namesShown is how many names an error lists (estimate: a line or two).
const namesShown = 12

// Error lists what can be asked for.
func (e *PartError) Error() string {
	var quoted []string
	for _, name := range e.Names[:min(len(e.Names), namesShown)] {
		quoted = append(quoted, strconv.Quote(name))
	}
	list := strings.Join(quoted, ", ")
	if more := len(e.Names) - namesShown; more > 0 {
		list += fmt.Sprintf(" and %d more", more)
	}
	switch {
	case e.Several:
		return fmt.Sprintf("%q is the start of several parts' names: %s", e.Want, list)
	case len(e.Names) == 1:
		return fmt.Sprintf("no part is called %q; the only part is %s, or 1", e.Want, list)
	}
	return fmt.Sprintf("no part is called %q; the parts are %s, or 1 to %d", e.Want, list, len(e.Names))
}
