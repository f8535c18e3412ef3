// Package trial measures the listener: it renders takes whose truth is known
// from recorded trombone notes, lets [hear.Listen] hear them, and counts how far
// the two lie apart.
//
// Source of the sound: single notes of real trombones (see [LoadBank]). Each is
// read at a slightly varying speed so that its pitch is exactly steady (its own
// course is measured here, from the phase of its partials, by nothing that the
// listener uses), and then spliced into a take: lengths by articulation, slurs
// as a step of pitch under a crossfade, glissandi as a glide.
//
// Conventions of truth: a tongued note starts at the first sample that reaches
// a fifth of the peak of its attack (the first 150 ms), and ends where its release passes half
// amplitude; a slurred one starts where its pitch is half way. Times are in
// seconds from the start of the clip, pitch in cents against equal temperament
// at A4 = 440 Hz.
//
// Conventions of scoring: those of mir_eval (C. Raffel et al., "mir_eval: a
// transparent implementation of common MIR metrics", ISMIR 2014): onsets match
// within 50 ms; notes match within 50 ms and 50 cents and, where ends count,
// within 50 ms or a fifth of the length at the end; the matching is the largest
// one-to-one. Everything is seeded: the same notes give the same table.
package trial
