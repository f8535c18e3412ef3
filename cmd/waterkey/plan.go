package main

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"waterkey/desk"
	"waterkey/practice"
	"waterkey/practice/ical"
)

// planFlags are the flags of plan alone.
type planFlags struct {
	by, from, since, at string
	player              string
	days, minutes, now  int
	takes               []string
	ics                 string
	markdown, why       bool
}

func planCommand() *cobra.Command {
	var f partFlags
	var o planFlags
	c := &cobra.Command{
		Use: "plan PART --by DATE", Short: "Plan the practice of a part up to the day of its recording",
		Long: "Plan the practice of a part up to the day of its recording. Takes, the oldest\nfirst, are recordings or what hear --json printed of them: what was right three\ntimes in a row retires, what slipped in the last one returns.",
		Args: wants(cobra.MinimumNArgs(1)),
		RunE: func(c *cobra.Command, args []string) error {
			if len(args) > 1 && len(o.takes) == 0 {
				return usage(fmt.Errorf("one part at a time; %q is no take unless --takes stands before it", args[1]))
			}
			o.takes = append(o.takes, args[1:]...)
			return o.run(c, &f, args[0])
		},
	}
	f.add(c)
	f.addTempo(c)
	f.addPlayer(c)
	c.Flags().StringVar(&o.by, "by", "", "day of the recording, as 2026-12-16")
	c.Flags().StringVar(&o.from, "from", "", "first day to plan (default: today)")
	c.Flags().StringVar(&o.since, "since", "", "day on which practice began, when a plan is made anew")
	c.Flags().IntVar(&o.days, "days", practice.DefaultDays, "days of practice a week")
	c.Flags().IntVar(&o.minutes, "minutes", practice.DefaultMinutes, "minutes a day at most, rests and pauses included")
	c.Flags().IntVar(&o.now, "now", 0, "minutes a day the player is used to; 0 is not known")
	c.Flags().StringArrayVar(&o.takes, "takes", nil, "a take, or several after it: recordings, or documents of hear --json")
	c.Flags().StringVar(&o.ics, "ics", "", "write an iCalendar file that calendars import; days of an older plan that are planned no more stay there until you delete them")
	c.Flags().StringVar(&o.player, "for", "", "the player's name, which keeps the days of several players apart in one calendar")
	c.Flags().StringVar(&o.at, "at", "", "time of day for the iCalendar file, as 17:30 (default: whole days)")
	c.Flags().BoolVar(&o.markdown, "markdown", false, "print week sheets with boxes to tick, as Markdown")
	c.Flags().BoolVar(&o.why, "why", false, "say what each choice rests on")
	return c
}

// run makes the plan and prints it.
func (o *planFlags) run(c *cobra.Command, f *partFlags, part string) error {
	terms, err := o.terms()
	if err != nil {
		return usage(err)
	}
	start, err := o.start()
	if err != nil {
		return usage(err)
	}
	if err := o.exclude(f.json); err != nil {
		return usage(err)
	}
	p, err := f.prepare(c, part)
	if err != nil {
		return err
	}
	takes, err := o.heard(c, p)
	if err != nil {
		return err
	}
	plan, err := p.Plan(terms, takes, nil)
	if err != nil {
		return termsUsage(err)
	}
	if o.ics != "" {
		key := strings.Join([]string{heading(p.Part.Title, p.Part.Name), f.instrument, o.player}, "/")
		now := time.Now()
		opts := ical.Options{Stamp: now, Key: key, Sequence: ical.SequenceAt(now), At: start}
		if err := writeFile(o.ics, func(w io.Writer) error { return ical.Write(w, plan, opts) }); err != nil {
			return err
		}
	}
	switch w := c.OutOrStdout(); {
	case f.json:
		return printJSON(w, plan)
	case o.markdown:
		markdownPlan(w, plan)
	default:
		printPlan(w, plan, o.why)
	}
	return nil
}

// termsUsage makes terms that cannot be kept wrong usage, by the flag's name.
func termsUsage(err error) error {
	var t *practice.TermsError
	if errors.As(err, &t) {
		return usage(fmt.Errorf("--%s: %w", t.Field, err))
	}
	return err
}

// exclude refuses flags that would be passed over in silence.
func (o *planFlags) exclude(asJSON bool) error {
	switch {
	case o.at != "" && o.ics == "":
		return fmt.Errorf("--at %s is for the calendar alone; add --ics practice.ics or leave it out", o.at)
	case o.player != "" && o.ics == "":
		return fmt.Errorf("--for %s is for the calendar alone; add --ics practice.ics or leave it out", o.player)
	case asJSON && o.markdown:
		return errBothForms
	}
	return nil
}

// terms read the dates; today comes from the clock.
func (o *planFlags) terms() (practice.Terms, error) {
	t := practice.Terms{Today: time.Now(), DaysPerWeek: o.days, Minutes: o.minutes, Now: o.now}
	if o.by == "" {
		return t, errors.New("name the day of the recording: --by " + t.Today.AddDate(0, 0, 21).Format(time.DateOnly))
	}
	for _, d := range []struct {
		flag, text string
		to         *time.Time
	}{{"--by", o.by, &t.By}, {"--from", o.from, &t.Today}, {"--since", o.since, &t.Since}} {
		if d.text == "" {
			continue
		}
		day, err := time.Parse(time.DateOnly, d.text)
		if err != nil {
			return t, fmt.Errorf("%s %q is no date: write it as 2026-12-16", d.flag, d.text)
		}
		*d.to = day
	}
	return t, o.ordered(t)
}

// ordered compares a first day that was named with the others, in words of the flags.
func (o *planFlags) ordered(t practice.Terms) error {
	switch {
	case o.from == "":
	case t.By.Before(t.Today):
		return fmt.Errorf("--by %s lies before --from %s; a first day up to %s works", o.by, o.from, t.By.AddDate(0, 0, -1).Format(time.DateOnly))
	case o.since != "" && t.Since.After(t.Today):
		return fmt.Errorf("--since %s lies after --from %s; practice begins on the first day that is planned or before it", o.since, o.from)
	}
	return nil
}

// start is the time of day for the calendar; negative for none.
func (o *planFlags) start() (time.Duration, error) {
	if o.at == "" {
		return -1, nil
	}
	t, err := time.Parse("15:04", o.at)
	if err != nil {
		return 0, fmt.Errorf("--at %q is no time of day: write it as 17:30", o.at)
	}
	return time.Duration(t.Hour())*time.Hour + time.Duration(t.Minute())*time.Minute, nil
}

// heard listens to the takes, or reads what was heard before.
func (o *planFlags) heard(c *cobra.Command, p *desk.Prepared) ([]desk.HeardTake, error) {
	var out []desk.HeardTake
	for _, path := range o.takes {
		take, err := hearOrRead(c, p, path)
		if err != nil {
			return nil, err
		}
		out = append(out, desk.HeardTake{Name: "the take " + filepath.Base(path), Take: take})
	}
	return out, nil
}
