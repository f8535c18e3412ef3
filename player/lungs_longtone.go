package player

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"sort"
)

// LongTone is one tone held from a full breath for as long as it lasts.
type LongTone struct {
	MIDI    int     // sounding pitch, MIDI note number
	Level   float64 // in the steps of score.LevelStep
	Seconds float64
}

// toneFlow is the mean flow of the tone, in liters a second: what a full breath
// yields over the time it lasted.
func (l Lungs) toneFlow(t LongTone) float64 { return l.Usable() / t.Seconds }

// FlowFactor is the flow of a player against the model at one pitch.
type FlowFactor struct {
	MIDI   int
	Factor float64 // 1 is as much as the model
}

// Timed is the lungs with flows from timed long tones, one or more, best one for
// each register. model is the flow in liters a second at a pitch and level that
// the factors are against. Tones on one pitch are averaged by ratio. Even with an
// estimated capacity the time that a tone lasts comes out as it was measured.
func (l Lungs) Timed(tones []LongTone, model func(midi int, level float64) float64) (Lungs, error) {
	if len(tones) == 0 {
		return Lungs{}, errors.New("no long tone is given; time one, such as B flat 3 at mezzo-forte for 12 s")
	}
	logs := map[int][]float64{}
	for _, t := range tones {
		if err := t.check(); err != nil {
			return Lungs{}, err
		}
		logs[t.MIDI] = append(logs[t.MIDI], math.Log(l.toneFlow(t)/model(t.MIDI, t.Level)))
	}
	out := l
	out.Flow = nil
	for midi, all := range logs {
		sum := 0.0
		for _, x := range all {
			sum += x
		}
		out.Flow = append(out.Flow, FlowFactor{midi, math.Exp(sum / float64(len(all)))})
	}
	slices.SortFunc(out.Flow, func(a, b FlowFactor) int { return cmp.Compare(a.MIDI, b.MIDI) })
	if l.Origin != "" {
		out.Origin = l.Origin + ", "
	}
	out.Origin += "flow from timed long tones"
	return out, nil
}

func (t LongTone) check() error {
	// A tone shorter than this was no long tone; longer than the other nobody holds
	// one without breathing in through the nose (estimates).
	const shortest, longest = 1.0, 120.0
	if !(t.Seconds >= shortest && t.Seconds <= longest) {
		hint := ""
		if t.Seconds > 1000 {
			hint = " (are these milliseconds?)"
		}
		return fmt.Errorf("a long tone of %g s is outside %g to %g%s; 12 is usual in the middle register", t.Seconds, shortest, longest, hint)
	}
	if t.MIDI < 0 || t.MIDI > 127 {
		return fmt.Errorf("a long tone on MIDI note %d is outside 0 to 127; B flat 3 is 58", t.MIDI)
	}
	if !(math.Abs(t.Level) <= 7) {
		return fmt.Errorf("a long tone at level %g is outside -7 to 7; mezzo-forte is 0.5", t.Level)
	}
	return nil
}

// FlowAt is the player's flow against the model at a pitch: between timed tones in
// even ratio, beyond them as at the nearest.
func (l Lungs) FlowAt(midi int) float64 {
	if len(l.Flow) == 0 {
		return 1
	}
	i := sort.Search(len(l.Flow), func(i int) bool { return l.Flow[i].MIDI >= midi })
	switch {
	case i == 0:
		return l.Flow[0].Factor
	case i == len(l.Flow):
		return l.Flow[i-1].Factor
	}
	a, b := l.Flow[i-1], l.Flow[i]
	share := float64(midi-a.MIDI) / float64(b.MIDI-a.MIDI)
	return a.Factor * math.Pow(b.Factor/a.Factor, share)
}
