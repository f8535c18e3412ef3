package sound

import (
	"cmp"
	"math"
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
	tones := ticks(pf, o)
	if o.PlayAlong {
		tones = append(tones, cues(pf, o)...)
	} else {
		tones = append(tones, partTones(pf, o)...)
	}
	tones = o.Inner.hush(pf, o, tones)
	slices.SortStableFunc(tones, func(a, b Tone) int { return cmp.Compare(a.Start, b.Start) })
	return tones
}

// partTones lists the tones of the part itself.
func partTones(pf *score.Performance, o Options) []Tone {
	shift := Offset(pf, o)
	shares := Shares(pf, o)
	var tones []Tone
	var before Tone // of the note before
	for i := range pf.Notes {
		if pf.Written(i).Pitch.Step == 0 || !o.Plays(pf, i) {
			continue
		}
		t := noteTone(pf, i, shares[i], o)
		t.Start, t.End = t.Start+shift, t.End+shift
		join(pf, &t, before, o)
		before = t
		tones = append(tones, trilled(pf, t)...)
	}
	return tones
}

// noteTone is the tone of the i-th played note, by itself.
func noteTone(pf *score.Performance, i int, share float64, o Options) Tone {
	n, played := pf.Written(i), pf.Notes[i]
	t := Tone{
		Note:  i,
		Start: played.Start,
		End:   played.Start + score.Seconds(share)*(played.End-played.Start),
	}
	t.Hz, t.HzEnd = o.glide(pf, i)
	setLevel(&t, pf.Part, n, played, share)
	if o.Style.soft && t.Attack == Tongued && !n.Marks.Any(score.Staccato|score.Staccatissimo) {
		t.Attack = Legato
	}
	bend(&t, o.Shape)
	return t
}

// glide is the fundamental at the start of the i-th played note, and at the end of
// one that slides; else 0.
func (o Options) glide(pf *score.Performance, i int) (hz, end float64) {
	n := pf.Written(i)
	hz = n.Pitch.Hz(o.A4)
	if !n.GlissTo || !leadsOn(pf, i) {
		return hz, 0
	}
	return hz, slideAlong(hz, pf.Written(i+1).Pitch.Hz(o.A4), o.way(i), o.way(i+1))
}

// Slides says by played note how far it slides until its end, in semitones.
func Slides(pf *score.Performance, o Options) map[int]float64 {
	o = o.filled()
	out := map[int]float64{}
	for i := range pf.Notes {
		if pf.Written(i).Pitch.Step == 0 {
			continue
		}
		if hz, end := o.glide(pf, i); end != 0 {
			out[i] = 12 * math.Log2(end/hz)
		}
	}
	return out
}

// way is how the i-th played note is sounded.
func (o Options) way(i int) Way {
	if i < 0 || i >= len(o.Ways) {
		return Way{}
	}
	return o.Ways[i]
}

// leadsOn says whether the note played after the i-th is also the one written
// after it: slurs and glissandi do not reach across a jump.
func leadsOn(pf *score.Performance, i int) bool {
	return i >= 0 && i+1 < len(pf.Notes) && pf.Notes[i+1].Note == pf.Notes[i].Note+1 &&
		pf.Written(i+1).Pitch.Step != 0
}

// join sets how a tone follows the one before it.
func join(pf *score.Performance, t *Tone, before Tone, o Options) {
	if t.Note == 0 || before.End == 0 {
		return
	}
	t.Connects = t.Start-before.End < touching
	if !t.Connects {
		return
	}
	if leadsOn(pf, t.Note-1) {
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
	crossing(t, before, o.way(t.Note-1), o.way(t.Note))
}
