package sound

import (
	"cmp"
	"slices"

	"waterkey/score"
)

// touching is the gap between two notes that is no silence: rounding only.
const touching score.Seconds = 0.001

// Tones lists what is to sound for a performance, in order of time: one tone
// for each played note, several for a trill, and the ticks of count-in and
// click with Note -1. All moments include [Offset].
func Tones(pf *score.Performance, o Options) []Tone {
	o = o.filled()
	shift := Offset(pf, o)
	tones := ticks(pf, o)
	var before Tone // of the note before
	for i := range pf.Notes {
		if pf.Written(i).Pitch.Step == 0 {
			continue
		}
		t := noteTone(pf, i, o.A4)
		t.Start, t.End = t.Start+shift, t.End+shift
		join(pf, &t, before)
		before = t
		tones = append(tones, trilled(pf, t)...)
	}
	slices.SortStableFunc(tones, func(a, b Tone) int { return cmp.Compare(a.Start, b.Start) })
	return tones
}

// noteTone is the tone of the i-th played note, by itself.
func noteTone(pf *score.Performance, i int, a4 float64) Tone {
	n, played := pf.Written(i), pf.Notes[i]
	share := score.Seconds(n.SoundedShare())
	t := Tone{
		Note:  i,
		Start: played.Start,
		End:   played.Start + share*(played.End-played.Start),
		Hz:    n.Pitch.Hz(a4),
	}
	if n.GlissTo && leadsOn(pf, i) {
		t.HzEnd = pf.Written(i + 1).Pitch.Hz(a4)
	}
	setLevel(&t, pf.Part, n, played)
	return t
}

// leadsOn says whether the note played after the i-th is also the one written
// after it: slurs and glissandi do not reach across a jump.
func leadsOn(pf *score.Performance, i int) bool {
	return i >= 0 && i+1 < len(pf.Notes) && pf.Notes[i+1].Note == pf.Notes[i].Note+1 &&
		pf.Written(i+1).Pitch.Step != 0
}

// join sets how a tone follows the one before it.
func join(pf *score.Performance, t *Tone, before Tone) {
	if t.Note == 0 || before.End == 0 {
		return
	}
	t.Connects = t.Start-before.End < touching
	if !t.Connects || !leadsOn(pf, t.Note-1) {
		return
	}
	n, last := pf.Written(t.Note), pf.Written(t.Note-1)
	switch {
	case last.GlissTo:
		t.Attack = Slurred
	case n.SlurFrom && n.Pitch.MIDI() == last.Pitch.MIDI():
		t.Attack = Legato
	case n.SlurFrom:
		t.Attack = Slurred
	}
}
