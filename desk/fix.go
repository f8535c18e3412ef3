package desk

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"

	"waterkey/brass"
	"waterkey/positions"
	"waterkey/score"
)

// Fix is a coach's decision on how to play some notes, in a coach's words.
type Fix struct {
	// Where is a bar ("12"), bars ("12-15"), one sounding note of a bar counted
	// from 1 ("12.3"), a note's id, or "" for the whole part.
	Where string
	// Way is a label as [Prepared.Mark] prints it, with or without its sharp or
	// flat ("6", "T1", "2" for ♯2; "13" on valve brass), or one state of the
	// valves in any position ("open", "T").
	Way   string
	Avoid bool // not this way, instead of only this way
}

// ParseFix reads WHERE=WAY, or WAY alone for the whole part.
func ParseFix(text string, avoid bool) (Fix, error) {
	where, way, found := strings.Cut(text, "=")
	if !found {
		where, way = "", text
	}
	f := Fix{strings.TrimSpace(where), strings.TrimSpace(way), avoid}
	if f.Way == "" || found && f.Where == "" {
		return Fix{}, fmt.Errorf("%q does not name a place and a way; write 12.3=T1 for the third note of bar 12, or 12-15=6 for four bars", text)
	}
	return f, nil
}

// pins turns fixes into what the solver understands. Errors name the fix, the
// limit and something that works.
func pins(fixes []Fix, pf *score.Performance, in *brass.Instrument) ([]positions.Pin, error) {
	var out []positions.Pin
	for _, f := range fixes {
		pin, err := wayPin(f.Way, in)
		if err != nil {
			return nil, err
		}
		if pin.Note, pin.To, err = notesAt(f.Where, pf); err != nil {
			return nil, err
		}
		pin.Forbid = f.Avoid
		out = append(out, pin)
	}
	return out, nil
}

// wayPin reads a label.
func wayPin(way string, in *brass.Instrument) (positions.Pin, error) {
	text := plainLabel(way)
	if text == "OPEN" {
		text = ""
	}
	text = byValve(text)
	for _, s := range in.Sides {
		if in.SlideMaxCM <= 0 {
			if text == plainLabel(s.Prefix) || text == "" && s.Valve == "" {
				return positions.Pin{Valve: &s.Valve}, nil
			}
			continue
		}
		rest, ok := strings.CutPrefix(text, plainLabel(s.Prefix))
		if !ok {
			continue
		}
		if rest == "" {
			return positions.Pin{Valve: &s.Valve}, nil
		}
		if position, err := strconv.Atoi(rest); err == nil && position >= 1 && position <= maxPosition {
			return positions.Pin{Position: position, Valve: &s.Valve}, nil
		}
	}
	return positions.Pin{}, fmt.Errorf("%q is no way to play on %s; %s", way, in.Title, exampleWays(in))
}

// byValve reads what is called after its pitch, "GB2" or "D3" as charts of bass
// trombones have it, as the valves that make it.
func byValve(text string) string {
	for name, label := range map[string]string{"GB": "M", "D": "TM"} {
		if rest, ok := strings.CutPrefix(text, name); ok && (rest == "" || unicode.IsDigit(rune(rest[0]))) {
			return label + rest
		}
	}
	return text
}

// maxPosition is the number of positions on a slide.
const maxPosition = 7

// plainLabel is a label without the signs of a raised or lowered position, in
// plain letters.
func plainLabel(label string) string {
	label = strings.NewReplacer("G♭", "GB", "Gb", "GB", "♯", "", "♭", "", "#", "", "+", "", "-", "").Replace(label)
	// A flat written with a letter stands before a number: b3.
	if len(label) > 1 && label[0] == 'b' && unicode.IsDigit(rune(label[1])) {
		label = label[1:]
	}
	return strings.ToUpper(label)
}

// exampleWays lists what can be written.
func exampleWays(in *brass.Instrument) string {
	if in.SlideMaxCM <= 0 {
		var labels []string
		for _, s := range in.Sides {
			labels = append(labels, s.Prefix)
		}
		return "write one of " + strings.Join(labels, ", ")
	}
	text := "write a position from 1 to 7"
	for _, s := range in.Sides {
		if s.Prefix != "" {
			text += fmt.Sprintf(", %s1", s.Prefix)
		}
	}
	return text + "; or open"
}

// notesAt finds the played notes of a place: the first and the last.
func notesAt(where string, pf *score.Performance) (first, last int, err error) {
	if len(pf.Notes) == 0 {
		return 0, 0, fmt.Errorf("the part has no notes to fix")
	}
	if where == "" {
		return 0, len(pf.Notes) - 1, nil
	}
	for i := range pf.Notes {
		if pf.Written(i).ID == where {
			return i, i, nil
		}
	}
	bars, nth, one := strings.Cut(where, ".")
	from, to, err := BarRange(pf.Part, bars)
	if err != nil {
		return 0, 0, err
	}
	first, last = -1, -1
	for i := range pf.Notes {
		if b := pf.Written(i).Bar; b >= from && b <= to {
			if first < 0 {
				first = i
			}
			last = i
		}
	}
	count := last - first + 1
	switch n, err := strconv.Atoi(nth); {
	case first < 0:
		return 0, 0, fmt.Errorf("there is no note in bar %s", bars)
	case !one:
		return first, last, nil
	case err != nil || n < 1 || n > count:
		return 0, 0, fmt.Errorf("there is no note %q in bar %s; it has notes 1 to %d", nth, bars, count)
	default:
		return first + n - 1, first + n - 1, nil
	}
}

// BarRange reads a printed bar number, or two with a hyphen, as indexes into the
// part's bars, both included.
func BarRange(part *score.Part, text string) (from, to int, err error) {
	if from = barNumbered(part, text); from >= 0 {
		return from, from, nil
	}
	a, b, _ := strings.Cut(text, "-")
	from, to = barNumbered(part, a), barNumbered(part, b)
	switch {
	case len(part.Bars) == 0:
		return 0, 0, fmt.Errorf("the part has no bars")
	case from < 0 || to < 0:
		return 0, 0, fmt.Errorf("there is no bar %s; the part has bars %s to %s", text, part.Bars[0].Number, part.Bars[len(part.Bars)-1].Number)
	case to < from:
		return 0, 0, fmt.Errorf("bars %s run backward; write %s-%s", text, b, a)
	}
	return from, to, nil
}

// barNumbered is the index of the first bar with a printed number, -1 for none.
func barNumbered(part *score.Part, number string) int {
	number = strings.TrimSpace(number)
	for i, b := range part.Bars {
		if b.Number == number {
			return i
		}
	}
	return -1
}
