package reading

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"unicode"

	"waterkey/finding"
	"waterkey/score"
)

// gradual matches words for a gradual change of tempo.
var gradual = regexp.MustCompile(`(?i)\b(rit|ritard\w*|riten\w*|rall\w*|accel\w*|string\w*|allarg\w*|slentando|calando|affrett\w*)\b|zögernd|drängend|beschleunig|verlangsam|\bcéde[rz]|pressez`)

// relative matches words for a tempo that is only said against the one before.
var relative = regexp.MustCompile(`(?i)\b(più|piu|meno) (mosso|lento|allegro|vivo|presto|animato|tranquillo|largo|moto)\b|\b(langsamer|schneller|bewegter|lebhafter|rascher|ruhiger|breiter)\b|\b(plus|moins) (lent|vite|animé|vif)\b`)

// tempoStep is one thing the page says about the tempo after its opening.
type tempoStep struct {
	at   score.Time
	bar  int
	mark score.TempoMark // with its text
	kind stepKind
}

type stepKind int

const (
	newTempo stepKind = iota
	moves             // gradually
	returns           // to an earlier tempo
)

// tempoChange names later tempos, and the gradual changes with what ends them.
func tempoChange(p *Page) []finding.Finding {
	speed := p.pageSpeed()
	steps := p.tempoSteps(speed)
	var marks, words []place
	for k, s := range steps {
		switch {
		case s.kind == moves:
			var next *tempoStep
			if k+1 < len(steps) {
				next = &steps[k+1]
			}
			words = append(words, p.movePlace(s, next))
		case s.kind == returns && k > 0 && steps[k-1].kind == moves && score.ReturnsTempo(s.mark.Text) == score.ToLast:
			// Said with the change that it ends.
		default:
			marks = append(marks, p.tempoPlace(s))
		}
	}
	out := p.each("tempo-change", tempoLeap(steps, speed), marks, "The tempo changes:",
		"Decide the new tempo by a bar you can sing, and practice the two bars around the change as one piece.")
	return append(out, p.each("tempo-change", 0.4, words, "The tempo moves:",
		"Decide where the change begins and how far it goes, and count it aloud once.")...)
}

// tempoSteps lists what a player reads about the tempo after the opening.
// Playback tempos without a word are not on the page.
func (p *Page) tempoSteps(speed speedOf) []tempoStep {
	var out []tempoStep
	opening := p.openingMark()
	for _, t := range p.Part.Tempos {
		if t != opening && p.readsAsTempo(t, speed) {
			out = append(out, tempoStep{t.At, t.Bar, t, kindOf(t.Text)})
		}
	}
	for _, w := range p.Part.Words {
		if w.At.Sign() > 0 && (gradual.MatchString(w.Text) || relative.MatchString(w.Text) || score.ReturnsTempo(w.Text) != score.NoReturn) {
			out = append(out, tempoStep{w.At, w.Bar, score.TempoMark{At: w.At, Bar: w.Bar, Text: w.Text}, kindOf(w.Text)})
		}
	}
	slices.SortStableFunc(out, func(a, b tempoStep) int { return a.at.Cmp(b.at) })
	return slices.CompactFunc(out, func(a, b tempoStep) bool { return a.at == b.at && a.kind == b.kind })
}

// readsAsTempo says whether a player reads a new tempo in a mark: a printed
// number, a word for a tempo, or other words at which the file goes on clearly
// faster or slower.
func (p *Page) readsAsTempo(t score.TempoMark, speed speedOf) bool {
	const clearly = 0.05 // a listener just notices 3 to 6 % (Drake and Botte, 1993)
	quarter := score.Frac(1, 4)
	switch {
	case t.Unit.Sign() > 0:
		return true
	case t.Text == "":
		return false
	case score.IsTempoWord(t.Text) || kindOf(t.Text) != newTempo || relative.MatchString(t.Text):
		return true
	}
	return t.Bar > 0 && math.Abs(speed(t.Bar, quarter)/speed(t.Bar-1, quarter)-1) > clearly
}

func kindOf(text string) stepKind {
	switch {
	case gradual.MatchString(text):
		return moves
	case score.ReturnsTempo(text) != score.NoReturn:
		return returns
	}
	return newTempo
}

// glyphNumber matches a metronome mark inside words whose note sign is lost:
// "( = 84)".
var glyphNumber = regexp.MustCompile(`\(?\s*=\s*\d+\)?`)

// bracketSigns drops brackets, which files leave open.
var bracketSigns = strings.NewReplacer("(", "", ")", "", "[", "", "]", "")

// tempoWords is the text of a mark without brackets and without the signs of a
// music font, which have no meaning outside it.
func tempoWords(text string) string {
	text = strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Co, r) {
			return -1
		}
		return r
	}, text)
	return strings.Join(strings.Fields(bracketSigns.Replace(glyphNumber.ReplaceAllString(text, ""))), " ")
}

// movePlace says a gradual change and what ends it.
func (p *Page) movePlace(s tempoStep, next *tempoStep) place {
	text, to := fmt.Sprintf("%q", tempoWords(s.mark.Text)), s.bar
	switch {
	case next == nil || next.kind == moves:
	case next.kind == returns && score.ReturnsTempo(next.mark.Text) == score.ToLast:
		text, to = fmt.Sprintf("%s, back in tempo in bar %s", text, p.number(next.bar)), next.bar
	default:
		text, to = fmt.Sprintf("%s, into the new tempo of bar %s", text, p.number(next.bar)), next.bar
	}
	n := p.number(s.bar)
	return place{s.bar, to, fmt.Sprintf("The tempo moves in bar %s: %s.", n, text), fmt.Sprintf("bar %s (%s)", n, text)}
}

// tempoPlace says a later tempo in the beat that is felt there.
func (p *Page) tempoPlace(s tempoStep) place {
	n, what := p.number(s.bar), p.tempoWhat(s)
	return place{s.bar, s.bar, fmt.Sprintf("New tempo at bar %s: %s.", n, what), fmt.Sprintf("bar %s (%s)", n, what)}
}

// tempoWhat is the tempo as the page says it: with its number, with the range
// its word stands for, or as going back to the opening.
func (p *Page) tempoWhat(s tempoStep) string {
	t, text := s.mark, strings.TrimRight(tempoWords(s.mark.Text), " .,;:")
	low, high, word := score.TempoRange(t.Text)
	switch {
	case t.BPM > 0 && t.Unit.Sign() > 0 && text != "":
		return fmt.Sprintf("%s, %s = %.0f", text, p.value(t.Unit), t.BPM)
	case t.BPM > 0 && t.Unit.Sign() > 0:
		return fmt.Sprintf("%s = %.0f", p.value(t.Unit), t.BPM)
	case score.ReturnsTempo(t.Text) == score.ToOpening:
		if o := p.openingMark(); o.BPM > 0 && o.Unit.Sign() > 0 {
			return fmt.Sprintf("%s, as at the start, %s = %.0f", text, p.value(o.Unit), o.BPM)
		}
		return text + ", as at the start"
	case word:
		return fmt.Sprintf("%s, by custom %.0f to %.0f beats a minute", text, low, high)
	}
	return text + ", without a number"
}

// tempoLeap is how far the tempo jumps at most, 1 for twice or half as fast.
func tempoLeap(steps []tempoStep, speed speedOf) float64 {
	leap := 0.2 // of a change that is not known in numbers (estimate)
	for _, s := range steps {
		if s.kind != moves && s.bar > 0 {
			quarter := score.Frac(1, 4)
			leap = max(leap, math.Abs(math.Log2(speed(s.bar, quarter)/speed(s.bar-1, quarter))))
		}
	}
	return leap
}
