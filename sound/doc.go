// Package sound plays a part: a reference performance as samples, with count-in
// and click.
//
// It works in two layers. [Tones] turns the played notes of a performance into
// what is to sound: when, at what pitch, how loud, how begun. [Render] makes
// samples of a list of tones. A caller may change the list in between, to hear
// one line alone or to make a take with known faults.
//
// The tone is additive: a sum of harmonic partials under a spectral envelope
// that was fitted to recorded trombone notes and that brightens with level, as
// a brass instrument does (N. H. Fletcher and A. Tarnopolsky, "Blowing pressure,
// power, and spectrum in trumpet playing", JASA 105, 1999, p. 874). Pitch is
// equal temperament without vibrato; partials are whole multiples of the
// fundamental.
//
// Levels are in dB relative to mezzo-forte, which sounds at [ReferenceDBFS] RMS
// whatever else the clip holds: nothing is normalized afterwards.
//
// Not played: falls, muting, turns and mordents, and the repeated strokes of a
// tremolo, which sounds as a plain note.
package sound
