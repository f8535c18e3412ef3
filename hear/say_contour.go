package hear

import (
	"fmt"
	"math"

	"waterkey/finding"
	"waterkey/score"
)

// Limits of how a note's pitch may go (estimates: twice what a listener notices
// in a line, long enough to be heard as a movement, in notes long enough to
// have a middle).
const (
	scoopLeast  = 30.0 // cents
	scoopLong   = 0.06 // s
	sagLeast    = 20.0 // cents from the start to the end of the steady part
	sagLong     = 0.6  // s of note
	scoopNote   = 0.25 // s of note
	habitNotes  = 2    // once is an accident
	attackLeast = 80.0 // ms: slower than that a tongued note speaks late (estimate)
	attackTimes = 2.0  // of the take's own median
	glareLeast  = 35.0 // % over the take's own centroid (estimate: three times what listeners tell apart)
)

// scoops speaks for tongued notes that begin below or above their pitch and
// slide into it.
func (l *listener) scoops(t *Take) []finding.Finding {
	scooped := func(n *Note) bool {
		return n.State == Played && !l.written(n).SlurFrom && !l.arrives(n) && !l.written(n).Grace && n.Offset-n.Onset >= scoopNote &&
			n.Contour.ScoopTime >= scoopLong && exceeds(n.Contour.Scoop, scoopLeast, n.Unsure.Cents)
	}
	var out []finding.Finding
	for _, g := range groups(t.Notes, scooped, func(n *Note) string { return sign(n.Contour.Scoop) }) {
		if len(g) < habitNotes {
			continue
		}
		by := medianOf(g, func(n *Note) float64 { return math.Abs(n.Contour.Scoop) })
		out = append(out, finding.Finding{
			Stage: finding.Notes, Kind: "scoop", Bars: l.bars(g), Places: l.places(g), Weight: weigh(0.35, 0.7, by, scoopLeast),
			Says: fmt.Sprintf("%s: %s begin about %.0f cents %s their pitch and slide into it.", l.at(g), plural(len(g), "note"), by, belowOrAbove(g[0].Contour.Scoop)),
			Do: "Hear the pitch before the breath, " + l.tool("let the slide be in place before the tongue", "set the lips for it before the tongue") +
				", and start it with the air alone a few times.",
		})
	}
	return out
}

func sign(v float64) string {
	if v < 0 {
		return "-"
	}
	return "+"
}

func belowOrAbove(v float64) string {
	if v < 0 {
		return "below"
	}
	return "above"
}

// sagging speaks for long notes whose pitch moves while they are held.
func (l *listener) sagging(t *Take) []finding.Finding {
	moved := func(n *Note) bool {
		return n.State == Played && !l.written(n).GlissTo && n.Offset-n.Onset >= sagLong && exceeds(n.Contour.Drift, sagLeast, n.Unsure.Cents)
	}
	var out []finding.Finding
	for _, g := range groups(t.Notes, moved, func(n *Note) string { return sign(n.Contour.Drift) }) {
		if len(g) < habitNotes {
			continue
		}
		by := medianOf(g, func(n *Note) float64 { return math.Abs(n.Contour.Drift) })
		way, do := "rise", "Keep the corners of the mouth where they are when more air comes."
		if g[0].Contour.Drift < 0 {
			way, do = "sink", "Keep the air moving to the last moment of the note, and stop while there is some left."
		}
		out = append(out, finding.Finding{
			Stage: finding.Notes, Kind: "unsteady-pitch", Bars: l.bars(g), Places: l.places(g), Weight: weigh(0.35, 0.7, by, sagLeast),
			Says: fmt.Sprintf("%s: %s %s by about %.0f cents while they are held.", l.at(g), plural(len(g), "long note"), way, by), Do: do,
		})
	}
	return out
}

// attacks speaks for tongued notes that come up slowly.
func (l *listener) attacks(t *Take) []finding.Finding {
	timed := func(n *Note) bool {
		return n.State == Played && n.Attack > 0 && !l.written(n).SlurFrom && !l.written(n).Grace && !n.Split
	}
	var all []*Note
	for i := range t.Notes {
		if timed(&t.Notes[i]) {
			all = append(all, &t.Notes[i])
		}
	}
	if len(all) == 0 {
		return nil
	}
	limit := max(attackLeast, attackTimes*medianOf(all, func(n *Note) float64 { return n.Attack }))
	slow := func(n *Note) bool { return timed(n) && exceeds(n.Attack, limit, n.Unsure.Attack) }
	var out []finding.Finding
	for _, g := range groups(t.Notes, slow, func(*Note) string { return "" }) {
		if len(g) < habitNotes {
			continue
		}
		out = append(out, finding.Finding{
			Stage: finding.Articulation, Kind: "slow-attack", Bars: l.bars(g), Places: l.places(g), Weight: min(0.7, 0.35+0.05*float64(len(g))),
			Says: fmt.Sprintf("%s: %s come up slowly, in %.0f ms; the rest of the take speaks in %.0f.", l.at(g), plural(len(g), "note"),
				medianOf(g, func(n *Note) float64 { return n.Attack }), medianOf(all, func(n *Note) float64 { return n.Attack })),
			Do: "Let the air be there before the tongue releases it: breathe in and out without a hold, and say the syllable on the way.",
		})
	}
	return out
}

// glaring speaks for notes much brighter than the take is at their pitch and
// level, where no accent asks for it.
func (l *listener) glaring(t *Take) []finding.Finding {
	bright := func(n *Note) bool {
		w := l.written(n)
		return n.State == Played && !w.GlissTo && w.Attack == "" && !w.Marks.Any(score.Accent|score.Marcato|score.Muted) &&
			n.Brighter > 0 && exceeds(n.Brighter, glareLeast, n.Unsure.Brighter)
	}
	var out []finding.Finding
	for _, g := range groups(t.Notes, bright, func(n *Note) string { return n.Pitch }) {
		if len(g) < habitNotes {
			continue
		}
		out = append(out, finding.Finding{
			Stage: finding.Dynamics, Kind: "bright", Bars: l.bars(g), Places: l.places(g), Weight: 0.35,
			Says: fmt.Sprintf("%s: %s stands out bright, %.0f %% over the rest of the take at that level (%s).", l.at(g), g[0].Pitch,
				medianOf(g, func(n *Note) float64 { return n.Brighter }), plural(len(g), "time")),
			Do: "Keep the mouth open and the air round on it, and match it to the note before.",
		})
	}
	return out
}
