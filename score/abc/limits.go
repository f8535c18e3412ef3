package abc

// Bounds on what is read, so that no file can exhaust memory or time. All are
// estimates: several times what the largest published collections need.
const (
	maxFileBytes = 4 << 20 // some 7,000 tunes of ordinary length
	maxTunes     = 50_000
	maxField     = 1000   // bytes of one field that is read, with its continuations
	maxVoices    = 64     // in one tune
	maxBars      = 20_000 // in one voice
	maxNotes     = 70_000 // in one voice
	maxChord     = 64     // notes of a chord
	maxHeader    = 500    // fields in the file header
	maxParts     = 100_000

	maxLength    = 4096 // upper or lower number of a note's length: A4096, A/4096
	maxWholes    = 1024 // the longest single note, in whole notes
	maxUnit      = 1024 // lower number of the unit note length; the standard stops at 512 (3.1.7)
	maxBroken    = 3    // signs of broken rhythm in a row: >>> is the standard's last (4.4)
	maxTuplet    = 128  // p and q of (p:q:r
	maxTupletRun = 1024 // r of (p:q:r
	maxMeter     = 1024 // upper or lower number of a meter
	maxFifths    = 7    // sharps or flats of a key signature (3.1.14)
	maxEnding    = 999  // number of an ending, or times a passage is played
	maxRestBars  = 9999 // bars in one multi-measure rest

	minOctave, maxOctave = 0, 9 // of a note, as in the other readers
	maxOctaveShift       = 9    // of octave=, either way
	maxTranspose         = 60   // semitones of transpose=, either way: five octaves
	minBPM, maxBPM       = 1, 2000
)
