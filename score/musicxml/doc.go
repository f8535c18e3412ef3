// Package musicxml reads one player's part out of a MusicXML 4.0 document and
// writes slide positions and breaths back into the same document.
//
// The format is that of the W3C Music Notation Community Group, "MusicXML
// 4.0", 2021. Partwise and timewise scores are read, plain or in a compressed
// container (.mxl), in UTF-8, UTF-16 or ISO-8859-1. What a file is follows
// from its bytes, not from its name.
//
// Conventions: moments are exact fractions of a whole note ([score.Time]).
// Offsets count bytes of the document's text in UTF-8, lines count from 1. A
// damaged file gives an [Error] and nothing else. A strange but legal one is
// read whole, and what was passed over stands in [score.Part.Skipped].
//
// Marks are spliced into the original bytes: every byte that is not inserted
// stays as it was, whatever program wrote it.
package musicxml
