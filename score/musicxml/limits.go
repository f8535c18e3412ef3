package musicxml

// Bounds on what is read, so that the worst file costs about two seconds and 256
// MB (measured with the garbage collector as cmd/waterkey sets it). All are
// estimates: the largest orchestral movement tried, 19 parts and 264 bars, has 6
// MB of text and 165,000 elements. Scores ten times that size are read.
const (
	maxFileBytes  = 64 << 20 // of the file as it lies on disk
	maxTextBytes  = 64 << 20 // of the score once unpacked
	maxOtherBytes = 16 << 20 // of a score that is not in UTF-8
	maxEntries    = 1000     // files in a container
	maxIndexBytes = 1 << 20  // of a container's directory, and of its index

	maxElements = 4_000_000 // elements in one document
	maxOutline  = 150_000   // elements and attributes outside bars, the bars themselves among them
	maxIDs      = 300_000   // notes with an id of their own
	maxDepth    = 64        // of nested elements; real scores reach about 12

	maxPartElements = 600_000 // elements and attributes in the bars of one part
	maxBarElements  = 600_000 // in one bar: a whole part may stand in one
	maxNotes        = 100_000 // written notes and rests in one part
	maxBars         = 20_000  // in one part; the longest movements have some 1,500
	maxWordBytes    = 1 << 20 // of all directions of a part: each is looked through for a dozen words

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
	maxGroups      = 64   // numbers added up in a time signature
	maxFifths      = 14   // sharps or flats of a signature: every letter altered twice
	maxKeySigns    = 64   // signs of a signature that is no usual one
	maxRatioNumber = 1024 // notes in a tuplet
	maxEnding      = 999  // number of an ending, or times a repeat is played
	maxEndings     = 100  // numbers of one ending
	maxRestBars    = 9999 // bars in one multi-measure rest
	maxAlter       = 3    // semitones, either way
	maxOctave      = 9    // the format's own range is 0 to 9
	maxTranspose   = 60   // semitones, either way: five octaves
	minBPM, maxBPM = 1, 2000
)
