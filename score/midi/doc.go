// Package midi reads one player's part out of a Standard MIDI File 1.0 and
// writes a performance as one (MIDI Manufacturers Association, RP-001, 1996).
// Note numbers are those of MIDI 1.0, A4 being 69 and C4 60; events are decoded
// and encoded by gitlab.com/gomidi/midi/v2.
//
// # Writing
//
// A file has format 1: a track with tempos, meters and keys, and a track with
// the notes of the player.
//
// Every moment is rounded to the nearest tick. Note values down to a
// sixty-fourth triplet are whole ticks at [DefaultTicks]; the rest, grace notes
// and shortened notes are at most half a tick off (0.26 ms at a quarter note of
// 120). The tempo map follows the performance's clock, fermatas included, to
// within a twentieth of a millisecond for as long as the piece lasts.
//
// Lengths are those of the articulation and the style, so that a staccato is a
// short note; levels are velocities, a hairpin inside a note the expression
// controller (11). Notes under a slur overlap and stand under the legato footswitch
// (68). A glissando is a pitch bend over its note, along an evenly moved slide as far
// as the chosen path lets it go, with a bend range of an octave set at the start of
// the track (registered parameter 0); a wider one is a plain note. Key signatures
// are those of the page. Trills and other ornaments are plain notes.
//
// # Reading
//
// Formats 0 and 1 with ticks to a quarter note are read; format 2 and frames of
// film are refused. A damaged file gives a [score.ReadError] and nothing else.
// A strange but legal one is read whole, and what was passed over or rounded
// stands in [score.Part.Skipped].
//
// A part is a track, or a channel of a file of format 0, that has notes;
// channel 10 is percussion and left out. What the file says becomes bars,
// meters, keys, tempos, markers and notes. What it does not say is worked out
// by rules that stand where they are used: the grid ([Grid]), ends and
// staccatos (ends.go), spelling (spell.go), tempo marks and fermatas
// (tempi.go), values and ties (values.go), printed accidentals. Dynamics,
// slurs, clefs, glissandos and repeats are left out: a velocity is no mark.
//
// A file written here comes back with the same note numbers, onsets, bars, keys
// and tempos, in the order of play. Durations and staccatos are a guess.
package midi
