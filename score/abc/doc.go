// Package abc reads one player's part out of music in abc notation.
//
// The format is "The abc music standard 2.1", edited by Chris Walshaw, December
// 2011, with its errata up to February 2013. Numbers in doc comments ("4.13")
// are its sections. The whole text was read for this package, sections 1 to 14.
// From memory, and marked so where they are used, are a few widely written
// forms that it lacks: the strong accent !marcato!, glissando lines, tremolo
// strokes, courtesy accidentals, and the long forms of the jumps ("D.C. al
// fine").
//
// Conventions: moments are exact fractions of a whole note ([score.Time]).
// Lines and columns count from 1, columns in characters. A tune's bars are what
// stands between its bar lines: the meter counts nothing out. A note without an
// id of its own, and here none has one, is called "b1n2": the second note or
// rest of the first bar; in the second part of a file "p2b1n2".
//
// Reading is liberal, as section 12.2 asks for. What is strange is read as far
// as it goes, and what was passed over stands in [score.Part.Skipped]. Values
// that would give wrong music (a meter, a key or a length that cannot be read)
// and absurd ones end the reading with a [*score.ReadError] and nothing else.
package abc
