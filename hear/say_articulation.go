package hear

import (
	"fmt"
	"math"

	"waterkey/finding"
	"waterkey/hear/pitch"
	"waterkey/score"
)

// Limits of sounded length. Handbooks give shares of the written value, and
// players differ, so only what falls into the next kind of mark is spoken of
// (estimates).
const (
	lengthSlack = 0.22  // of the written value
	lengthLeast = 0.060 // s: a room's echo lengthens notes by less
	plainShort  = 0.35  // an unmarked note may be this much shorter than its share
	slurDip     = 12.0  // dB: a soft tongue inside a slur stays below
	slurGap     = 0.06  // s
	glideShare  = 0.15  // of a glissando's time has to lie between its two pitches
	glideLeast  = 150   // cents: smaller ones cannot be told from a slur
	farFromEnds = 40.0  // cents that count as between
)

// articulations name the marks whose lengths are judged.
var articulations = []struct {
	name string
	mark score.Mark
}{
	{"staccatissimo", score.Staccatissimo},
	{"portato", score.Staccato | score.Tenuto},
	{"staccato", score.Staccato},
	{"tenuto", score.Tenuto},
}

// markName is the mark that decides a note's length, "" for none.
func markName(w *score.Note) string {
	for _, a := range articulations {
		if w.Marks.Has(a.mark) {
			return a.name
		}
	}
	return ""
}

// lengths speaks for notes held much longer or shorter than their mark says.
func (l *listener) lengths(t *Take) []finding.Finding {
	verdict := func(n *Note) string {
		w := l.written(n)
		if n.State != Played || w.Grace || w.SlurTo || w.GlissTo || w.Marks.Any(score.Fermata|score.BreathAfter|score.Trill) || n.Split {
			return ""
		}
		return l.lengthVerdict(n)
	}
	var out []finding.Finding
	for _, g := range groups(t.Notes, func(n *Note) bool { return verdict(n) != "" },
		func(n *Note) string { return verdict(n) + markName(l.written(n)) }) {
		out = append(out, l.lengthFinding(g, verdict(g[0])))
	}
	return out
}

// lengthVerdict is "too-long", "too-short" or "".
func (l *listener) lengthVerdict(n *Note) string {
	w := l.written(n)
	share, mark := w.SoundedShare(), markName(w)
	value := (n.Offset - n.Onset) / n.LengthRatio // s
	over := n.LengthRatio - share
	slack := max(lengthSlack, lengthLeast/value, coverage*n.Unsure.LengthRatio)
	if over < 0 && l.way(n).BreathAfter {
		return "" // as it was planned
	}
	switch {
	case over > slack && share < 0.8:
		return "too-long"
	case mark == "" && over < -max(plainShort, lengthLeast/value, coverage*n.Unsure.LengthRatio):
		return "too-short"
	case mark == "tenuto" && over < -slack:
		return "too-short"
	}
	return ""
}

func (l *listener) lengthFinding(g []*Note, kind string) finding.Finding {
	w := l.written(g[0])
	mark := markName(w)
	if mark == "" {
		mark = "plain"
	}
	ratio := medianOf(g, func(n *Note) float64 { return n.LengthRatio })
	do := "Let each note bloom to its end: keep the air moving and let the next tongue stroke end it."
	if kind == "too-long" {
		do = "End the note with the air, not the tongue, and hear the silence before the next one; try it at half tempo first."
	}
	return finding.Finding{
		Stage: finding.Articulation, Kind: kind, Bars: l.bars(g), Places: l.places(g),
		Weight: weigh(0.4, 0.9, math.Abs(ratio-w.SoundedShare()), lengthSlack),
		Says: fmt.Sprintf("%s: %s for %.0f %% of the written value; about %.0f %% is usual.",
			l.at(g), sounding(len(g), mark), 100*ratio, 100*w.SoundedShare()),
		Do: do,
	}
}

func sounding(n int, mark string) string {
	if n == 1 {
		return "the " + mark + " note sounds"
	}
	return fmt.Sprintf("%d %s notes sound", n, mark)
}

// slurs speaks for slurs that were tongued hard or let go.
func (l *listener) slurs(t *Take) []finding.Finding {
	broken := func(n *Note) bool {
		i := n.index
		if i == 0 || n.State != Played || t.Notes[i-1].State != Played || l.pf.Notes[i-1].Note+1 != l.pf.Notes[i].Note {
			return false
		}
		before, w := l.pf.Written(i-1), l.written(n)
		if !w.SlurFrom || !l.unbroken(&t.Notes[i-1]) || before.Pitch.MIDI() == w.Pitch.MIDI() || before.Grace || w.Grace {
			return false
		}
		s := l.sounds[l.al.Matches[i].First]
		return s.Rise >= slurDip && l.dips(n.Onset) || n.Onset-t.Notes[i-1].Offset >= slurGap
	}
	next := func(a, b *Note) bool { return l.written(b).Bar-l.written(a).Bar <= 1 && b.index > a.index }
	var out []finding.Finding
	for _, g := range runs(t.Notes, broken, next) {
		out = append(out, finding.Finding{
			Stage: finding.Articulation, Kind: "slur-broken", Bars: l.bars(g), Places: l.places(g), Weight: min(0.85, 0.5+0.1*float64(len(g))),
			Says: fmt.Sprintf("%s: the slur breaks before %s (%s).", l.at(g), g[0].Pitch, plural(len(g), "break")),
			Do: "Keep one stream of air through the slur, " + l.tool("move the slide late and fast, and touch with a soft 'loo' only where the slide needs it.",
				"press the valves firmly and late, and let the lips turn before the tongue is tempted."),
		})
	}
	return out
}

// dips says whether the level falls by slurDip just before a moment, against
// what stood before, and not only rises to a louder note.
func (l *listener) dips(at float64) bool {
	const back, near = 30, 6 // frames before the moment
	i := min(int(at/pitch.Hop), len(l.env)-1)
	before, low := -math.MaxFloat64, math.MaxFloat64
	for k := max(i-back, 0); k <= min(i+near, len(l.env)-1); k++ {
		if k < i-near {
			before = max(before, l.env[k])
		} else {
			low = min(low, l.env[k])
		}
	}
	return before-low >= slurDip
}

// glissandi speaks for a glissando whose pitch holds and then jumps.
func (l *listener) glissandi(t *Take) []finding.Finding {
	jumped := func(n *Note) bool {
		i := n.index
		if !l.written(n).GlissTo || l.way(n).Stepped || n.State != Played || i+1 >= len(t.Notes) || t.Notes[i+1].State != Played {
			return false
		}
		from := pitch.Cents(l.written(n).Pitch.Hz(l.a4)) + l.al.Tuning
		to := pitch.Cents(l.pf.Written(i+1).Pitch.Hz(l.a4)) + l.al.Tuning
		return math.Abs(to-from) >= glideLeast && l.between(n.Onset, t.Notes[i+1].Onset, from, to) < glideShare
	}
	var out []finding.Finding
	for _, g := range groups(t.Notes, jumped, func(*Note) string { return "" }) {
		out = append(out, finding.Finding{
			Stage: finding.Articulation, Kind: "glissando", Bars: l.bars(g), Places: l.places(g), Weight: 0.6,
			Says: fmt.Sprintf("%s: the glissando from %s is not heard; the pitch holds and then jumps.", l.at(g), g[0].Pitch),
			Do: l.tool("Stay on one partial, start the arm with the note and let it travel evenly for its whole length.",
				"Half-press the valves and bend the lips through the space between, evenly for its whole length."),
		})
	}
	return out
}

// between is the share of the frames from a to b seconds whose pitch lies
// between two pitches.
func (l *listener) between(a, b, from, to float64) float64 {
	low, high := min(from, to)+farFromEnds, max(from, to)-farFromEnds
	in, all := 0, 0
	for i := int(a / pitch.Hop); i < min(int(b/pitch.Hop), len(l.frames)); i++ {
		all++
		if c := l.frames[i].Cents(); c > low && c < high {
			in++
		}
	}
	if all == 0 {
		return 1
	}
	return float64(in) / float64(all)
}
