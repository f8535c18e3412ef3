package reading

import (
	"fmt"
	"strings"

	"waterkey/brass"
	"waterkey/score"
)

// Sentences name notes as their player sees them. On the page of a transposing part
// those are the written notes: a B flat trumpet's C for a sounding B flat.

// name is note i as written: "B♭3".
func (p *Page) name(i int) string { return nameOf(p.note(i)) }

// nameOf is a note as written.
func nameOf(n *score.Note) string { return n.Written.Text() }

// named is a sounding pitch as it would be written beside note i.
func (p *Page) named(pitch score.Pitch, i int) string {
	t := transposition(p.note(i))
	return pitch.Transpose(t.Steps, t.Semitones).Text()
}

// transposition is how far above its sound a note is written.
func transposition(n *score.Note) brass.Transposition {
	return brass.Transposition{Steps: staffPlace(n.Written) - staffPlace(n.Pitch), Semitones: n.Written.MIDI() - n.Pitch.MIDI()}
}

// staffPlace is a pitch's place among the white keys: one step is one staff place.
func staffPlace(p score.Pitch) int { return 7*p.Octave + strings.IndexByte("CDEFGAB", p.Step) }

// AsWritten says how the sentences on a part name its notes, and what its player
// must transpose; "" where notes sound as they are written and are read so.
func AsWritten(part *score.Part, in *brass.Instrument) string {
	if len(part.Notes) == 0 {
		return ""
	}
	t := transposition(&part.Notes[0])
	for i := range part.Notes {
		if transposition(&part.Notes[i]) != t {
			return "Notes are named as written; the part changes its transposition."
		}
	}
	says := ""
	if t.Steps != 0 || t.Semitones != 0 {
		side, size := direction(t)
		says = fmt.Sprintf("Notes are named as written, %s %s their sound.", size, side)
	}
	own := in.Written
	if own == (brass.Transposition{}) || own == t {
		return says
	}
	side, size := direction(brass.Transposition{Steps: own.Steps - t.Steps, Semitones: own.Semitones - t.Semitones})
	return strings.TrimSpace(fmt.Sprintf("%s The part is not written for the %s: read each note %s %s.", says, in.Title, size,
		map[string]string{"above": "higher", "below": "lower"}[side]))
}

// direction is the side to which a transposition goes and its size.
func direction(t brass.Transposition) (side, size string) {
	if t.Semitones < 0 || t.Semitones == 0 && t.Steps < 0 {
		return "below", interval(-t.Steps, -t.Semitones)
	}
	return "above", interval(t.Steps, t.Semitones)
}

// intervals are the names of the intervals within an octave, by steps.
var intervals = [7]string{"unison", "second", "third", "fourth", "fifth", "sixth", "seventh"}

// interval names an interval upward: "a perfect fifth", "a major ninth", "two
// octaves and a major second".
func interval(steps, semitones int) string {
	octaves, rest := steps/7, steps%7
	within := fmt.Sprintf("%s %s", quality(rest, semitones-12*octaves), intervals[max(rest, 0)])
	switch {
	case octaves == 0:
		return WithArticle(within)
	case octaves == 1 && rest == 1:
		return WithArticle(strings.Replace(within, "second", "ninth", 1))
	case octaves == 1 && rest == 0:
		return "an octave"
	case octaves == 1:
		return "an octave and " + WithArticle(within)
	case rest == 0:
		return plural(octaves, "octave")
	}
	return fmt.Sprintf("%s and %s", plural(octaves, "octave"), WithArticle(within))
}

// quality tells intervals of the same steps apart.
func quality(steps, semitones int) string {
	const perfects = "0 3 4"
	natural := [7]int{0, 2, 4, 5, 7, 9, 11}
	wider := semitones - natural[max(steps, 0)]
	perfect := strings.Contains(perfects, fmt.Sprint(steps))
	switch {
	case wider > 0:
		return "augmented"
	case perfect && wider == 0:
		return "perfect"
	case wider == 0:
		return "major"
	case !perfect && wider == -1:
		return "minor"
	}
	return "diminished"
}

// WithArticle puts "a" or "an" before words as they are spoken: "an F tuba", "a
// euphonium".
func WithArticle(words string) string {
	vowel := strings.ContainsRune("aeiou", rune(words[0])) && !strings.HasPrefix(words, "eu")
	letter := strings.HasPrefix(words, "F ") || strings.HasPrefix(words, "E ")
	if vowel || letter {
		return "an " + words
	}
	return "a " + words
}
