package main

import (
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"waterkey/audio"
	"waterkey/score"
	"waterkey/sound"
)

func playCommand() *cobra.Command {
	var f partFlags
	var out, midiOut string
	var o sound.Options
	var tuning float64
	c := &cobra.Command{
		Use: "play PART -o ref.wav", Short: "Render a reference performance to WAV, MIDI or both",
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			if out == "" && midiOut == "" {
				return usage(errors.New("name a file to write: -o ref.wav, --midi ref.mid or both"))
			}
			if err := checkTuning(tuning); err != nil {
				return err
			}
			o.A4, o.LeadIn = tuning, leadIn
			p, err := f.prepare(c, args[0])
			if err != nil {
				return err
			}
			clip, doc := p.Play(o)
			if out != "" {
				if err := writeFile(out, func(w io.Writer) error { return audio.WriteWAV(w, clip) }); err != nil {
					return err
				}
			}
			if midiOut != "" {
				if err := writeFile(midiOut, p.PlayMIDI); err != nil {
					return err
				}
			}
			if f.json {
				return printJSON(c.OutOrStdout(), doc)
			}
			fmt.Fprintf(c.OutOrStdout(), "%d notes at %.0f felt beats a minute, %s; the music starts at %.2f s.\n",
				doc.Notes, doc.TempoBPM, clock(doc.Seconds), doc.MusicStarts)
			return nil
		},
	}
	f.add(c)
	f.addTempo(c)
	c.Flags().StringVarP(&out, "out", "o", "", "WAV file to write")
	c.Flags().StringVar(&midiOut, "midi", "", "Standard MIDI File to write")
	c.Flags().BoolVar(&o.Click, "click", false, "click on the felt beats")
	c.Flags().IntVar(&o.CountIn, "count-in", 0, "bars of clicks before the music")
	addTuning(c, &tuning)
	return c
}

// leadIn is the silence before everything else, so that a player's device does
// not swallow the first note (estimate).
const leadIn = score.Seconds(0.3)

// addTuning adds --tuning.
func addTuning(c *cobra.Command, a4 *float64) {
	c.Flags().Float64Var(a4, "tuning", sound.DefaultA4, "the reference A4 in hertz")
}

// Tunings outside these are a slip of the finger (the extremes of historical
// pitch, from a low 392 to a high 466, with room).
const lowestA4, highestA4 = 380.0, 480.0

func checkTuning(a4 float64) error {
	if !(a4 >= lowestA4 && a4 <= highestA4) {
		return usage(fmt.Errorf("--tuning %g: want the reference A4 in hertz, %g to %g, such as 440", a4, lowestA4, highestA4))
	}
	return nil
}
