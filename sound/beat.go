package sound

import (
	"slices"

	"waterkey/score"
)

// place is a beat of the performance, or a division of one.
type place struct {
	at     score.Time // from the start of the bar as the meter has it
	down   bool       // beat one
	strong bool       // sounds like one
	part   bool       // lies between beats
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
	var out []BeatMoment
	for _, b := range slices.Concat(counted(pf, o), running(pf, o)) {
		if !b.part {
			out = append(out, BeatMoment{b.clip, b.down})
		}
	}
	return out
}

// moment is a place on the clock of the clip.
type moment struct {
	place
	clip score.Seconds
}

// beats lists the felt beats of a full bar at index i of the part, and their
// divisions; none in free time.
func (o Options) beats(p *score.Part, i int) []place {
	unit, n := p.Felt(i)
	var out []place
	for k := range n {
		at := unit.Scale(int64(k), 1)
		out = append(out, place{at: at, down: k == 0, strong: o.strong(p.Bars[i].Meter, at, k)})
		for d := 1; d < o.Divide; d++ {
			out = append(out, place{at: at.Add(unit.Scale(int64(d), int64(o.Divide))), part: true})
		}
	}
	return out
}

// strong says whether beat k of a bar, from 0, is an accent.
func (o Options) strong(m score.Meter, at score.Time, k int) bool {
	if o.Accents != nil {
		return slices.Contains(o.Accents, k+1)
	}
	var start score.Time
	for _, g := range m.Groups {
		if at == start {
			return true
		}
		start = start.Add(score.Frac(int64(g), int64(m.Unit)))
	}
	return k == 0
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
	var out []Tone
	for _, b := range counted(pf, o) {
		out = append(out, tick(b))
	}
	if n := len(out); n > 0 && o.CountIn == Conducted {
		breathe(out)
	}
	if o.Click {
		for _, b := range running(pf, o) {
			out = append(out, tick(b))
		}
	}
	return out
}

// running lists the beats under the music.
func running(pf *score.Performance, o Options) []moment {
	shift := Offset(pf, o)
	from, to := o.Passage(pf)
	var out []moment
	for _, b := range pf.Bars[from:to] {
		for _, beat := range o.barBeats(pf.Part, b.Bar) {
			out = append(out, moment{beat, shift + pf.Seconds(b.At.Add(beat.at))})
		}
	}
	return out
}

// barBeats lists the beats that fall into a bar as it is written, short or
// long, from the start of the bar.
func (o Options) barBeats(p *score.Part, i int) []place {
	full := o.beats(p, i)
	if len(full) == 0 {
		return nil
	}
	bar, before := p.Bars[i], missing(p, i)
	var out []place
	for turn := (score.Time{}); turn.Less(before.Add(bar.Length)); turn = turn.Add(bar.Meter.Length()) {
		for _, b := range full {
			b.at = turn.Add(b.at).Sub(before)
			if b.at.Sign() >= 0 && b.at.Less(bar.Length) {
				out = append(out, b)
			}
		}
	}
	return out
}
