package breath

import (
	"waterkey/score"
)

// noteAir is what one played note takes.
type noteAir struct {
	flow   float64 // liters a second
	sounds float64 // seconds
	liters float64
}

// letGo is the most that a note without a dot is let go of before its end, in
// seconds: players hold long notes to the next tongue stroke (estimate).
const letGo = 0.12

// sounded is for how long note i sounds, in seconds. Of tied notes only the last
// written one is shortened by its marks.
func sounded(pf *score.Performance, i int) float64 {
	n, w := pf.Notes[i], pf.Written(i)
	value := float64(n.End - n.Start)
	if w.Grace || len(w.Pieces) == 0 || n.Duration.Sign() == 0 {
		return value * w.SoundedShare()
	}
	last := value * min(w.Pieces[len(w.Pieces)-1].Duration.Over(n.Duration), 1)
	silent := last * (1 - w.SoundedShare())
	if !w.Marks.Any(score.Staccato | score.Staccatissimo) {
		silent = min(silent, letGo)
	}
	return value - silent
}

// airs is what every note takes, at its level halfway.
func airs(pf *score.Performance, o Options) []noteAir {
	levels := pf.Part.LevelLine()
	out := make([]noteAir, len(pf.Notes))
	for i := range out {
		w := pf.Written(i)
		level := (levels.At(w.Onset) + levels.At(w.End())) / 2
		midi := w.Pitch.MIDI()
		flow := FlowOn(o.Instrument, midi, level) * o.Lungs.FlowAt(midi)
		sounds := sounded(pf, i)
		out[i] = noteAir{flow, sounds, flow * sounds}
	}
	return out
}
