package breath

import "waterkey/score"

// Kind is how deep a breath the room allows.
type Kind string

// The two kinds of breath.
const (
	Full  Kind = "full"
	Catch Kind = "catch"
)

// Breath is one breath.
type Breath struct {
	After   int // index of the played note before it
	Kind    Kind
	Room    score.Seconds // for the breath: the silence, and what is taken from the note before
	Printed bool          // a breath mark stands on the page

	Shortened score.Seconds // taken from the note before
	AirBefore float64       // liters in the lungs, from the vital capacity's bottom
	AirAfter  float64
	Entry     bool // in a long rest, where nobody needs to be told
	Pinned    bool // asked for
}
