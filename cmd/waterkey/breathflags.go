package main

import (
	"errors"
	"fmt"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"waterkey/brass"
	"waterkey/desk"
	"waterkey/player"
)

// breathFlags are the flags on which the plan of breaths depends.
type breathFlags struct {
	lungs, age, height float64
	sex                string
	longTones          []string
	breathe, noBreath  []string
}

func (f *breathFlags) add(c *cobra.Command) {
	c.Flags().Float64Var(&f.lungs, "lungs", 0, "the player's measured vital capacity in liters (default: usual for the level)")
	c.Flags().Float64Var(&f.age, "age", 0, "the player's age in years; with --height and --sex for a capacity by equation")
	c.Flags().Float64Var(&f.height, "height", 0, "the player's height in cm")
	c.Flags().StringVar(&f.sex, "sex", "", "female or male: lungs differ at equal height")
	c.Flags().StringArrayVar(&f.longTones, "long-tone", nil, `a tone held from a full breath: sounding pitch, level, seconds, as "Bb3 mf 22", or a recording of it and its level, as "tone.wav mf"; several times for several registers`)
	c.Flags().StringArrayVar(&f.breathe, "breathe", nil, "breathe after this note: 12.3 (third note of bar 12) or its id")
	c.Flags().StringArrayVar(&f.noBreath, "no-breath", nil, "no breath after this note, or in these bars: 12.3, 12-15")
}

// apply sets what the flags say. All errors are of usage.
func (f *breathFlags) apply(c *cobra.Command, r *desk.Request) error {
	for _, where := range f.breathe {
		r.Breaths = append(r.Breaths, desk.BreathFix{Where: where})
	}
	for _, where := range f.noBreath {
		r.Breaths = append(r.Breaths, desk.BreathFix{Where: where, Never: true})
	}
	for _, b := range r.Breaths {
		if b.Where == "" {
			return usage(errors.New("--breathe and --no-breath need a place: 12.3 is the third note of bar 12"))
		}
	}
	var err error
	r.Lungs, err = f.player(c, r.Level, r.Horn)
	return usage(err)
}

// longTone reads a timed tone, or times a recorded one: "tone.wav mf".
func longTone(text string) (desk.LongToneRecord, error) {
	if i := strings.LastIndexByte(text, ' '); i > 0 {
		if info, err := os.Stat(text[:i]); err == nil && !info.IsDir() {
			return desk.TimeLongTone(text[:i], text[i+1:])
		}
	}
	return desk.ParseLongTone(text)
}

// player is the lungs that the flags describe, zero when they say nothing.
func (f *breathFlags) player(c *cobra.Command, level player.Level, in *brass.Instrument) (player.Lungs, error) {
	given := func(name string) bool { return c.Flags().Changed(name) } // false for a flag that the command does not have
	body := given("age") || given("height") || given("sex")
	switch {
	case given("lungs") && body:
		return player.Lungs{}, errors.New("--lungs is a measured capacity and needs no --age, --height and --sex; leave out one or the other")
	case body && !(given("age") && given("height") && given("sex")):
		return player.Lungs{}, errors.New("--age, --height and --sex go together, such as --age 16 --height 168 --sex female")
	case given("lungs") && f.lungs == 0:
		return player.Lungs{}, errors.New("--lungs 0: want a vital capacity in liters; an adult has about 4.5")
	}
	rec := desk.LungsRecord{VitalL: f.lungs, Age: f.age, HeightCM: f.height, Sex: f.sex}
	for _, text := range f.longTones {
		tone, err := longTone(text)
		if err != nil {
			return player.Lungs{}, fmt.Errorf("--long-tone %w", err)
		}
		rec.LongTones = append(rec.LongTones, tone)
	}
	if !given("lungs") && !body && len(rec.LongTones) == 0 {
		return player.Lungs{}, nil
	}
	return rec.Lungs(level, in)
}
