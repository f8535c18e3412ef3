package hear

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"waterkey/finding"
	"waterkey/score"
)

// Limits of intonation in cents. Trained listeners notice 10 to 20 cents in a
// line and hear more than 30 as out of tune (published: Hill and Summers, JASA
// 121, 2007, about 10 cents; Arndt et al., Exp. Brain Res. 238, 2020, 10.1
// cents for musicians); measured here within 3.
const (
	inTune      = 10.0
	measured    = 3.0
	outOfTune   = 30.0
	shortToTune = 0.12 // s: a shorter note is no pitch to argue about (estimate)
)

func (l *listener) wrongNotes(t *Take) []finding.Finding {
	var out []finding.Finding
	wrong := func(n *Note) bool { return n.State == Other }
	for _, g := range groups(t.Notes, wrong, func(n *Note) string { return n.Pitch + n.Heard }) {
		n := g[0]
		says := fmt.Sprintf("%s: %s sounds where %s is written", at(g), n.Heard, n.Pitch)
		if len(g) > 1 {
			says += fmt.Sprintf(", %d times", len(g))
		}
		out = append(out, finding.Finding{
			Stage: finding.Notes, Kind: "wrong-note", Bars: l.bars(g), Places: l.places(g),
			Weight: min(1, 0.85+0.05*float64(len(g))),
			Says:   says + ".",
			Do:     l.mendWrong(n),
		})
	}
	return out
}

// mendWrong says how to mend a wrong note: look at the key where the key is
// the likely cause.
func (l *listener) mendWrong(n *Note) string {
	w := l.written(n)
	key := l.pf.Part.Bars[w.Bar].Key
	if w.Accidental == "" && w.Written.Step != 0 && key.Alteration(w.Written.Step) != 0 {
		return fmt.Sprintf("The key signature makes it %s: name it aloud, then play from two notes before it, slowly, until the slide goes there by itself.", w.Written.Name())
	}
	if w.Accidental != "" {
		return fmt.Sprintf("Circle the %s before it, hear the pitch first, then play from two notes before it, slowly.", w.Accidental)
	}
	return "Sing the step into it first, then play from two notes before it, slowly, and only then in tempo."
}

func (l *listener) missedNotes(t *Take) []finding.Finding {
	var out []finding.Finding
	missed := func(n *Note) bool { return n.State == Missed }
	next := func(a, b *Note) bool { return b.index == a.index+1 }
	for _, g := range runs(t.Notes, missed, next) {
		says := fmt.Sprintf("%s: the %s does not sound.", at(g), g[0].Pitch)
		if len(g) > 1 {
			says = fmt.Sprintf("%s: %s in a row do not sound, from %s to %s.", at(g), plural(len(g), "note"), g[0].Pitch, g[len(g)-1].Pitch)
		}
		out = append(out, finding.Finding{
			Stage: finding.Notes, Kind: "missed-note", Bars: l.bars(g), Places: l.places(g), Weight: 0.95, Says: says,
			Do: "Set the air before the tongue, and play the note alone, then with the one before it, then the bar.",
		})
	}
	return out
}

func (l *listener) splitNotes(t *Take) []finding.Finding {
	split := func(n *Note) bool {
		return n.State == Played && n.Split && !l.written(n).Marks.Any(score.Trill|score.Tremolo)
	}
	var out []finding.Finding
	for _, g := range groups(t.Notes, split, func(n *Note) string { return n.Pitch }) {
		says := fmt.Sprintf("%s: the %s splits at its start or breaks.", at(g), g[0].Pitch)
		if len(g) > 1 {
			says = fmt.Sprintf("%s: %s splits or breaks, %d times.", at(g), g[0].Pitch, len(g))
		}
		out = append(out, finding.Finding{
			Stage: finding.Notes, Kind: "split-note", Bars: l.bars(g), Places: l.places(g), Weight: min(0.9, 0.6+0.1*float64(len(g))), Says: says,
			Do: "Buzz or sing the pitch, set the lips for it before the breath ends, and start it softly with steady air ten times.",
		})
	}
	return out
}

func (l *listener) extraNotes(t *Take) []finding.Finding {
	if len(t.Extra) == 0 {
		return nil
	}
	var where []*Note
	var names []string
	for _, e := range t.Extra {
		where = append(where, &Note{Bar: e.Bar, index: e.after})
		if !slices.Contains(names, e.Pitch) {
			names = append(names, e.Pitch)
		}
	}
	const most = 3 // pitches named
	if len(names) > most {
		names = append(names[:most], "others")
	}
	return []finding.Finding{{
		Stage: finding.Notes, Kind: "extra-note", Bars: l.bars(where), Places: l.places(where), Weight: min(0.9, 0.6+0.1*float64(len(where))),
		Says: fmt.Sprintf("%s: %s not on the page (%s).", at(where), plural(len(where), "note"), strings.Join(names, ", ")),
		Do:   "Keep the slide and the tongue together: stop the air on the note before, move, then play on.",
	}}
}

// intonation speaks for each pitch of the page that lies off the take's own
// tuning, by the median of its notes.
func (l *listener) intonation(t *Take) []finding.Finding {
	tuned := func(n *Note) bool {
		return n.State == Played && n.Offset-n.Onset >= shortToTune && !l.written(n).Grace
	}
	var out []finding.Finding
	for _, g := range groups(t.Notes, tuned, func(n *Note) string { return n.Pitch }) {
		off := medianOf(g, func(n *Note) float64 { return n.CentsOwn })
		if math.Abs(off) <= inTune+measured {
			out = append(out, l.lone(g, off)...)
			continue
		}
		out = append(out, l.tuneFinding(g, off))
	}
	return out
}

// lone speaks for single notes of a pitch that is in tune otherwise.
func (l *listener) lone(g []*Note, median float64) []finding.Finding {
	var out []finding.Finding
	for _, n := range g {
		if math.Abs(n.CentsOwn-median) > 2*inTune && math.Abs(n.CentsOwn) > inTune+measured {
			out = append(out, l.tuneFinding([]*Note{n}, n.CentsOwn))
		}
	}
	return out
}

func (l *listener) tuneFinding(g []*Note, off float64) finding.Finding {
	side, arm := "sharp", "further out"
	if off < 0 {
		side, arm = "flat", "further in"
	}
	says := fmt.Sprintf("%s: %s is %.0f cents %s of your own tuning", at(g), g[0].Pitch, math.Abs(off), side)
	if len(g) > 1 {
		says += fmt.Sprintf(" (middle of %d notes)", len(g))
	}
	if math.Abs(off) > outOfTune {
		says += ", which is out of tune"
	}
	return finding.Finding{
		Stage: finding.Notes, Kind: "intonation", Bars: l.bars(g), Places: l.places(g),
		Weight: weigh(0.3, 0.8, math.Abs(off), inTune+measured),
		Says:   says + ".",
		Do:     fmt.Sprintf("Hold it against a drone, let the arm go %s until the beats stop, and keep that place.", arm),
	}
}

func medianOf(g []*Note, value func(*Note) float64) float64 {
	v := make([]float64, len(g))
	for i, n := range g {
		v[i] = value(n)
	}
	slices.Sort(v)
	return (v[(len(v)-1)/2] + v[len(v)/2]) / 2
}

// wholeTuning speaks when the take as a whole lies off the reference.
func (l *listener) wholeTuning(t *Take) []finding.Finding {
	off := 1200 * math.Log2(t.TuningHz/l.a4)
	if math.Abs(off) <= inTune {
		return nil
	}
	side, slide := "above", "Pull the tuning slide out"
	if off < 0 {
		side, slide = "below", "Push the tuning slide in"
	}
	return []finding.Finding{{
		Stage: finding.Notes, Kind: "tuning", Bars: l.wholePart(), Weight: weigh(0.2, 0.6, math.Abs(off), inTune),
		Says: fmt.Sprintf("The whole take lies %.0f cents %s A = %g Hz: your A is %.1f Hz.", math.Abs(off), side, l.a4, t.TuningHz),
		Do:   slide + " a little and tune to a drone when the instrument is warm, right before the next take.",
	}}
}

// wholePart are the first and last printed bar.
func (l *listener) wholePart() []string {
	b := l.pf.Part.Bars
	return []string{b[0].Number, b[len(b)-1].Number}
}
