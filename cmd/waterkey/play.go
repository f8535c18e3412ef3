package main

import (
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"waterkey/audio"
	"waterkey/desk"
	"waterkey/score"
	"waterkey/sound"
)

const playLong = `Play renders a reference performance: the part as it should go, with the sound
of the player's instrument.

To practice with: a passage (--bars 9-16), a click (--click, --divide 2,
--accents 1,3), a count-in of bars or as a conductor gives it (--count-in
conducted), a ladder of runs from slow to the goal in one file (--slow-from 60),
every second bar silent (--inner), cues in place of the part (--play-along; the
first one needs a count-in to stand in), a drone to tune to (--drone "Bb2 F3"
--just).`

func playCommand() *cobra.Command {
	var f partFlags
	var p playFlags
	c := &cobra.Command{
		Use: "play PART -o ref.wav", Short: "Render a reference performance to WAV, MIDI or both", Long: playLong,
		Args: wants(cobra.ExactArgs(1)),
		RunE: func(c *cobra.Command, args []string) error {
			q, err := p.playing(c)
			if err != nil {
				return usage(err)
			}
			part, err := f.prepare(c, args[0])
			if err != nil {
				return err
			}
			doc, err := p.write(part, q)
			if err != nil {
				return err
			}
			if f.json {
				return printJSON(c.OutOrStdout(), doc)
			}
			fmt.Fprint(c.OutOrStdout(), playText(doc))
			return nil
		},
	}
	f.add(c)
	f.addTempo(c)
	p.add(c)
	return c
}

// write renders and writes the files.
func (p *playFlags) write(part *desk.Prepared, q desk.Playing) (desk.PlayDocument, error) {
	s, err := part.Sound(q)
	if err != nil {
		return desk.PlayDocument{}, playUsage(err)
	}
	if p.out != "" {
		clip := s.Clip()
		if err := writeFile(p.out, func(w io.Writer) error { return audio.WriteWAV(w, clip) }); err != nil {
			return desk.PlayDocument{}, err
		}
	}
	if p.midi != "" {
		if err := writeFile(p.midi, func(w io.Writer) error { return part.PlayMIDI(w, q.Style) }); err != nil {
			return desk.PlayDocument{}, err
		}
	}
	return s.Document(), nil
}

// playUsage makes wishes that cannot be met wrong usage, by the flag's name.
func playUsage(err error) error {
	var p *desk.PlayingError
	if errors.As(err, &p) {
		return usage(fmt.Errorf("--%w", err))
	}
	return err
}

// playText is what was made, in a line or two.
func playText(d desk.PlayDocument) string {
	if len(d.Runs) == 1 {
		return fmt.Sprintf("%d notes at %.0f felt beats a minute, %s; the music starts at %.2f s.\n", d.Notes, d.TempoBPM, clock(d.Seconds), d.MusicStarts)
	}
	text := fmt.Sprintf("%d notes in %d runs, %s in all:\n", d.Notes, len(d.Runs), clock(d.Seconds))
	for _, r := range d.Runs {
		text += fmt.Sprintf("  %3.0f felt beats a minute; the music starts at %s\n", r.TempoBPM, clock(r.MusicS))
	}
	return text
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
