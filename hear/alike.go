package hear

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// What counts as alike between takes: what a listener does not tell apart
// (limits as in the findings).
const (
	alikeTempo  = tempoLimit // share
	alikeTuning = inTune     // cents
	alikeLevel  = 1.0        // LU
)

// steadySays is what all takes have in common.
func steadySays(takes []*Standing) []string {
	if len(takes) < 2 {
		return nil
	}
	var out []string
	low, high := bounds(takes, func(t *Take) float64 { return t.TempoBPM })
	if high/low-1 <= alikeTempo {
		out = append(out, fmt.Sprintf("The tempo is the same in every take: %.1f to %.1f felt beats a minute.", low, high))
	}
	low, high = bounds(takes, func(t *Take) float64 { return t.TuningHz })
	if 1200*math.Log2(high/low) <= alikeTuning {
		out = append(out, fmt.Sprintf("The tuning holds: A = %.1f to %.1f Hz.", low, high))
	}
	out = append(out, habits(takes)...)
	return append(out, always(takes)...)
}

// bounds are the lowest and the highest value.
func bounds(takes []*Standing, value func(*Take) float64) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, s := range takes {
		v := value(s.take)
		low, high = min(low, v), max(high, v)
	}
	return low, high
}

// habits are the pitches that lie on the same side in every take.
func habits(takes []*Standing) []string {
	var out []string
	for _, name := range pitches(takes[0].take) {
		var offs []float64
		for _, s := range takes {
			if off, ok := offOf(s.take, name); ok {
				offs = append(offs, off)
			}
		}
		if len(offs) < len(takes) {
			continue
		}
		low, high := slices.Min(offs), slices.Max(offs)
		switch {
		case low > inTune:
			out = append(out, printed(fmt.Sprintf("%s is sharp in every take, by %.0f to %.0f cents: a habit that one more take will not mend.", name, low, high)))
		case high < -inTune:
			out = append(out, printed(fmt.Sprintf("%s is flat in every take, by %.0f to %.0f cents: a habit that one more take will not mend.", name, -high, -low)))
		}
	}
	return out
}

// pitches are the names on the page, in order of appearance.
func pitches(t *Take) []string {
	var out []string
	for _, n := range t.Notes {
		if !slices.Contains(out, n.Pitch) {
			out = append(out, n.Pitch)
		}
	}
	return out
}

// offOf is the median deviation of a pitch from the take's own tuning.
func offOf(t *Take, name string) (float64, bool) {
	var v []float64
	for _, n := range t.Notes {
		if n.Pitch == name && n.State == Played && n.Offset-n.Onset >= shortToTune {
			v = append(v, n.CentsOwn)
		}
	}
	if len(v) == 0 {
		return 0, false
	}
	return middle(v), true
}

// always lists the bars where every take has a wrong or missing note.
func always(takes []*Standing) []string {
	bars := failing(takes, func(fails int) bool { return fails == len(takes) })
	if len(bars) == 0 {
		return nil
	}
	return []string{fmt.Sprintf("A note is wrong or missing in every take in %s: work on it before the next one.", joinBars(bars))}
}

// failing lists the bars whose notes fail in so many takes as asked.
func failing(takes []*Standing, asked func(fails int) bool) []string {
	var out []string
	for i, n := range takes[0].take.Notes {
		fails := 0
		for _, s := range takes {
			if i < len(s.take.Notes) && s.take.Notes[i].State != Played {
				fails++
			}
		}
		if asked(fails) && !slices.Contains(out, n.Bar) {
			out = append(out, n.Bar)
		}
	}
	return out
}

// joinBars is "bar 4" or "bars 4, 7 and 9".
func joinBars(bars []string) string {
	if len(bars) == 1 {
		return "bar " + bars[0]
	}
	const most = 6
	if len(bars) > most {
		return fmt.Sprintf("bars %s and %d more", strings.Join(bars[:most], ", "), len(bars)-most)
	}
	return "bars " + strings.Join(bars[:len(bars)-1], ", ") + " and " + bars[len(bars)-1]
}

// variesSays is what differs between takes.
func variesSays(takes []*Standing) []string {
	if len(takes) < 2 {
		return nil
	}
	var out []string
	bars := failing(takes, func(fails int) bool { return fails > 0 && fails < len(takes) })
	if len(bars) > 0 {
		out = append(out, fmt.Sprintf("Notes go wrong in one take and not in another in %s.", joinBars(bars)))
	}
	low, high := bounds(takes, func(t *Take) float64 { return t.TempoBPM })
	if high/low-1 > alikeTempo {
		out = append(out, fmt.Sprintf("The tempo goes from %.0f to %.0f felt beats a minute.", low, high))
	}
	low, high = bounds(takes, func(t *Take) float64 { return t.TuningHz })
	if c := 1200 * math.Log2(high/low); c > alikeTuning {
		out = append(out, fmt.Sprintf("The tuning moves by %.0f cents, from A = %.1f to %.1f Hz: warm up and tune before each take.", c, low, high))
	}
	low, high = bounds(takes, func(t *Take) float64 { return t.Record.LoudnessLUFS })
	if high-low > alikeLevel {
		out = append(out, fmt.Sprintf("The recordings differ in loudness by %.0f LU: compare them by ear at the same level.", high-low))
	}
	return out
}
