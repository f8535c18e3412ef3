package sound

import (
	"slices"

	"waterkey/score"
)

// A cue is the pitch of an entrance, given softly in the last felt beat before it
// (estimates).
const (
	cueDB     = -6.0               // Level
	cueShare  = 0.7                // of the beat
	longestS  = score.Seconds(1.0) // however slow the beat
	entryRest = score.Seconds(0.8) // silence that makes the next note an entrance; and at least a beat
)

// cues lists a cue for each entrance of the passage. Where the clip has no room
// before an entrance there is none.
func cues(pf *score.Performance, o Options) []Tone {
	var out []Tone
	silentSince := score.Seconds(0)
	for _, t := range partTones(pf, o) {
		beat := feltSeconds(pf, t.Note)
		if t.Start-silentSince > max(entryRest, beat) || silentSince == 0 {
			start := t.Start - min(beat, longestS)
			if end := start + cueShare*min(beat, longestS); start >= max(silentSince, 0) {
				out = append(out, Tone{Note: -1, Start: start, End: end, Hz: t.Hz, Level: cueDB, Attack: Legato})
			}
		}
		silentSince = t.End
	}
	return out
}

// feltSeconds is the felt beat at a played note.
func feltSeconds(pf *score.Performance, i int) score.Seconds {
	unit, _ := pf.Part.Felt(pf.Written(i).Bar)
	at := pf.Notes[i].At
	return pf.Seconds(at) - pf.Seconds(at.Sub(unit))
}

// hush takes out of tones what falls into silent bars: what begins there, and the
// end of what reaches in.
func (r InTurn) hush(pf *score.Performance, o Options, tones []Tone) []Tone {
	if r.Heard <= 0 || r.Silent <= 0 {
		return tones
	}
	shift := Offset(pf, o)
	from, to := o.Passage(pf)
	full := 0
	for i := from; i < to; i++ {
		b := pf.Bars[i]
		if i == from && missing(pf.Part, b.Bar).Sign() > 0 {
			continue // a pickup
		}
		full++
		if (full-1)%(r.Heard+r.Silent) < r.Heard {
			continue
		}
		start := shift + pf.Seconds(b.At)
		end := shift + pf.Seconds(b.At.Add(pf.Part.Bars[b.Bar].Length))
		tones = without(tones, start, end)
	}
	return tones
}

// without cuts a stretch out of the tones.
func without(tones []Tone, from, to score.Seconds) []Tone {
	tones = slices.DeleteFunc(tones, func(t Tone) bool { return t.Start > from-touching && t.Start < to-touching })
	for i := range tones {
		if t := &tones[i]; t.Start < from-releaseTime && t.End > from-releaseTime {
			t.Swell = cutSwell(t.Swell, float64((from-t.Start)/(t.End-t.Start)))
			t.End = max(from-releaseTime, t.Start) // silent by then
		}
	}
	return tones
}

// cutSwell is what a swell is up to a share of its length.
func cutSwell(swell []float64, share float64) []float64 {
	if len(swell) < 2 {
		return swell
	}
	out := make([]float64, len(swell))
	for k := range out {
		out[k] = swellAt(swell, share*float64(k)/float64(len(out)-1))
	}
	return out
}

// Run is one performance of a ladder.
type Run struct {
	Performance *score.Performance
	Options     Options // of the tones; Rate, A4 and Timbre are those of the whole clip
}

// End is when the last bar of the run is over, its lead-in included.
func (r Run) End() score.Seconds {
	from, to := r.Options.Passage(r.Performance)
	start := MusicStart(r.Performance, r.Options)
	switch {
	case from == to:
		return start
	case to == len(r.Performance.Bars):
		return Offset(r.Performance, r.Options) + r.Performance.Length()
	}
	return Offset(r.Performance, r.Options) + r.Performance.Seconds(r.Performance.Bars[to].At)
}

// Ladder strings runs into one list of tones with so many seconds of silence
// between, slow to goal as the caller orders them. starts says where each begins,
// its lead-in included: a moment s of run k sounds at starts[k] + Offset + s.
func Ladder(runs []Run, pause score.Seconds) (tones []Tone, starts []score.Seconds) {
	at := score.Seconds(0)
	for _, r := range runs {
		starts = append(starts, at)
		end := at + r.End()
		for _, t := range Tones(r.Performance, r.Options) {
			t.Start, t.End = t.Start+at, t.End+at
			end = max(end, t.End)
			tones = append(tones, t)
		}
		at = end + max(pause, 0)
	}
	return tones, starts
}
