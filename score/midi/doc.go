// Package midi writes a performance as a Standard MIDI File 1.0 of format 1
// (MIDI Manufacturers Association, 1996): a track with tempos, meters and keys,
// and a track with the notes of the player. Note numbers are those of MIDI 1.0,
// A4 being 69; the bytes are made by gitlab.com/gomidi/midi/v2.
//
// Every moment is rounded to the nearest tick. Note values down to a
// sixty-fourth triplet are whole ticks at [DefaultTicks]; the rest, grace notes
// and shortened notes are at most half a tick off (0.26 ms at a quarter note of
// 120). The tempo map follows the performance's clock, fermatas included, to
// within a twentieth of a millisecond for as long as the piece lasts.
//
// A glissando is a pitch bend over its note, along an evenly moved slide, with a
// bend range of an octave set at the start of the track; a wider one is a plain
// note. A hairpin changes the velocity from note to note, not inside one. Key
// signatures are those of the page. Trills and other ornaments are plain notes.
package midi
