package hear

import (
	"fmt"
	"math"
	"slices"

	"waterkey/finding"
	"waterkey/hear/pitch"
	"waterkey/score"
)

// Limits of level in dB. Adjacent markings need 3 to 5 dB to be told apart
// (published for winds by hearsay only, so taken as an estimate); a take is
// spoken of only where it does not even go the right way.
const (
	heardStep   = 1.0 // dB: the smallest change of level a listener notices (common practice)
	stepAtLeast = 3.0 // dB a marking
	contrastMin = 1.0 // markings that differ by less are not compared
	sectionMin  = 2   // notes on each side

	// hairpinLeast is the change, in markings, that a hairpin must ask for
	// between the places where it is measured.
	hairpinLeast = 0.6
)

// section is a run of notes under one marking.
type section struct {
	step   float64 // score.LevelStep
	notes  []*Note
	level  float64 // dBFS, median
	unsure float64 // standard uncertainty of level in dB
}

// contrasts speaks where neighboring passages under different markings do not
// differ the way the page asks. A passage that is wrong against both sides is
// spoken of once.
func (l *listener) contrasts(t *Take) []finding.Finding {
	var out []finding.Finding
	ss := l.sections(t)
	for i := 1; i < len(ss); i++ {
		want, got, bad := flat(ss[i-1], ss[i])
		if !bad {
			continue
		}
		if i+1 < len(ss) {
			if next, after, bad := flat(ss[i], ss[i+1]); bad && (next > 0) != (want > 0) {
				out = append(out, l.lostPassage(ss[i], want, min(got, after)))
				i++
				continue
			}
		}
		out = append(out, l.lostStep(ss[i-1], ss[i], want, got))
	}
	return out
}

// flat compares two neighboring sections: the markings from a to b, the level
// that follows in dB, positive in the right direction, and whether it falls
// short.
func flat(a, b section) (want, got float64, bad bool) {
	want = b.step - a.step
	if math.Abs(want) < contrastMin || len(a.notes) < sectionMin || len(b.notes) < sectionMin {
		return want, 0, false
	}
	got = (b.level - a.level) * math.Copysign(1, want)
	// One marking's difference is easily hidden by register; it has to go the
	// wrong way. Two or more have to be heard.
	least := -heardStep
	if math.Abs(want) > 1.5*contrastMin {
		least = heardStep
	}
	unsure := math.Hypot(a.unsure, b.unsure)
	return want, got, got < least && stepAtLeast*math.Abs(want)-got > coverage*unsure
}

// louderOrSofter is the direction of a change and how to play it.
func louderOrSofter(want float64) (word, do string) {
	if want > 0 {
		return "louder", "Let the sound open with more air, not more tongue: aim for a clear step of 3 to 5 dB."
	}
	return "softer", "Keep the air fast and make the stream thinner: aim for a clear step of 3 to 5 dB."
}

// lostStep is the finding for one change of marking.
func (l *listener) lostStep(a, b section, want, got float64) finding.Finding {
	word, do := louderOrSofter(want)
	how := fmt.Sprintf("it differs by %.1f dB only", math.Abs(got))
	if got < -heardStep/2 {
		how = fmt.Sprintf("it is %.1f dB the other way", -got)
	}
	return finding.Finding{
		Stage: finding.Dynamics, Kind: "level", Bars: []string{a.notes[len(a.notes)-1].Bar, b.notes[len(b.notes)-1].Bar},
		Weight: weigh(0.4, 0.9, stepAtLeast*math.Abs(want)-got, stepAtLeast),
		Says:   fmt.Sprintf("From bar %s the page asks for %s than before, and %s.", b.notes[0].Bar, word, how),
		Do:     do,
	}
}

// lostPassage is the finding for a passage that stands out on neither side.
func (l *listener) lostPassage(s section, want, got float64) finding.Finding {
	word, do := louderOrSofter(want)
	how := "it does not stand out"
	if got < -heardStep/2 {
		how = fmt.Sprintf("it is up to %.1f dB the other way", -got)
	}
	return finding.Finding{
		Stage: finding.Dynamics, Kind: "level", Bars: []string{s.notes[0].Bar, s.notes[len(s.notes)-1].Bar},
		Weight: weigh(0.4, 0.9, stepAtLeast*math.Abs(want)-got, stepAtLeast),
		Says:   fmt.Sprintf("%s: the page asks for %s than what stands around it, and %s.", l.at(s.notes), word, how),
		Do:     do,
	}
}

// sections splits the played notes by the marking in force. Notes under
// hairpins and with accents of their own are left out.
func (l *listener) sections(t *Take) []section {
	var out []section
	for i := range t.Notes {
		n := &t.Notes[i]
		w := l.written(n)
		if n.State != Played || w.Grace || w.Attack != "" || w.Marks.Any(score.Accent|score.Marcato) || l.underHairpin(w) {
			continue
		}
		step := l.pf.Part.Level(w.Onset)
		if k := len(out) - 1; k < 0 || math.Abs(out[k].step-step) > 1e-6 {
			out = append(out, section{step: step})
		}
		s := &out[len(out)-1]
		s.notes = append(s.notes, n)
	}
	for i := range out {
		out[i].level = medianOf(out[i].notes, func(n *Note) float64 { return n.LevelDB })
		out[i].unsure = doubtOf(out[i].notes, out[i].level, func(n *Note) float64 { return n.LevelDB })
	}
	return out
}

func (l *listener) underHairpin(w *score.Note) bool {
	return slices.ContainsFunc(l.pf.Part.Wedges, func(h score.Wedge) bool {
		return h.From.Less(w.End()) && w.Onset.Less(h.To)
	})
}

// hairpins speaks for hairpins that stay flat or go the wrong way.
func (l *listener) hairpins(t *Take) []finding.Finding {
	var out []finding.Finding
	for _, h := range t.Hairpins {
		change, word, do := h.Change, "crescendo", "Start softer than you think, and let each note be a little fuller than the one before."
		if !h.Grow {
			change, word, do = -change, "diminuendo", "Start with enough, and give a little less air on each note without letting the pitch sink."
		}
		if change >= heardStep || stepAtLeast-change <= coverage*h.Unsure {
			continue
		}
		out = append(out, finding.Finding{
			Stage: finding.Dynamics, Kind: "hairpin", Bars: h.Bars, Weight: weigh(0.4, 0.8, stepAtLeast-change, stepAtLeast-heardStep),
			Says: fmt.Sprintf("%s: the %s stays flat (%+.1f dB from its start to its end, %+.1f dB a bar).", l.at(h.notes), word, h.Change, h.Slope),
			Do:   do,
		})
	}
	return out
}

// acrossHairpin measures the level at a hairpin's start and end, in dBFS, the
// first time it is played. ok is false when its ends were not heard or it is
// too short to judge.
func (l *listener) acrossHairpin(t *Take, h score.Wedge) (from, to float64, notes []*Note, ok bool) {
	const shortest = 0.3 // s (estimate)
	for i := range t.Notes {
		n := &t.Notes[i]
		if w := l.written(n); n.Pass == 0 && !w.Grace && !w.Onset.Less(h.From) && w.Onset.Less(h.To) {
			if n.State != Played || w.Attack != "" || w.Marks.Any(score.Accent|score.Marcato) {
				return 0, 0, nil, false
			}
			notes = append(notes, n)
		}
	}
	if len(notes) == 0 {
		return 0, 0, nil, false
	}
	first, last := notes[0], notes[len(notes)-1]
	if last.Offset-first.Onset < shortest {
		return 0, 0, nil, false
	}
	if len(notes) > 1 {
		asked := l.markingAt(last, 1, 2) - l.markingAt(first, 1, 2)
		return first.LevelDB, last.LevelDB, notes, math.Abs(asked) >= hairpinLeast
	}
	if math.Abs(l.markingAt(first, 5, 6)-l.markingAt(first, 1, 6)) < hairpinLeast {
		return 0, 0, nil, false
	}
	a, b := l.steadyFrames(first.Measures)
	end := min(b, l.frameAt(first, h.To))
	third := (end - a) / 3
	if float64(third)*pitch.Hop < shortest/3 {
		return 0, 0, nil, false
	}
	return mean(l.env[a : a+third]), mean(l.env[end-third : end]), notes, true
}

// markingAt is the level that the page asks for at num/den of a note's sounding length, in
// the steps of score.LevelStep.
func (l *listener) markingAt(n *Note, num, den int64) float64 {
	const fine = 1000
	w := l.written(n)
	sounded := w.Duration.Scale(int64(fine*min(w.SoundedShare(), 1)), fine)
	return l.pf.Part.Level(w.Onset.Add(sounded.Scale(num, den)))
}

// frameAt is the frame of a moment of the written page inside note n.
func (l *listener) frameAt(n *Note, at score.Time) int {
	w := l.written(n)
	if w.Duration.Sign() <= 0 {
		return len(l.frames)
	}
	share := at.Sub(w.Onset).Over(w.Duration)
	value := (n.Offset - n.Onset) / n.LengthRatio
	return int((n.Onset + share*value) / pitch.Hop)
}

func mean(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x
	}
	return sum / float64(len(v))
}
