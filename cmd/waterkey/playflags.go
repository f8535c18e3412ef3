package main

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"waterkey/desk"
	"waterkey/sound"
)

// playFlags are the flags of play beside those of every part.
type playFlags struct {
	out, midi            string
	bars, countIn, inner string
	q                    desk.Playing // what needs no reading
}

func (p *playFlags) add(c *cobra.Command) {
	flags := c.Flags()
	flags.StringVarP(&p.out, "out", "o", "", "WAV file to write")
	flags.StringVar(&p.midi, "midi", "", "Standard MIDI File to write: the whole part, without click or practice aids")
	flags.StringVar(&p.q.Style, "style", "", "lengths of the notes: light, broad, detached or singing (default: the handbook's)")
	flags.BoolVar(&p.q.Plain, "plain", false, "a plain tone instead of the instrument's, without the noise of the tongue")
	addTuning(c, &p.q.A4)
	flags.StringVar(&p.bars, "bars", "", "a passage, as 9-16 or 12; across a repeat the first time through")
	flags.BoolVar(&p.q.Click, "click", false, "click on the felt beats")
	flags.IntVar(&p.q.Divide, "divide", 0, "clicks to a felt beat, such as 2")
	flags.IntSliceVar(&p.q.Accents, "accents", nil, "beats of the bar that click strongly, as 2,4 (default: the meter's own)")
	flags.StringVar(&p.countIn, "count-in", "0", "bars of clicks before the music, or conducted: enough to know the beat, and a last one to breathe on")
	flags.Float64Var(&p.q.SlowFrom, "slow-from", 0, "a ladder in one file: the first run at so many felt beats a minute, the last at the tempo")
	flags.Float64Var(&p.q.SlowTo, "slow-to", 0, "where the ladder ends, in felt beats a minute (default: the tempo)")
	flags.IntVar(&p.q.Runs, "runs", 0, "runs of the ladder (default: steps of an eighth at most)")
	flags.StringVar(&p.inner, "inner", "", "every second bar silent, to test the inner beat; --inner=2,1 for two bars heard and one silent")
	flags.Lookup("inner").NoOptDefVal = "1,1"
	flags.BoolVar(&p.q.PlayAlong, "play-along", false, "leave the part to the player: only a cue before each entrance")
	flags.StringVar(&p.q.Drone, "drone", "", `hold these pitches under it all, the root first, as "Bb2 F3"`)
	flags.BoolVar(&p.q.Just, "just", false, "tune the drone in whole-number ratios over its root (default: equal temperament)")
}

// playing is what the flags ask for. All errors are of usage.
func (p *playFlags) playing(c *cobra.Command) (desk.Playing, error) {
	q := p.q
	q.LeadIn = leadIn
	if p.out == "" && p.midi == "" {
		return q, errors.New("name a file to write: -o ref.wav, --midi ref.mid or both")
	}
	if err := checkTuning(q.A4); err != nil {
		return q, err
	}
	if err := p.withMIDI(c); err != nil {
		return q, err
	}
	var err error
	if q.CountIn, err = countIn(p.countIn); err != nil {
		return q, err
	}
	if q.Inner, err = inner(p.inner); err != nil {
		return q, err
	}
	var ok bool
	if q.From, q.To, ok = strings.Cut(p.bars, "-"); !ok {
		q.To = q.From
	}
	for _, number := range []struct {
		flag  string
		value float64
	}{{"slow-from", q.SlowFrom}, {"slow-to", q.SlowTo}, {"runs", float64(q.Runs)}, {"divide", float64(q.Divide)}} {
		if c.Flags().Changed(number.flag) && !(number.value > 0) {
			return q, fmt.Errorf("--%s %g: want a number above 0; leave it out for none", number.flag, number.value)
		}
	}
	return q, nil
}

// withMIDI keeps flags from being passed over in silence.
func (p *playFlags) withMIDI(c *cobra.Command) error {
	if p.midi == "" || p.out != "" {
		return nil
	}
	for _, name := range []string{"bars", "click", "divide", "accents", "count-in", "slow-from", "slow-to", "runs", "inner", "play-along", "drone", "just", "plain", "tuning"} {
		if c.Flags().Changed(name) {
			return fmt.Errorf("--%s changes the sound only, and --midi alone writes none; add -o ref.wav or leave it out", name)
		}
	}
	return nil
}

// countIn reads bars, or conducted.
func countIn(text string) (int, error) {
	if text == "conducted" {
		return sound.Conducted, nil
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 0 {
		return 0, fmt.Errorf("--count-in %s: want 0 to 4 bars, such as 1, or conducted", text)
	}
	return n, nil
}

// inner reads bars heard and bars silent.
func inner(text string) ([]int, error) {
	if text == "" {
		return nil, nil
	}
	var out []int
	for _, one := range strings.Split(text, ",") {
		n, err := strconv.Atoi(strings.TrimSpace(one))
		if err != nil {
			return nil, fmt.Errorf("--inner=%s: want bars heard and bars silent, such as --inner=1,1", text)
		}
		out = append(out, n)
	}
	return out, nil
}
