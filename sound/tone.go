package sound

import "waterkey/score"

// Attack is how a tone begins.
type Attack int

// The attacks. A slurred tone has none: the air goes on and only the pitch
// moves; the three slurs after it break as the horn makes them break. A legato
// tone is re-articulated softly, as repeated notes under a slur are. The ticks
// are no brass tones.
const (
	Tongued Attack = iota
	Legato
	Slurred
	Accented
	Sforzando
	Beat        // a tick on a beat
	Downbeat    // a tick on beat one, or where the caller wants an accent
	Division    // a tick between beats
	Upbeat      // the last tick of a conducted count-in: breathe
	NaturalSlur // across the grain: the slide goes against the pitch
	LipSlur     // the slide stays, the partial changes
	ValveSlur   // a valve changes
	Swelling    // out of nothing, as a drone comes in
)

// Tone is one thing to sound.
type Tone struct {
	Note       int           // index into Performance.Notes; -1 for none
	Start, End score.Seconds // from the start of the clip; between them the tone is at half its amplitude or more, its attack aside

	// Hz is the fundamental, 10 to 20,000. HzEnd is the fundamental at End of a
	// glissando; 0 is no change.
	Hz, HzEnd float64

	// Level is in dB relative to mezzo-forte (see ReferenceDBFS).
	Level float64
	// Swell changes the level inside the tone: dB relative to Level at equal
	// distances, the first at Start and the last at End. Nil or one value is
	// no change.
	Swell []float64
	// Burst is how far the start stands above Level, in dB; it dies away
	// within the first tenths of a second (sfz, fp).
	Burst float64

	Attack Attack
	// Connects says that the air goes on from the tone before: no silence
	// between, and the phase runs on. It has no effect when the tone before
	// ended earlier.
	Connects bool
	// Move is what the slide does into a tone that connects; the zero Move is a
	// short glide.
	Move Move
	// Line tells players apart. Tones of one line cut each other off, tones of
	// different lines sound together. The part is line 0.
	Line int
}

// Move is the way of the slide from one tone to the next, with half its time on
// each side of the next one's Start. While the slide moves, both partials go on
// with it; where they are not the same the tone breaks from one to the other at
// Start.
type Move struct {
	Seconds  score.Seconds // 0 is no Move
	LeaveHz  float64       // the partial left, with the slide where it arrives
	ArriveHz float64       // the partial arrived at, with the slide where it leaves
}

// isTick says whether the tone is a tick of the beat.
func (t Tone) isTick() bool { return t.Attack >= Beat && t.Attack <= Upbeat }
