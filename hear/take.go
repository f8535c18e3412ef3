// Package hear listens to a take: which notes of the page were played, when,
// how high, how long and how loud, and what a coach would say about it first.
//
// It joins a performance of package score to a recording of package audio by
// way of pitch, onset and align below it. Everything is a measured deviation in
// cents, milliseconds or decibels; there is no grade. Findings speak only above
// what can be measured and heard (see the constants beside each), and they
// stand in the order of package finding.
//
// Conventions: times in seconds from the start of the recording; cents against
// equal temperament at the reference A; levels in dBFS RMS of an uncalibrated
// recording, which say nothing about loudness in the room.
package hear

import (
	"waterkey/audio"
	"waterkey/finding"
)

// Options say how to listen. The zero Options are A4 = 440 Hz.
type Options struct {
	A4       float64             // reference in Hz, 0 for 440
	Progress func(share float64) // told the share done, 0 to 1; may be nil
}

// Take is what was heard, as the JSON document that scripts rely on.
type Take struct {
	TuningHz float64           `json:"tuning_hz"` // the take's own A
	TempoBPM float64           `json:"tempo_bpm"` // of the opening, in felt beats
	SpeedX   float64           `json:"speed_x"`   // length of the recording over computing time
	Notes    []Note            `json:"notes"`     // in performed order, one for each sounding note
	Extra    []Extra           `json:"extra"`     // notes that the page does not have
	Breaths  []Breath          `json:"breaths"`
	Record   audio.Facts       `json:"recording"`
	Findings []finding.Finding `json:"findings"`
}

// State is what became of a note.
type State string

// The states. Other says that something else was played in the note's place.
const (
	Played State = "played"
	Missed State = "missed"
	Other  State = "other"
)

// Note is one note of the page in the take. A missed note has no Measures.
type Note struct {
	ID    string `json:"id"`
	Bar   string `json:"bar"`            // printed number
	Pass  int    `json:"pass,omitempty"` // 2 the second time round, left out for the first
	Pitch string `json:"pitch"`
	State State  `json:"state"`
	Heard string `json:"heard,omitempty"` // the pitch that sounded, own tuning taken out
	*Measures

	index int // of the played note in its performance
}

// Measures are the numbers of a note that sounded.
type Measures struct {
	Onset       float64 `json:"onset_s"`
	Offset      float64 `json:"offset_s"`     // where the level has fallen by 6 dB, or the next note begins
	Late        float64 `json:"late_ms"`      // against the take's own local beat
	Cents       float64 `json:"cents"`        // against equal temperament at the reference A
	CentsOwn    float64 `json:"cents_own"`    // after taking out the take's own tuning
	LengthRatio float64 `json:"length_ratio"` // sounded length over written value at the local tempo
	LevelDB     float64 `json:"level_db"`     // of the steady part
	Split       bool    `json:"split"`        // began on another pitch, or broke and began again
	Tempo       float64 `json:"local_bpm"`    // felt beats a minute around the note, the opening's beat
}

// Extra is a sound that no note of the page accounts for.
type Extra struct {
	Onset  float64 `json:"onset_s"`
	Offset float64 `json:"offset_s"`
	Pitch  string  `json:"pitch"`
	Bar    string  `json:"bar"` // of the note before it

	after int // index of that note in the performance
}

// Breath is a silence between two notes, long enough to breathe in.
type Breath struct {
	After string  `json:"after"` // id of the note before it
	Bar   string  `json:"bar"`
	At    float64 `json:"at_s"`
	Long  float64 `json:"length_s"`
}
