package hear

import (
	"math"
	"slices"

	"waterkey/audio"
	"waterkey/hear/pitch"
	"waterkey/score"
)

// tuning is the take's distance from the reference in cents: the median of the
// right notes, long ones weighing more, up to one second.
func (l *listener) tuning(notes []Note) float64 {
	type weighed struct{ cents, weight float64 }
	var v []weighed
	total := 0.0
	for _, n := range notes {
		if n.State == Played && !l.pf.Written(n.index).Grace {
			w := min(n.Offset-n.Onset, 1)
			v, total = append(v, weighed{n.Cents, w}), total+w
		}
	}
	slices.SortFunc(v, func(a, b weighed) int { return int(math.Copysign(1, a.cents-b.cents)) })
	sum := 0.0
	for _, x := range v {
		if sum += x.weight; sum >= total/2 {
			return x.cents
		}
	}
	return l.al.Tuning
}

// name sets the pitch that was heard.
func (l *listener) name(notes []Note, tuning float64) {
	for i := range notes {
		n := &notes[i]
		switch n.State {
		case Played:
			n.Heard = n.Pitch
		case Other:
			n.Heard = l.nearest(n.Cents+pitch.Cents(l.pf.Written(i).Pitch.Hz(l.a4)), tuning)
		}
	}
}

// nearest names the pitch nearest to so many cents above MIDI note 0.
func (l *listener) nearest(cents, tuning float64) string {
	reference := 1200 * math.Log2(l.a4/standardA4)
	return score.PitchFromMIDI(int(math.Round((cents - tuning - reference) / 100))).String()
}

// openingBPM is the opening tempo of the performance in felt beats a minute.
func openingBPM(pf *score.Performance) float64 {
	_, unit, _ := pf.Part.OpeningTempo()
	little := score.Frac(1, 64)
	bpm := 60 * little.Float() / float64(pf.Seconds(little)) / unit.Float()
	if len(pf.Notes) > 0 && pf.Notes[0].At.Sign() == 0 && pf.Written(0).Marks.Has(score.Fermata) {
		bpm *= score.FermataStretch
	}
	return bpm
}

// tempo is the take's tempo in felt beats of the opening: the median of the
// local tempos over the notes.
func (l *listener) tempo(notes []Note) float64 {
	var v []float64
	for _, n := range notes {
		if n.State == Played {
			v = append(v, n.Tempo)
		}
	}
	if len(v) == 0 {
		return l.bpm
	}
	slices.Sort(v)
	return v[len(v)/2]
}

const (
	// extraTongued is the shortest sound with an attack of its own that counts
	// as an extra note, extraSlurred one without, in seconds (estimates: shorter
	// ones are slips of the pitch at an attack or a release).
	extraTongued, extraSlurred = 0.05, 0.1
	// extraRise is that attack in dB.
	extraRise = 6.0
	// extraBelow is how far below the notes' median level an extra note may
	// lie, in dB (estimate: further down it is the room).
	extraBelow = 20.0
)

// extras lists the sounds that no note has.
func (l *listener) extras(notes []Note, tuning float64) []Extra {
	out := []Extra{}
	quietest := medianLevel(notes) - extraBelow
	for _, j := range l.al.Extra {
		s := l.sounds[j]
		shortest := extraSlurred
		if s.Rise >= extraRise {
			shortest = extraTongued
		}
		if s.End-s.Start < shortest || s.LevelDB < quietest {
			continue
		}
		e := Extra{Onset: s.Start, Offset: s.End, Pitch: l.nearest(s.Cents, tuning)}
		for i, m := range l.al.Matches {
			if m.Played() && l.starts[i] <= s.Start {
				e.Bar, e.after = l.pf.Part.Bars[l.pf.Written(i).Bar].Number, i
			}
		}
		out = append(out, e)
	}
	return out
}

// medianLevel is the median level of the notes that sounded, in dBFS.
func medianLevel(notes []Note) float64 {
	var v []float64
	for _, n := range notes {
		if n.Measures != nil {
			v = append(v, n.LevelDB)
		}
	}
	if len(v) == 0 {
		return audio.SilenceDB
	}
	slices.Sort(v)
	return v[len(v)/2]
}
