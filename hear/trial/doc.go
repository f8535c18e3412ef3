// Package trial measures the listener: it renders takes whose truth is known
// from recorded trombone notes, lets [hear.Listen] hear them, and counts how far
// the two lie apart.
//
// Source of the sound: single notes of real trombones (see [LoadBank]), spliced
// into a take by package trombone; its conventions of when a note starts and ends
// are those of truth here. Times are in seconds from the start of the clip, pitch
// in cents against equal temperament at A4 = 440 Hz.
//
// Conventions of scoring: those of mir_eval (C. Raffel et al., "mir_eval: a
// transparent implementation of common MIR metrics", ISMIR 2014): onsets match
// within 50 ms; notes match within 50 ms and 50 cents and, where ends count,
// within 50 ms or a fifth of the length at the end; the matching is the largest
// one-to-one. Everything is seeded: the same notes give the same table.
package trial
