package trial

import (
	"waterkey/audio"
	"waterkey/hear"
	"waterkey/score"
)

// Take is a rendered take and the truth about it.
type Take struct {
	Case  Case
	Page  *score.Performance
	Clip  *audio.Clip
	Notes []Truth // one for each note of the performance
	Extra []Heard
	Free  []span // where sounds are no part of the music: talk, the first try before a restart
	A4    float64
	BPM   float64 // of the opening, in felt beats, by the median over the notes
}

// Truth is what became of a note of the page.
type Truth struct {
	State  hear.State
	Split  bool
	Heard             // meaningless when missed
	Again  []Heard    // the same note a second time, after a restart
	Value  float64    // s that it lasts on the page, at the local tempo
	Steady bool       // has a pitch to be measured
	Breath breathKind // after it
}

// Heard is a sound: seconds and Hz.
type Heard struct{ Start, End, Hz float64 }

type span struct{ from, to float64 }

// breathKind says what the silence after a note is.
type breathKind int

const (
	noBreath  breathKind = iota
	silence              // long enough to breathe in
	breathing            // breath was taken, audibly
)
