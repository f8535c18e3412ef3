package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"

	"github.com/spf13/cobra"

	"waterkey/brass"
	"waterkey/brass/chart"
	"waterkey/positions"
)

// chartFlags are the flags of chart.
type chartFlags struct {
	instrument, profile, svg, newProfile string
	json                                 bool
}

func chartCommand() *cobra.Command {
	var f chartFlags
	c := &cobra.Command{
		Use: "chart", Short: "Every position or fingering of an instrument, by pitch",
		Args: wants(cobra.NoArgs),
		RunE: func(c *cobra.Command, _ []string) error { return f.run(c) },
	}
	c.Flags().StringVar(&f.instrument, "instrument", brass.Default, "one of "+list(brass.Names()))
	c.Flags().StringVar(&f.profile, "profile", "", "a file on how your own instrument differs from the usual one")
	c.Flags().StringVar(&f.svg, "svg", "", "draw the chart to this file")
	c.Flags().StringVar(&f.newProfile, "new-profile", "", "write a profile to this file, every value filled in, to edit")
	c.Flags().BoolVar(&f.json, "json", false, "print one JSON document")
	return c
}

func (f *chartFlags) run(c *cobra.Command) error {
	in, p, err := ownHorn(f.instrument, c.Flags().Changed("instrument"), f.profile)
	if err != nil {
		return err
	}
	if f.newProfile != "" {
		if err := writeNewProfile(f.newProfile, in, p, c.ErrOrStderr()); err != nil {
			return err
		}
	}
	ch := chart.New(in)
	ch.Name, ch.ReachCM = p.Name, p.ReachCM
	if f.svg != "" {
		if err := writeFile(f.svg, ch.WriteSVG); err != nil {
			return err
		}
	}
	if f.json {
		return printJSON(c.OutOrStdout(), ch.Document())
	}
	return ch.WriteText(c.OutOrStdout())
}

// ownHorn is the named instrument as a profile's file has it; no file, the usual
// one. A profile names its instrument, which holds unless another was asked for.
func ownHorn(name string, asked bool, file string) (*brass.Instrument, brass.Profile, error) {
	p, err := readProfile(file)
	if err != nil {
		return nil, p, err
	}
	if file != "" && !asked {
		name = p.Instrument
	}
	in, err := brass.Named(name)
	if err != nil {
		return nil, p, usage(err)
	}
	if file == "" {
		return in, p, nil
	}
	if in, err = p.Apply(in); err != nil {
		err = fmt.Errorf("%s: %w", file, err)
	}
	return in, p, err
}

// readProfile reads a profile file; no name gives the zero profile.
func readProfile(path string) (brass.Profile, error) {
	if path == "" {
		return brass.Profile{}, nil
	}
	file, err := os.Open(path)
	if err != nil {
		return brass.Profile{}, err
	}
	defer file.Close()
	return brass.ReadProfile(file, path)
}

// writeNewProfile writes a profile with every value filled in: those of p, where it
// has them, else the usual ones. It keeps its hands off a file that is there.
func writeNewProfile(path string, in *brass.Instrument, p brass.Profile, stderr io.Writer) error {
	if _, err := os.Lstat(path); !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("%s is there already, perhaps with your own values; give --new-profile another name", path)
	}
	full := brass.DefaultProfile(in)
	if p.Name != "" {
		full.Name = p.Name
	}
	maps.Copy(full.PartialCents, p.PartialCents)
	maps.Copy(full.ValveCents, p.ValveCents)
	if in.Slide() {
		full.ReachCM = positions.AdultReachCM
	}
	if p.SlideMaxCM > 0 {
		full.SlideMaxCM = p.SlideMaxCM
	}
	if p.ReachCM > 0 {
		full.ReachCM = p.ReachCM
	}
	if err := writeFile(path, func(w io.Writer) error { return brass.WriteProfile(w, full) }); err != nil {
		return err
	}
	fmt.Fprintf(stderr, "%s: edit it and give it back with --profile %s\n", path, path)
	return nil
}
