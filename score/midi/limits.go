package midi

// Bounds on what is read, so that no file can exhaust memory or time. All are
// estimates: many times what the longest orchestral movement needs.
const (
	maxFileBytes = 16 << 20
	maxTracks    = 1024
	maxEvents    = 500_000 // in all tracks; the smallest has two bytes but is held in about a hundred
	maxNotes     = 100_000 // in one part
	// maxTempos is the changes of tempo in a file: about two a second for
	// three hours. The library goes through all of them for each.
	maxTempos = 20_000
	maxBars   = 20_000 // the longest symphonic movements have some 1,500
)
