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
// cents for musicians).
const (
	inTune      = 10.0
	measured    = 3.0 // cents: spoken of no closer than this, however sure the reading
	outOfTune   = 30.0
	shortToTune = 0.12 // s: a shorter note is no pitch to argue about (estimate)
)

func (l *listener) wrongNotes(t *Take) []finding.Finding {
	var out []finding.Finding
	wrong := func(n *Note) bool { return n.State == Other }
	for _, g := range groups(t.Notes, wrong, func(n *Note) string { return n.Pitch + n.Heard }) {
		n := g[0]
		says := fmt.Sprintf("%s: %s sounds where %s is written", l.at(g), n.Heard, n.Pitch)
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
		return fmt.Sprintf("The key signature makes it %s: name it aloud, then play from two notes before it, slowly, until %s by itself.",
			w.Written.Name(), l.tool("the slide goes there", "the hand does it"))
	}
	if w.Accidental != "" {
		return fmt.Sprintf("Circle the %s before it, hear the pitch first, then play from two notes before it, slowly.", w.Accidental)
	}
	return "Sing the step into it first, then play from two notes before it, slowly, and only then in tempo."
}

func (l *listener) missedNotes(t *Take) []finding.Finding {
	var out []finding.Finding
	missed := func(n *Note) bool { return n.State == Missed && !l.inGap(n.index) }
	next := func(a, b *Note) bool { return b.index == a.index+1 }
	for _, g := range runs(t.Notes, missed, next) {
		says := fmt.Sprintf("%s: the %s does not sound.", l.at(g), g[0].Pitch)
		if len(g) > 1 {
			says = fmt.Sprintf("%s: %s in a row do not sound, from %s to %s.", l.at(g), plural(len(g), "note"), g[0].Pitch, g[len(g)-1].Pitch)
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
		says := fmt.Sprintf("%s: the %s splits at its start or breaks.", l.at(g), g[0].Pitch)
		if len(g) > 1 {
			says = fmt.Sprintf("%s: %s splits or breaks, %d times.", l.at(g), g[0].Pitch, len(g))
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
		Says: fmt.Sprintf("%s: %s not on the page (%s).", l.at(where), plural(len(where), "note"), strings.Join(names, ", ")),
		Do:   l.tool("Keep the slide and the tongue together", "Keep the fingers and the tongue together") + ": stop the air on the note before, move, then play on.",
	}}
}

func medianOf(g []*Note, value func(*Note) float64) float64 {
	v := make([]float64, len(g))
	for i, n := range g {
		v[i] = value(n)
	}
	return middle(v)
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
