package musicxml

import (
	"slices"

	"waterkey/score"
)

// chooseLine takes one voice a bar out of all that was written: the part's
// main voice, or where that is silent another that has notes. Rests come with
// their voice.
func (r *reader) chooseLine() (notes, rests []*written) {
	main := mainVoice(r.written)
	for from := 0; from < len(r.written); {
		to := from
		for to < len(r.written) && r.written[to].bar == r.written[from].bar {
			to++
		}
		voice := r.chooseVoice(main, r.written[from:to])
		for _, w := range r.written[from:to] {
			switch {
			case w.voice != voice && !w.rest:
				r.skip.Add(w.bar, w.line, "voice "+short(w.voice)+" was left out")
			case w.voice == voice && w.rest:
				rests = append(rests, w)
			case w.voice == voice:
				notes = append(notes, w)
			}
		}
		from = to
	}
	return notes, rests
}

// mainVoice is the voice with the most notes; of equals the first.
func mainVoice(all []*written) string {
	count := map[string]int{}
	best := ""
	for _, w := range all {
		if !w.rest && !w.chord {
			count[w.voice]++
		}
	}
	for _, w := range all {
		if best == "" || count[w.voice] > count[best] {
			best = w.voice
		}
	}
	return best
}

// chooseVoice picks the voice of one bar.
func (r *reader) chooseVoice(main string, bar []*written) string {
	has := func(voice string, rest bool) bool {
		return slices.ContainsFunc(bar, func(w *written) bool { return w.voice == voice && w.rest == rest })
	}
	if has(main, false) {
		return main
	}
	if other := mainVoice(bar); other != "" && has(other, false) {
		r.skip.Add(bar[0].bar, bar[0].line, say("voice %s was read, because voice %s has no notes", []any{other, main}))
		return other
	}
	if has(main, true) {
		return main
	}
	return bar[0].voice
}

// oneNote makes chords into single notes and cuts notes that overlap: the
// later onset wins. Notes come back in the order of their onsets within each
// bar, grace notes before the note they lead to.
func (r *reader) oneNote(notes []*written) []*written {
	notes = r.thinChords(notes)
	slices.SortStableFunc(notes, func(a, b *written) int {
		if a.bar != b.bar {
			return a.bar - b.bar
		}
		return a.onset.Cmp(b.onset)
	})
	return r.cutOverlaps(notes)
}

// thinChords keeps the top or bottom note of each chord, with the marks of the
// whole chord.
func (r *reader) thinChords(notes []*written) []*written {
	var out []*written
	for _, w := range notes {
		if n := len(out); w.chord && n > 0 && out[n-1].onset == w.onset && out[n-1].grace == w.grace {
			out[n-1] = r.oneOf(out[n-1], w)
		} else {
			out = append(out, w)
		}
	}
	return out
}

// oneOf merges two notes that sound together.
func (r *reader) oneOf(a, b *written) *written {
	says := "the lower notes of chords were left out"
	if r.line == score.Bottom {
		says = "the upper notes of chords were left out"
	}
	r.skip.Add(a.bar, a.line, says)
	keep, drop := a, b
	if higher(b.pitch, a.pitch) == (r.line == score.Top) {
		keep, drop = b, a
	}
	one := *keep
	one.marks |= drop.marks
	one.slurs = append(a.slurs, b.slurs...)
	one.gliss = one.gliss || drop.gliss
	one.strokes = max(one.strokes, drop.strokes)
	if one.ornaments == nil {
		one.ornaments = drop.ornaments
	}
	return &one
}

func higher(a, b score.Pitch) bool {
	x, y := float64(a.MIDI())+a.Cents/100, float64(b.MIDI())+b.Cents/100
	return x > y
}

func (r *reader) cutOverlaps(notes []*written) []*written {
	var out []*written
	var before *written // the last note that takes time
	at := 0             // its place in out
	for _, w := range notes {
		if before != nil && !w.grace && w.onset == before.onset {
			before = r.oneOf(before, w)
			out[at] = before
			continue
		}
		if before != nil && w.onset.Less(before.end()) && !w.grace {
			before.duration = w.onset.Sub(before.onset)
			r.skip.Add(before.bar, before.line, "a note that sounds on into the next was cut short")
		}
		if !w.grace {
			before, at = w, len(out)
		}
		out = append(out, w)
	}
	return out
}
