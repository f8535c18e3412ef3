package breath

// What speaks for the end of a phrase, in shares: at 1 a breath does not interrupt
// the line at all. The boundary profile counts as it is (0 to 1). All amounts are
// estimates.
const (
	restEvidence    = 0.7 // a rest with room for a catch breath, and up to restMore at one second
	restMore        = 0.3
	markEvidence    = 1.0  // a printed breath mark or a fermata
	sectionEvidence = 0.8  // a repeat, or a new key, meter or tempo
	longEvidence    = 0.25 // a note at least twice as long as most
	slurEvidence    = 0.2  // the end of a slur of three notes and more
	longSlur        = 3
	placeEvidence   = 0.2  // the next note stands where the entry began in the bar
	levelEvidence   = 0.15 // a new level is printed under the next note
	squareEvidence  = 0.15 // two, four or eight bars since the entry began
)

// weights are the amounts of the cost. The unit is a breath between two notes of an
// unbroken line that takes nothing from either. Kinds are common practice; amounts
// are estimates unless a rule says otherwise.
type weights struct {
	breath float64 // any breath that is not in a long rest
	line   float64 // breaking the line; less by what speaks for a phrase end
	taken  float64 // for all of the note before, in proportion

	slur, tuplet, leading, upbeat float64

	soon   float64 // breathing again at once; none after soonSeconds
	held   float64 // for each second beyond easilyHeld that one breath is held
	passed float64 // going past a rest with room for a full breath
	low    float64 // coming down to the reserve, with the square of the way from comfortable
	lack   float64 // for each liter below the reserve
}

var usualWeights = weights{
	breath: 0.15, line: 1, taken: 2,
	slur: 200, tuplet: 100, leading: 100, upbeat: 100,
	soon: 1.5, held: 0.2, passed: 0.4, low: 2, lack: 1e6,
}

const (
	// soonSeconds is how long after a breath the next is felt to come soon
	// (estimate).
	soonSeconds = 3.0
	// easilyHeld is how long one breath is held without a wish for the next, in
	// seconds, whatever air is left (estimate; published for the horn: shortness of
	// breath comes from carbon dioxide and goes with more frequent small breaths).
	easilyHeld = 12.0
	// freeSeconds is a rest in which a player breathes as anyone does, and is full
	// when it ends (estimate: out and in at leisure).
	freeSeconds = 2.0
	// A note gives at most this share of its sound to a breath, and keeps this many
	// seconds (estimates: less is heard as another note value).
	mostTaken, leastLeft = 0.5, 0.15
	// mostTakenFull is the share it gives to a full breath: only long notes are cut
	// short for one (estimate).
	mostTakenFull = 0.35
	// leastRoom is the shortest breath worth planning, in seconds (estimate: the
	// shortest inspirations in speech last 0.3 s, from memory).
	leastRoom = 0.25
	// pinTaken is what a note gives where a breath is printed or asked for and there
	// is no other room (estimate).
	pinTaken = 1.0 / 3
)
