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
	"waterkey/score"
)

// Options say how to listen. The zero Options are A4 = 440 Hz, American terms
// and a slide.
type Options struct {
	A4       float64             // reference in Hz, 0 for 440
	Progress func(share float64) // told the share done, 0 to 1; may be nil
	Terms    score.Terms         // names of note values
	Valves   bool                // valve brass: advice speaks of valves instead of the slide
	Ways     []Way               // how each played note is marked; nil when not known
}

// Way is how a note is marked to be played. The zero Way is not known.
type Way struct {
	How        string   // as said behind the note: "in 1", "with 13", "open"
	CM         float64  // of slide from the closed slide
	CentsPerCM float64  // by which drawing the slide further lowers the note; 0 without a slide
	Others     []string // other ways to the same pitch, the likeliest first

	BreathAfter bool // a breath is planned behind the note, which may cut it
	Stepped     bool // a glissando starts here that the horn cannot play
}

// Take is what was heard, as the JSON document that scripts rely on.
type Take struct {
	TuningHz float64       `json:"tuning_hz"` // the take's own A
	TempoBPM float64       `json:"tempo_bpm"` // of the opening, in felt beats
	SpeedX   float64       `json:"speed_x"`   // length of the recording over computing time
	Notes    []Note        `json:"notes"`     // in performed order, one for each sounding note
	Extra    []Extra       `json:"extra"`     // notes that the page does not have
	Breaths  []Breath      `json:"breaths"`
	Bars     []BarMeasures `json:"bars"`     // one for each turn of a bar
	Passages []Passage     `json:"passages"` // stretches under one marking
	Hairpins []Hairpin     `json:"hairpins"`
	Went     []Turn        `json:"went"` // where the player did not go straight on
	// OverNoise is how far the notes' median level lies over the noise between
	// them, in dB; null when nothing lies between them.
	OverNoise *float64          `json:"over_noise_db"`
	CutStart  bool              `json:"cut_start"` // the recording starts in the first note
	CutEnd    bool              `json:"cut_end"`   // the recording ends in the last note
	Record    audio.Facts       `json:"recording"`
	Findings  []finding.Finding `json:"findings"`
	// First are the indexes of the findings that a coach would say first, three
	// at the most.
	First []int `json:"first"`
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
	Offset      float64 `json:"offset_s"`       // where the level has fallen by 6 dB, or the next note begins
	Late        float64 `json:"late_ms"`        // against the take's own local beat, which follows a tempo that bends
	LateSteady  float64 `json:"late_steady_ms"` // against one steady beat from stop to stop and from miscounted rest to miscounted rest
	Cents       float64 `json:"cents"`          // against equal temperament at the reference A
	CentsOwn    float64 `json:"cents_own"`      // after taking out the take's own tuning
	LengthRatio float64 `json:"length_ratio"`   // sounded length over written value at the local tempo
	LevelDB     float64 `json:"level_db"`       // of the steady part
	Split       bool    `json:"split"`          // began on another pitch, or broke and began again
	Tempo       float64 `json:"local_bpm"`      // felt beats a minute around the note, the opening's beat
	Centroid    float64 `json:"centroid_hz"`    // amplitude-weighted mean frequency of its partials; 0 when too short
	Brighter    float64 `json:"brighter_pct"`   // its centroid over the take's own at that pitch and level; 0 when too short
	Attack      float64 `json:"attack_ms"`      // from a fifth to nine tenths of its amplitude; 0 when the air goes on from the note before
	Contour     Contour `json:"contour"`
	Unsure      Unsure  `json:"uncertainty"`
}

// Contour is how the pitch of a note goes, in cents from its own steady part;
// zero for what is not there.
type Contour struct {
	Scoop        float64 `json:"scoop_cents"` // where it begins, negative from below
	ScoopTime    float64 `json:"scoop_s"`     // until it is in place
	Fall         float64 `json:"fall_cents"`  // where it ends, negative when it sinks
	FallTime     float64 `json:"fall_s"`      // from leaving its place
	Drift        float64 `json:"drift_cents"` // over the steady part
	Waver        float64 `json:"waver_cents"` // standard deviation of slow irregular movement
	VibratoRate  float64 `json:"vibrato_hz"`
	VibratoWidth float64 `json:"vibrato_cents"` // from the middle to either side
}

// Unsure is the standard uncertainty of a note's measures, in their units.
type Unsure struct {
	Onset       float64 `json:"onset_ms"`
	Late        float64 `json:"late_ms"` // the beat's own included
	Cents       float64 `json:"cents"`
	LengthRatio float64 `json:"length_ratio"`
	LevelDB     float64 `json:"level_db"`
	Brighter    float64 `json:"brighter_pct"`
	Attack      float64 `json:"attack_ms"`
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
	After   string  `json:"after"` // id of the note before it
	Bar     string  `json:"bar"`
	At      float64 `json:"at_s"`
	Long    float64 `json:"length_s"`
	Audible bool    `json:"audible"` // air can be heard going in
	Rest    bool    `json:"rest"`    // the page has a rest there
}

// BarMeasures are the figures of one turn of a bar. A measure that nothing in
// the bar tells is null.
type BarMeasures struct {
	Bar   string   `json:"bar"`
	Pass  int      `json:"pass,omitempty"` // as in Note
	At    *float64 `json:"at_s"`           // where it begins by the take's own beat
	BPM   *float64 `json:"bpm"`            // at its middle, in felt beats of the opening
	Late  *float64 `json:"late_ms"`        // median of its notes against the local beat
	Cents *float64 `json:"cents_own"`      // median of its notes
	Level *float64 `json:"level_db"`       // of its sounding time, dBFS
}

// Passage is a stretch of the page under one marking.
type Passage struct {
	Bars    []string `json:"bars"`     // first and last
	Mark    string   `json:"mark"`     // "mf"
	LevelDB float64  `json:"level_db"` // median of its notes, dBFS
	BPM     float64  `json:"bpm"`      // median of the local tempos, felt beats of the opening
	Unsure  float64  `json:"uncertainty_db"`
}

// Hairpin is a crescendo or diminuendo as it was played.
type Hairpin struct {
	Bars   []string `json:"bars"`
	Grow   bool     `json:"grow"`
	Change float64  `json:"change_db"`        // from its first to its last note, or within its note
	Slope  float64  `json:"slope_db_per_bar"` // of the line through its level
	Unsure float64  `json:"uncertainty_db"`   // standard uncertainty of the change

	notes []*Note
}

// Turn is a place where the player did not go straight on.
type Turn struct {
	Kind string  `json:"kind"` // "restart", "stop", "ahead", "left-out", "silent", "repeat-not-taken"
	From string  `json:"from"` // bar of the last note before it
	To   string  `json:"to"`   // bar of the first note after it
	At   float64 `json:"at_s"`
}
