package sound

import "waterkey/score"

// A conducted count-in (estimates after common practice: the player has to hear
// the beat for about two seconds, and a slow beat is subdivided).
const (
	leastCount = score.Seconds(2.0) // two bars where one is shorter
	slowBeat   = score.Seconds(1.2) // a beat from this on is divided
)

// counting is the options for the count-in before the bar at index from of the
// performance, with the number of bars resolved.
func (o Options) counting(pf *score.Performance, from int) Options {
	if o.CountIn != Conducted {
		return o
	}
	o.CountIn = 1
	p, bar := pf.Part, pf.Bars[from].Bar
	if opening(pf, from, p.Bars[bar].Meter.Length()) < leastCount {
		o.CountIn = 2
	}
	if unit, _ := p.Felt(bar); o.Divide == 1 && opening(pf, from, unit) >= slowBeat {
		o.Divide = 2
		if p.Bars[bar].Meter.Compound() {
			o.Divide = 3
		}
	}
	return o
}

// countInTime is the length of a count-in on the page: whole bars, and the part
// of a bar that leads into a pickup.
func (o Options) countInTime(p *score.Part, first int) score.Time {
	if o.CountIn == 0 || len(o.beats(p, first)) == 0 {
		return score.Time{}
	}
	return p.Bars[first].Meter.Length().Scale(int64(o.CountIn), 1).Add(missing(p, first))
}

// countInLength is the length of a count-in at the tempo the music opens with; 0
// in free time, which has no beat to count.
func countInLength(pf *score.Performance, o Options) score.Seconds {
	from, to := o.Passage(pf)
	if from == to {
		return 0
	}
	return opening(pf, from, o.counting(pf, from).countInTime(pf.Part, pf.Bars[from].Bar))
}

// counted lists the beats of the count-in.
func counted(pf *score.Performance, o Options) []moment {
	from, to := o.Passage(pf)
	if from == to {
		return nil
	}
	o = o.counting(pf, from)
	first := pf.Bars[from].Bar
	end := o.countInTime(pf.Part, first)
	var out []moment
	for turn := (score.Time{}); turn.Less(end); turn = turn.Add(pf.Part.Bars[first].Meter.Length()) {
		for _, b := range o.beats(pf.Part, first) {
			if at := turn.Add(b.at); at.Less(end) {
				out = append(out, moment{b, o.LeadIn + opening(pf, from, at)})
			}
		}
	}
	return out
}

// breathe turns the last beat of a count-in into the one to breathe on.
func breathe(ticks []Tone) {
	for i := len(ticks) - 1; i >= 0; i-- {
		if ticks[i].Attack != Division {
			ticks[i].Hz, ticks[i].Attack = upbeatHz, Upbeat
			return
		}
	}
}

// opening is how long t lasts at the tempo that the bar at index from of the
// performance opens with. A fermata at its very beginning does not slow the
// count.
func opening(pf *score.Performance, from int, t score.Time) score.Seconds {
	const glance = 1024 // parts of a whole note over which the tempo is read
	at := pf.Bars[from].At
	whole := -pf.Seconds(score.Frac(-1, 1)) // the clock runs evenly before its first point
	if from > 0 {
		whole = glance * (pf.Seconds(at.Add(score.Frac(1, glance))) - pf.Seconds(at))
	}
	if opensHeld(pf, from) {
		whole /= score.FermataStretch
	}
	return whole * score.Seconds(t.Float())
}

// opensHeld says whether the first note or rest of a bar stands under a fermata.
func opensHeld(pf *score.Performance, from int) bool {
	for i, n := range pf.Notes {
		if n.At == pf.Bars[from].At && n.Duration.Sign() > 0 && pf.Written(i).Marks.Has(score.Fermata) {
			return true
		}
	}
	first := pf.Bars[from].Bar
	for _, r := range pf.Part.Rests {
		if r.Bar == first && r.Onset == pf.Part.Bars[first].Start && r.Fermata {
			return true
		}
	}
	return false
}
