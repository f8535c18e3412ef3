package demo

import (
	"slices"

	"waterkey/score"
	"waterkey/sound"
)

// The ways in which the notes of a take go wrong. Each edits the notes in place or
// returns others; bars are printed numbers.

// change edits the tones of some notes.
func change(is func(note) bool, edit func(*sound.Tone)) func([]note) []note {
	return func(ns []note) []note {
		for i := range ns {
			if is(ns[i]) {
				edit(&ns[i].tone)
			}
		}
		return ns
	}
}

// drop leaves notes out.
func drop(is func(note) bool) func([]note) []note {
	return func(ns []note) []note { return slices.DeleteFunc(ns, is) }
}

// swallow lets everything from a bar on come early.
func swallow(from int, by score.Seconds) func([]note) []note {
	return change(func(n note) bool { return n.bar >= from }, func(t *sound.Tone) {
		t.Start -= by
		t.End -= by
	})
}

// hold lengthens the notes of some bars to nearly all of the way to the next.
func hold(first, last int) func([]note) []note {
	const share = 0.95
	return func(ns []note) []note {
		for i := range ns[:len(ns)-1] {
			if n := &ns[i]; n.bar >= first && n.bar <= last {
				n.tone.End = max(n.tone.End, n.tone.Start+share*(ns[i+1].tone.Start-n.tone.Start))
			}
		}
		return ns
	}
}

// tune moves the pitch of some notes by cents.
func tune(is func(note) bool, by float64) func([]note) []note {
	return change(is, func(t *sound.Tone) { t.Hz *= cents(by) })
}

// rush lets the first notes of some bars run ahead, more with each, by so much at
// the last.
func rush(first, last, notes int, ahead score.Seconds) func([]note) []note {
	return func(ns []note) []note {
		k := 0
		for i := range ns {
			if n := &ns[i]; n.bar >= first && n.bar <= last && k < notes {
				by := ahead * score.Seconds(k) / score.Seconds(notes-1)
				n.tone.Start, n.tone.End = n.tone.Start-by, n.tone.End-by
				k++
			}
		}
		return ns
	}
}

// flatten leaves a share of how the level moves from the first note of some bars on.
func flatten(first, last int, left float64) func([]note) []note {
	return func(ns []note) []note {
		k := slices.IndexFunc(ns, func(n note) bool { return n.bar == first })
		if k < 0 {
			return ns
		}
		start := ns[k].tone.Level
		return change(in2(first, last), func(t *sound.Tone) {
			t.Level = start + left*(t.Level-start)
			for i := range t.Swell {
				t.Swell[i] *= left
			}
		})(ns)
	}
}

// breathe takes breath before the n-th note of a bar, 0 the first, which is then
// tongued.
func breathe(bar, n int, room score.Seconds) func([]note) []note {
	return func(ns []note) []note {
		i := slices.IndexFunc(ns, func(n note) bool { return n.bar == bar }) + n
		if i < 1 || i >= len(ns) {
			return ns
		}
		ns[i-1].tone.End = ns[i].tone.Start - room
		ns[i].tone.Connects, ns[i].tone.Attack = false, sound.Tongued
		return ns
	}
}

// crack lets some notes begin on the partial above.
func crack(is func(note) bool) func([]note) []note {
	const long, up = 0.07, 5.0 / 4 // s on the wrong partial, and its ratio (estimates)
	return func(ns []note) []note {
		var out []note
		for _, n := range ns {
			if is(n) {
				wrong := n
				wrong.tone.Hz *= up
				wrong.tone.End, wrong.tone.Swell, wrong.tone.Burst = n.tone.Start+long, nil, 0
				out = append(out, wrong)
				n.tone.Start += long
				n.tone.Connects, n.tone.Attack = true, sound.LipSlur
			}
			out = append(out, n)
		}
		return out
	}
}
