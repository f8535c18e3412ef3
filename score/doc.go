// Package score holds what stands on the page of one player's part: bars,
// notes, rests and marks, with every moment an exact fraction of a whole note.
//
// Two types carry the music. A [Part] is the part as printed, in written
// order; nothing in it has a duration in seconds. A [Performance] is the same
// part in the order it is played (repeats, endings and jumps unfolded), with a
// clock that maps moments of the page to seconds and back. Each sounding note
// of a performance names the written note it comes from.
//
// Pitches are sounding pitches; the spelling of the page is kept. Readers live
// in the packages below this one (musicxml, abc, midi) and fill in a Part.
package score
