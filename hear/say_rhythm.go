package hear

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"waterkey/finding"
	"waterkey/score"
)

// Limits of time.
const (
	// lateLimit is where an onset counts as off the beat, in ms (published: the
	// tolerance of onset evaluation, mir_eval and MIREX; players in ensembles
	// scatter by 30 to 50 ms, Rasch 1979).
	lateLimit = 50.0

	// lateShare is the same for slow notes, as a share of the time since the
	// note before (published: a displaced tone is noticed from 2.5 % of that on,
	// Friberg and Sundberg, JASA 98, 1995; doubled, since the beat itself is
	// known from few notes only).
	lateShare = 0.05

	// tempoLimit is a change of tempo that is heard, as a share (published:
	// Drake and Botte, Perception and Psychophysics 54, 1993: 3 % over several
	// beats).
	tempoLimit = 0.03

	// driftLimit and rushLimit are the shares that are spoken of: twice the
	// audible one, since no player is a machine (estimate).
	driftLimit, rushLimit = 2 * tempoLimit, 2 * tempoLimit
)

// unevenBeats speaks for notes off the take's own beat.
func (l *listener) unevenBeats(t *Take) []finding.Finding {
	var out []finding.Finding
	off := func(n *Note) bool {
		return n.Measures != nil && !l.written(n).Grace && !l.arrives(n) &&
			exceeds(n.Late, max(lateLimit, 1000*lateShare*l.sinceLast(t, n)), n.Unsure.Late)
	}
	together := func(a, b *Note) bool {
		return (a.Late > 0) == (b.Late > 0) && l.written(b).Bar-l.written(a).Bar <= 1 && b.index > a.index
	}
	for _, g := range runs(t.Notes, off, together) {
		late := medianOf(g, func(n *Note) float64 { return n.Late })
		kind, do := "late", "Breathe and set earlier: subdivide aloud through the note before, and be there when the beat comes."
		if late < 0 {
			kind, do = "early", "Count the subdivision through to the end of the note before, and wait for the beat."
		}
		says := fmt.Sprintf("%s: the %s comes %.0f ms %s.", l.at(g), g[0].Pitch, math.Abs(late), kind)
		if len(g) > 1 {
			says = fmt.Sprintf("%s: %s come %s, by %.0f ms in the middle.", l.at(g), plural(len(g), "note"), kind, math.Abs(late))
		}
		out = append(out, finding.Finding{
			Stage: finding.Rhythm, Kind: kind, Bars: l.bars(g), Places: l.places(g), Weight: weigh(0.4, 0.9, math.Abs(late), lateLimit), Says: says, Do: do,
		})
	}
	return out
}

// arrives says whether n is the end of a glissando: its moment is not known well
// enough to speak of.
func (l *listener) arrives(n *Note) bool { return n.index > 0 && l.pf.Written(n.index-1).GlissTo }

// sinceLast is the time from the onset before n to its own, in seconds; 0 when
// the note before did not sound.
func (l *listener) sinceLast(t *Take, n *Note) float64 {
	if n.index == 0 || t.Notes[n.index-1].Measures == nil {
		return 0
	}
	return n.Onset - t.Notes[n.index-1].Onset
}

// rests speaks for rests that were cut short or drawn out: where the take's
// beat breaks.
func (l *listener) rests(t *Take) []finding.Finding {
	var out []finding.Finding
	for _, b := range l.clock.Breaks() {
		i := slices.IndexFunc(l.pf.Notes, func(n score.PlayedNote) bool { return float64(n.Start) == b.Page })
		if i < 1 {
			continue
		}
		before, n := &t.Notes[i-1], &t.Notes[i]
		rest := l.pf.Notes[i].At.Sub(l.pf.Notes[i-1].At.Add(l.pf.Notes[i-1].Duration))
		if rest.Less(restLeast) || l.held(l.pf.Notes[i-1].At, l.pf.Notes[i].At) {
			continue
		}
		kind, how := "short-rest", "too soon"
		if b.Jump > 0 {
			kind, how = "long-rest", "too late"
		}
		out = append(out, finding.Finding{
			Stage: finding.Rhythm, Kind: kind, Bars: []string{before.Bar, n.Bar},
			Weight: weigh(0.5, 0.95, math.Abs(b.Jump), 2*lateLimit/1000),
			Says:   fmt.Sprintf("After %s, bar %s: the %s enters %.2f s %s.", l.restName(rest, i), n.Bar, n.Pitch, math.Abs(b.Jump), how),
			Do:     "Count every beat of the rest, breathe in the rhythm on the last one, and enter on time.",
		})
	}
	return out
}

// restName is "the quarter rest" or "the rest of 3 bars".
func (l *listener) restName(rest score.Time, i int) string {
	bar := l.pf.Part.Bars[l.written(&Note{index: i}).Bar].Meter.Length()
	if bar.Sign() > 0 && bar.Less(rest) {
		return fmt.Sprintf("the rest of %.2g bars", rest.Over(bar))
	}
	if name := l.Terms.Value(rest); !strings.Contains(name, "of a") && !strings.Contains(name, "/") {
		return "the " + name + " rest"
	}
	return "the rest"
}

// held says whether a fermata lies between two moments: its length is free.
func (l *listener) held(from, to score.Time) bool {
	for i, n := range l.pf.Notes {
		if l.pf.Written(i).Marks.Has(score.Fermata) && !n.At.Less(from) && n.At.Less(to) {
			return true
		}
	}
	for _, b := range l.pf.Bars {
		bar := l.pf.Part.Bars[b.Bar]
		if !b.At.Less(to) || b.At.Add(bar.Length).Less(from) {
			continue
		}
		for _, r := range l.pf.Part.Rests {
			if r.Bar == b.Bar && r.Fermata {
				return true
			}
		}
	}
	return false
}

// rushes speaks for runs of short notes that go faster than the take.
func (l *listener) rushes(t *Take) []finding.Finding {
	const (
		least     = 4     // notes
		leastGain = 0.060 // s over the run, more than onsets are uncertain (estimate)
	)
	short := func(n *Note) bool {
		d := l.pf.Notes[n.index].Duration
		return n.Measures != nil && d.Sign() > 0 && !score.Frac(1, 8).Less(d)
	}
	next := func(a, b *Note) bool {
		return b.index == a.index+1 && l.pf.Notes[a.index].Duration == l.pf.Notes[b.index].Duration &&
			l.pf.Notes[a.index].At.Add(l.pf.Notes[a.index].Duration) == l.pf.Notes[b.index].At
	}
	var out []finding.Finding
	for _, g := range runs(t.Notes, short, next) {
		if len(g) < least || l.fadesWithin(g) {
			continue
		}
		a, b := g[0], g[len(g)-1]
		expected := float64(l.pf.Notes[b.index].Start-l.pf.Notes[a.index].Start) * l.bpm / t.TempoBPM
		gain := expected - (b.Onset - a.Onset)
		if gain < max(leastGain, rushLimit*expected) {
			continue
		}
		out = append(out, finding.Finding{
			Stage: finding.Rhythm, Kind: "rushed", Bars: l.bars(g), Places: l.places(g), Weight: weigh(0.5, 0.9, gain/expected, rushLimit),
			Says: fmt.Sprintf("%s: the %s run %.0f %% faster than the rest of the take.", l.at(g), plural(len(g), "short note"), 100*gain/expected),
			Do:   "Play the run with a click, grouped from the second note to the first of the next beat, and give each its full length.",
		})
	}
	return out
}

// fadeWords mark passages whose tempo is meant to change, and hand back.
var fadeWords = []string{"rit", "rall", "accel", "string", "calando", "morendo", "rubato", "ad lib", "a piacere", "tempo"}

// firstFade is the moment of the page from which the tempo may move.
func (l *listener) firstFade() (score.Time, bool) {
	var found []score.Time
	fades := func(text string) bool {
		text = strings.ToLower(text)
		return slices.ContainsFunc(fadeWords, func(w string) bool { return strings.HasPrefix(text, w) || strings.Contains(text, " "+w) })
	}
	for _, w := range l.pf.Part.Words {
		if fades(w.Text) {
			found = append(found, w.At)
		}
	}
	for _, m := range l.pf.Part.Tempos {
		if m.BPM == 0 && fades(m.Text) {
			found = append(found, m.At)
		}
	}
	if len(found) == 0 {
		return score.Time{}, false
	}
	return slices.MinFunc(found, score.Time.Cmp), true
}

func (l *listener) fadesWithin(g []*Note) bool {
	from, ok := l.firstFade()
	return ok && !l.written(g[len(g)-1]).Onset.Less(from)
}

// drift speaks when the take ends in another tempo than it began in, as far as
// the page asks for one tempo.
func (l *listener) drift(t *Take) []finding.Finding {
	const least = 16 // notes: fewer give no tempo at either end
	var g []*Note
	for i := range t.Notes {
		if n := &t.Notes[i]; n.State == Played && !l.fadesWithin([]*Note{n}) {
			g = append(g, n)
		}
	}
	if len(g) < least {
		return nil
	}
	quarter := len(g) / 4
	tempo := func(n *Note) float64 { return n.Tempo }
	a, b := medianOf(g[:quarter], tempo), medianOf(g[len(g)-quarter:], tempo)
	change := math.Abs(b/a - 1)
	if change < driftLimit {
		return nil
	}
	verb := "slows"
	if b > a {
		verb = "speeds up"
	}
	return []finding.Finding{{
		Stage: finding.Rhythm, Kind: "tempo-drift", Bars: l.bars(g), Places: l.places(g), Weight: weigh(0.4, 0.9, change, driftLimit),
		Says: fmt.Sprintf("From bar %s to bar %s the take %s from %.0f to %.0f beats a minute (%.0f %%).", g[0].Bar, g[len(g)-1].Bar, verb, a, b, 100*change),
		Do:   "Record it with a click in one ear, then check without: beat the first and the last line back to back.",
	}}
}

// pace speaks when the take's tempo is not the one the page gives as a number, or, when
// it was counted in at another one, not that.
func (l *listener) pace(t *Take) []finding.Finding {
	asked, unit, printed := l.pf.Part.OpeningTempo()
	who := "the page asks for"
	if math.Abs(l.bpm/asked-1) > tempoLimit {
		asked, who = l.bpm, "it was counted in at"
	}
	off := t.TempoBPM/asked - 1
	if !printed || math.Abs(off) <= tempoLimit {
		return nil
	}
	way := "slower"
	if off > 0 {
		way = "faster"
	}
	return []finding.Finding{{
		Stage: finding.Rhythm, Kind: "tempo", Bars: l.wholePart(), Weight: weigh(0.2, 0.6, math.Abs(off), tempoLimit),
		Says: fmt.Sprintf("The take goes at %s = %.0f; %s %.0f, so it is %.0f %% %s.", l.Terms.Value(unit), t.TempoBPM, who, asked, 100*math.Abs(off), way),
		Do:   "Settle the tempo before you lift the instrument: sing the hardest bar in your head and take its speed.",
	}}
}
