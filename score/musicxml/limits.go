package musicxml

// Bounds on what is read, so that the worst file costs about two seconds and 256
// MB (measured with cmd/waterkey). All are estimates: the largest orchestral
// movement tried, 19 parts and 264 bars, has 5 MB of text, 165,000 elements and
// 85,000 attributes.
const (
	maxFileBytes = 32 << 20  // of the file as it lies on disk
	maxTextBytes = 32 << 20  // of the score once unpacked
	maxElements  = 1_000_000 // elements and attributes in one document
	maxNotes     = 100_000   // written notes and rests in one part
	maxBars      = 20_000    // in one part; the longest movements have some 1,500
	maxDepth     = 64        // of nested elements; real scores reach about 12
	maxEntries   = 1000      // files in a container

	// maxZipRatio is how many times smaller a packed score may be. Scores pack
	// 15 to 60 times; a decompression bomb 1,000 times. Below ratioFree bytes
	// the ratio is not looked at.
	maxZipRatio = 250
	ratioFree   = 1 << 20

	// maxDivisions is the finest grid of a quarter note. The format's own
	// advice is at most 16,383 (W3C MusicXML 4.0, divisions).
	maxDivisions = 1_000_000
	// maxWholes is the longest single duration or offset, in whole notes.
	maxWholes = 4096

	maxMeterNumber = 1024 // upper or lower number of a time signature
	maxFifths      = 14   // sharps or flats of a signature: every letter altered twice
	maxRatioNumber = 1024 // notes in a tuplet
	maxEnding      = 999  // number of an ending, or times a repeat is played
	maxRestBars    = 9999 // bars in one multi-measure rest
	maxAlter       = 3    // semitones, either way
	maxOctave      = 9    // the format's own range is 0 to 9
	maxTranspose   = 60   // semitones, either way: five octaves
	minBPM, maxBPM = 1, 2000
)
