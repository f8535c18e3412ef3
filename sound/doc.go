// Package sound plays a part: a reference performance as samples, and what a player
// practices with: count-in and click, a drone, a ladder of tempos.
//
// It works in two layers. [Tones] turns the played notes of a performance into what
// is to sound: when, at what pitch, how loud, how begun and how joined. [Render] makes
// samples of a list of tones, [Stream] makes them piece by piece, and [File] is a WAV
// that is made while it is read. A caller may change the list in between, to hear one
// line alone or to make a take with known faults; [Ladder] strings performances
// together, [Drone] makes tones of its own.
//
// # Tone
//
// The tone is additive: stored periods of harmonic partials, one for each semitone
// and step of brightness, mixed as pitch and level move. A [Timbre] has their levels.
// Those of the tenor trombone are measured at mezzo-forte on every second note of a
// recorded one (measured.go, made by the program in spectra); between them, above and
// below, and at other levels a law goes on from them: the bell's high-pass, and a
// roll-off that grows less with level, as the wave steepens in the tube (N. H.
// Fletcher and A. Tarnopolsky, "Blowing pressure, power, and spectrum in trumpet
// playing", JASA 105, 1999, p. 874). Alto and bass trombone are that table moved in
// frequency, valve brass the law alone: estimates. The plain tone of the zero
// [Options] is the law without noise, exact in every partial.
//
// Notes begin by their attack: with a puff of the tongue, darker than they go on. A
// [Way] for each note, where the slide is and on which partial, makes slurs break as
// the horn breaks them, legato moves and glissandi follow the slide at an arm's speed,
// and valves change at once. Pitch is equal temperament without vibrato.
//
// # Time and level
//
// Lengths are those of the [Style], or of [score.Note.SoundedShare] without one; a
// [Breath] takes its room from the note before it. Levels are in dB relative to
// mezzo-forte, which sounds at [ReferenceDBFS] RMS whatever else the clip holds:
// nothing is normalized afterwards. A phrase may bend them a little ([Arcs]).
//
// Not played: falls, muting, turns and mordents, and the repeated strokes of a
// tremolo, which sounds as a plain note.
package sound
