// Waterkey reads a brass part as a coach does, marks it, plays it, and measures
// takes of it.
//
// Output rules, kept by every command: the answer goes to standard output, as
// text that fits 80 columns or, with --json, as exactly one JSON document;
// everything else (errors, progress, remarks) goes to standard error. Progress is
// shown on a terminal only. The exit code is 0 when done, 1 when the input is at
// fault, 2 for wrong usage. Files are written whole or not at all.
package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"runtime/debug"

	"github.com/spf13/cobra"

	"waterkey/brass"
	"waterkey/desk"
	"waterkey/player"
	"waterkey/score"
)

func main() {
	// Half the usual garbage: a part of 10,000 bars stays below 200 MB, for
	// about a tenth more computing time (measured).
	debug.SetGCPercent(50)
	os.Exit(run(os.Args[1:], os.Stdout, os.Stderr))
}

// usageError marks wrong usage, as against faulty input.
type usageError struct{ error }

// errBothForms refuses two forms of one answer.
var errBothForms = errors.New("--json and --markdown exclude each other; give one of them")

// usage makes an error of wrong usage; nil stays nil.
func usage(err error) error {
	if err == nil {
		return nil
	}
	return usageError{err}
}

// run is the program as a value: arguments in, exit code out.
func run(args []string, stdout, stderr io.Writer) int {
	started := false // past the parsing of the command line
	root := &cobra.Command{
		Use:           "waterkey",
		Short:         "Read, mark, play and hear an audition part for brass",
		Long:          "Waterkey reads a brass part as a coach does, chooses slide positions and breaths, plays\na reference performance and measures recorded takes against the page.",
		SilenceErrors: true, SilenceUsage: true,
		PersistentPreRunE: func(c *cobra.Command, args []string) error {
			started = true
			if err := checkNumbers(c); err != nil {
				return usage(err)
			}
			return checkFiles(c, args)
		},
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			_ = c.Help()
			return usage(errors.New("name a command"))
		},
	}
	root.SetFlagErrorFunc(flagError)
	root.SetArgs(args)
	root.SetOut(&terminal{w: stdout})
	root.SetErr(&terminal{w: stderr})
	root.CompletionOptions.DisableDefaultCmd = true
	root.AddCommand(chartCommand(), readCommand(), markCommand(), playCommand(), planCommand(), hearCommand(), chooseCommand(), printCommand(), serveCommand(), demoCommand())
	err := root.Execute()
	if err == nil {
		return 0
	}
	fmt.Fprintln(root.ErrOrStderr(), "waterkey:", err)
	var u usageError
	if !started || errors.As(err, &u) {
		return 2
	}
	return 1
}

// partFlags are the flags of every command that takes a part.
type partFlags struct {
	part, line, instrument string
	profile                string
	tempo                  float64
	level                  int
	terms                  string
	json                   bool
	pins, avoid            []string
	reach                  float64
	breath                 breathFlags
}

func (f *partFlags) add(c *cobra.Command) {
	c.Flags().StringVar(&f.part, "part", "", "which of several parts in the file: name or number")
	c.Flags().StringVar(&f.line, "line", "top", "which note of a chord: top or bottom")
	c.Flags().StringVar(&f.instrument, "instrument", brass.Default, "one of "+list(brass.Names()))
	c.Flags().StringVar(&f.profile, "profile", "", "a file on how the player's own instrument and arm differ; see chart --new-profile")
	c.Flags().BoolVar(&f.json, "json", false, "print one JSON document")
}

// addTempo adds --tempo for the commands that take it.
func (f *partFlags) addTempo(c *cobra.Command) {
	c.Flags().Float64Var(&f.tempo, "tempo", 0, "opening tempo in felt beats a minute (default: the page's own)")
}

// addChoices adds the flags by which a coach bends the choice of positions.
func (f *partFlags) addChoices(c *cobra.Command) {
	c.Flags().StringArrayVar(&f.pins, "pin", nil, "play a note or bars this way: 12.3=T1 (third note of bar 12), 12-15=6")
	c.Flags().StringArrayVar(&f.avoid, "avoid", nil, "never this way: 5-8=7 in these bars, or 7 in the whole part")
	c.Flags().Float64Var(&f.reach, "reach", 0, "how far out the arm goes in comfort, in cm from the closed slide (default: an adult's)")
}

// fixes are the coach's choices.
func (f *partFlags) fixes() ([]desk.Fix, error) {
	var out []desk.Fix
	for _, list := range []struct {
		texts []string
		avoid bool
	}{{f.pins, false}, {f.avoid, true}} {
		for _, text := range list.texts {
			fix, err := desk.ParseFix(text, list.avoid)
			if err != nil {
				return nil, err
			}
			out = append(out, fix)
		}
	}
	return out, nil
}

// Arms reach from about 30 cm, a child's, to the end of the longest slide
// (estimates).
const shortestReachCM, longestReachCM = 20.0, 80.0

// checkReach checks a number given for a reach.
func checkReach(cm float64, err error) error {
	if err != nil || !(cm >= shortestReachCM && cm <= longestReachCM) {
		return fmt.Errorf("a comfortable reach lies between %g and %g cm; an adult's is about 45", shortestReachCM, longestReachCM)
	}
	return nil
}

// addPlayer adds the flags that change what is said: who plays and in which
// words.
func (f *partFlags) addPlayer(c *cobra.Command) {
	c.Flags().IntVar(&f.level, "level", int(player.DefaultLevel), "the player's level, 1 to 5")
	c.Flags().StringVar(&f.terms, "terms", "us", "names of note values: us (quarter note) or uk (crotchet)")
}

// prepare reads the part. A remark on standard error says which part was taken
// when the file has several and none was named.
func (f *partFlags) prepare(c *cobra.Command, path string) (*desk.Prepared, error) {
	in, profile, err := ownHorn(f.instrument, c.Flags().Changed("instrument"), f.profile)
	if err != nil {
		return nil, err
	}
	r := desk.Request{Path: path, Part: f.part, Bottom: f.line == "bottom", Horn: in, BPM: f.tempo, ReachCM: profile.ReachCM}
	if f.level != 0 {
		if r.Level, err = player.ParseLevel(f.level); err != nil {
			return nil, usage(err)
		}
	}
	switch f.terms {
	case "uk":
		r.Terms = score.British
	case "us", "":
	default:
		return nil, usage(fmt.Errorf("--terms %q: want us or uk", f.terms))
	}
	if f.line != "top" && f.line != "bottom" {
		return nil, usage(fmt.Errorf("--line %q: want top or bottom", f.line))
	}
	if c.Flags().Changed("tempo") {
		if err := score.CheckTempo(f.tempo); err != nil {
			return nil, usage(fmt.Errorf("--%w", err))
		}
	}
	if c.Flags().Changed("reach") {
		if err := checkReach(f.reach, nil); err != nil {
			return nil, usage(fmt.Errorf("--reach %g: %w", f.reach, err))
		}
		r.ReachCM = f.reach
	}
	if r.Fixes, err = f.fixes(); err != nil {
		return nil, usage(err)
	}
	if err := f.breath.apply(c, &r); err != nil {
		return nil, err
	}
	p, err := desk.Prepare(r)
	if err == nil && f.part == "" && len(p.Parts) > 1 {
		fmt.Fprintf(c.ErrOrStderr(), "%s is one of %d parts in the file; --part takes another by name or number\n", p.Part.Name, len(p.Parts))
	}
	if err == nil && c.Name() != "read" { // which says all of it in its answer
		remarkPassedOver(c.ErrOrStderr(), p.Part.Skipped)
	}
	return p, askedFor(err)
}

// askedFor makes what a flag asks for and the part does not have wrong usage.
func askedFor(err error) error {
	var decision *desk.DecisionError
	var part *score.PartError
	if errors.As(err, &decision) || errors.As(err, &part) {
		return usage(err)
	}
	return err
}

// remarkPassedOver says in short what reading a file left out.
func remarkPassedOver(w io.Writer, skipped []string) {
	switch n := len(skipped); {
	case n == 1:
		fmt.Fprintln(w, "Passed over in the file:", skipped[0])
	case n > 1:
		fmt.Fprintf(w, "Passed over in the file: %s; and %d more, which read lists\n", skipped[0], n-1)
	}
}

func list(names []string) string {
	s := ""
	for i, n := range names {
		if i > 0 {
			s += ", "
		}
		s += n
	}
	return s
}
