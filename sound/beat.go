package sound

import "waterkey/score"

// place is a beat of the performance.
type place struct {
	at   score.Time // from the start of the bar as the meter has it
	down bool       // beat one
}

// BeatMoment is one felt beat of a clip.
type BeatMoment struct {
	At   score.Seconds // from the start of the clip
	Down bool          // beat one
}

// Beats lists the felt beats of the clip that o makes of a performance, those of
// the count-in first, whether they tick or not.
func Beats(pf *score.Performance, o Options) []BeatMoment {
	o = o.filled()
	o.Click = true
	var out []BeatMoment
	for _, t := range ticks(pf, o) {
		out = append(out, BeatMoment{t.Start, t.Attack == Downbeat})
	}
	return out
}

// beats lists the felt beats of a full bar at index i of the part; none in free
// time.
func beats(p *score.Part, i int) []place {
	unit, n := p.Felt(i)
	var out []place
	for k := range n {
		out = append(out, place{unit.Scale(int64(k), 1), k == 0})
	}
	return out
}

// missing is how much of a full bar comes before bar i: that of a pickup or of
// the second half of a divided bar, else 0.
func missing(p *score.Part, i int) score.Time {
	bar := p.Bars[i]
	if full := bar.Meter.Length(); bar.Implicit && bar.Length.Less(full) {
		return full.Sub(bar.Length)
	}
	return score.Time{}
}

// ticks lists the ticks of count-in and click.
func ticks(pf *score.Performance, o Options) []Tone {
	shift := Offset(pf, o)
	out := countIn(pf, o)
	if !o.Click {
		return out
	}
	for _, b := range pf.Bars {
		for _, beat := range barBeats(pf.Part, b.Bar) {
			out = append(out, tick(shift+pf.Seconds(b.At.Add(beat.at)), beat.down))
		}
	}
	return out
}

// barBeats lists the beats that fall into a bar as it is written, short or
// long, from the start of the bar.
func barBeats(p *score.Part, i int) []place {
	full := beats(p, i)
	if len(full) == 0 {
		return nil
	}
	bar, before := p.Bars[i], missing(p, i)
	var out []place
	for turn := (score.Time{}); turn.Less(before.Add(bar.Length)); turn = turn.Add(bar.Meter.Length()) {
		for _, b := range full {
			at := turn.Add(b.at).Sub(before)
			if at.Sign() >= 0 && at.Less(bar.Length) {
				out = append(out, place{at, b.down})
			}
		}
	}
	return out
}

// countInTime is the length of a count-in on the page: whole bars, and the part
// of a bar that leads into a pickup.
func countInTime(p *score.Part, first, bars int) score.Time {
	if bars == 0 || len(beats(p, first)) == 0 {
		return score.Time{}
	}
	return p.Bars[first].Meter.Length().Scale(int64(bars), 1).Add(missing(p, first))
}

// countInLength is the length of a count-in at the opening tempo; 0 in free
// time, which has no beat to count.
func countInLength(pf *score.Performance, bars int) score.Seconds {
	if len(pf.Bars) == 0 {
		return 0
	}
	return opening(pf, countInTime(pf.Part, pf.Bars[0].Bar, bars))
}

func countIn(pf *score.Performance, o Options) []Tone {
	if len(pf.Bars) == 0 {
		return nil
	}
	first := pf.Bars[0].Bar
	end := countInTime(pf.Part, first, o.CountIn)
	var out []Tone
	for turn := (score.Time{}); turn.Less(end); turn = turn.Add(pf.Part.Bars[first].Meter.Length()) {
		for _, b := range beats(pf.Part, first) {
			if at := turn.Add(b.at); at.Less(end) {
				out = append(out, tick(o.LeadIn+opening(pf, at), b.down))
			}
		}
	}
	return out
}

// opening is how long t lasts at the tempo the performance opens with. A
// fermata at its very beginning does not slow the count.
func opening(pf *score.Performance, t score.Time) score.Seconds {
	whole := -pf.Seconds(score.Frac(-1, 1)) // the clock runs evenly before its first point
	if opensHeld(pf) {
		whole /= score.FermataStretch
	}
	return whole * score.Seconds(t.Float())
}

// opensHeld says whether the first note or rest stands under a fermata.
func opensHeld(pf *score.Performance) bool {
	for i, n := range pf.Notes {
		if n.At.Sign() == 0 && n.Duration.Sign() > 0 && pf.Written(i).Marks.Has(score.Fermata) {
			return true
		}
	}
	first := pf.Bars[0].Bar
	for _, r := range pf.Part.Rests {
		if r.Bar == first && r.Onset == pf.Part.Bars[first].Start && r.Fermata {
			return true
		}
	}
	return false
}
