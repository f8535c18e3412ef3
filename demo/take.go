package demo

import (
	"fmt"
	"math"

	"waterkey/audio"
	"waterkey/finding"
	"waterkey/score"
	"waterkey/score/musicxml"
	"waterkey/sound"
)

// TakePart is the part that the demo take plays.
const TakePart = "harbor-parade.musicxml"

// Fault is something wrong with the demo take.
type Fault struct {
	Stage finding.Stage
	Kind  string // of the finding it should lead to
	Bars  []int  // bar numbers it shows in
	What  string
	edit  func([]note) []note
}

// note is a tone of the take with the written note it comes from.
type note struct {
	tone sound.Tone
	bar  int // number as printed
	name string
}

// Sizes of the planted faults, each well above what a listener can tell (10
// cents, 50 ms, 3 to 5 dB).
const (
	sharpCents = 30.0
	swallowed  = 0.28 // s of the rest in bar 29, which lasts 0.31
	loudDB     = 10.0
)

// Faults lists what is wrong with the demo take, in the order of the stages.
func Faults() []Fault {
	return []Fault{
		{finding.Notes, "wrong-note", []int{24}, "B flat is played where the page has B natural, twice",
			change(in(24, "B3"), func(t *sound.Tone) { t.Hz *= cents(-100) })},
		{finding.Notes, "missed-note", []int{17}, "the low F at the end of the soft passage does not speak",
			drop(in(17, "F2"))},
		{finding.Notes, "intonation", []int{10, 24, 27, 28, 31}, "every D4 in quarter notes is 30 cents sharp",
			change(func(n note) bool { return n.name == "D4" && n.bar != 23 }, func(t *sound.Tone) { t.Hz *= cents(sharpCents) })},
		{finding.Rhythm, "short-rest", []int{29, 30}, "the quarter rest in bar 29 is swallowed; bar 30 comes in early", swallow(30, swallowed)},
		{finding.Articulation, "too-long", []int{10, 11}, "staccato quarters are held nearly full length", hold(10, 11)},
		{finding.Dynamics, "level", []int{14, 17}, "the soft low passage is played at the level around it",
			change(in2(14, 17), func(t *sound.Tone) { t.Level += loudDB })},
	}
}

// Take renders the demo take with all its faults.
func Take() (*audio.Clip, error) {
	data, err := Open(TakePart)
	if err != nil {
		return nil, err
	}
	doc, err := musicxml.Parse(TakePart, data)
	if err != nil {
		return nil, err
	}
	part, err := doc.Part(score.Selection{})
	if err != nil {
		return nil, err
	}
	pf, err := part.Perform(score.Tempo{})
	if err != nil {
		return nil, err
	}
	o := sound.Options{LeadIn: 1.2}
	notes := label(pf, sound.Tones(pf, o))
	for _, f := range Faults() {
		notes = f.edit(notes)
	}
	tones := make([]sound.Tone, len(notes))
	for i, n := range notes {
		tones[i] = n.tone
	}
	return sound.Render(tones, o), nil
}

// label names the written note of every tone.
func label(pf *score.Performance, tones []sound.Tone) []note {
	var out []note
	for _, t := range tones {
		n := note{tone: t}
		if t.Note >= 0 {
			w := pf.Written(t.Note)
			_, _ = fmt.Sscan(part(pf, w.Bar), &n.bar)
			n.name = w.Pitch.String()
		}
		out = append(out, n)
	}
	return out
}

func part(pf *score.Performance, bar int) string { return pf.Part.Bars[bar].Number }

func cents(c float64) float64 { return math.Exp2(c / 1200) }

func in(bar int, name string) func(note) bool {
	return func(n note) bool { return n.bar == bar && n.name == name }
}

func in2(first, last int) func(note) bool {
	return func(n note) bool { return n.bar >= first && n.bar <= last }
}
