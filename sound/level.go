package sound

import (
	"math"

	"waterkey/score"
)

// ReferenceDBFS is where mezzo-forte sounds: the RMS level of a steady tone of
// Level 0, in dB relative to full scale. It leaves room for fff with a marcato
// accent and a tick at once (estimate, checked by test).
const ReferenceDBFS = -26.0

// Level law of the marks, in dB (estimates: adjacent markings have to differ by
// some 3 to 5 dB to be told apart).
const (
	stepDB = 4.0 // from one dynamic to the next
	// An accent is a front that falls back, and a little more of the note; together the
	// front of an accented note stands 3 dB out, that of a marcato 4.
	accentFrontDB, accentDB   = 2.5, 0.5
	marcatoFrontDB, marcatoDB = 3.0, 1.0

	// loudestDB is the front of an fff with a marcato accent; nothing sounds louder.
	loudestDB = 3*stepDB + marcatoFrontDB + marcatoDB
	// softestDB keeps the tone above silence (estimate).
	softestDB = -40.0
)

// mezzoForte is the step of mf on the scale of score.LevelStep.
const mezzoForte = 0.5

// LevelDB is a dynamic on the scale of [score.LevelStep] in dB relative to
// mezzo-forte.
func LevelDB(step float64) float64 { return stepDB * (step - mezzoForte) }

// bursts are the dynamic accents that stand out of the level in force, in dB
// (estimate: sforzando two markings, rinforzando one).
var bursts = map[string]float64{
	"sf": 2 * stepDB, "sfz": 2 * stepDB, "fz": 2 * stepDB, "sffz": 3 * stepDB,
	"rf": stepDB, "rfz": stepDB,
}

// drops are the dynamic accents that set the level they fall to.
var drops = map[string]struct{ from, to string }{
	"fp": {"f", "p"}, "ffp": {"ff", "p"}, "mfp": {"mf", "p"},
	"sfp": {"f", "p"}, "sfzp": {"f", "p"}, "sfpp": {"f", "pp"},
}

// setLevel sets level, swell, burst and attack of a tone from the marks of its
// note.
func setLevel(t *Tone, p *score.Part, n *score.Note, played score.PlayedNote, share float64) {
	t.Level = LevelDB(p.Level(n.Onset))
	t.Swell = swell(p, n, played, share)
	switch {
	case n.Marks.Has(score.Marcato):
		t.Level, t.Burst, t.Attack = t.Level+marcatoDB, marcatoFrontDB, Accented
	case n.Marks.Has(score.Accent):
		t.Level, t.Burst, t.Attack = t.Level+accentDB, accentFrontDB, Accented
	}
	if burst, ok := bursts[n.Attack]; ok {
		t.Burst, t.Attack = burst, Sforzando
	}
	if drop, ok := drops[n.Attack]; ok {
		from, _ := score.LevelStep(drop.from)
		to, _ := score.LevelStep(drop.to)
		t.Level, t.Burst, t.Attack = LevelDB(to), stepDB*(from-to), Sforzando
	}
}

// Swell is sampled at swellPoints+1 moments of a note, fine enough for a
// crescendo and diminuendo within it; changes below swellLeast dB are none.
const (
	swellPoints = 8
	swellLeast  = 0.1
)

// swell follows the dynamics inside a note, in dB relative to its start; nil
// when nothing changes.
func swell(p *score.Part, n *score.Note, played score.PlayedNote, share float64) []float64 {
	const fine = 1024 // parts of the note's length that moments are rounded to
	start, changes := p.Level(n.Onset), false
	out := make([]float64, swellPoints+1)
	for k := range out {
		// The last moment lies just inside, so that a mark at the next note
		// does not reach back.
		part := min(int64(share*fine*float64(k)/swellPoints), fine-1)
		out[k] = stepDB * (p.Level(n.Onset.Add(played.Duration.Scale(part, fine))) - start)
		changes = changes || math.Abs(out[k]) > swellLeast
	}
	if !changes {
		return nil
	}
	return out
}
