package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"waterkey/desk"
	"waterkey/paper"
	"waterkey/web"
)

// printFlags are the flags of print alone.
type printFlags struct {
	out, paper, player, chromium, take string
	partOnly, walkOnly, lesson, lanes  bool
	remarks                            []string
}

// printDocument says what was printed, as JSON.
type printDocument struct {
	File    string  `json:"file"`
	Pages   int     `json:"pages"` // of paper; 0 for a guide
	Bytes   int     `json:"bytes"`
	Seconds float64 `json:"seconds"`
}

func printCommand() *cobra.Command {
	var f partFlags
	var p printFlags
	c := &cobra.Command{
		Use: "print PART [-o part.pdf|guide.html]", Short: "Print the marked part and its walk as PDF, or as a guide in one HTML file",
		Long: "Print lays out the marked part and its walk through the page, as PDF or, when\nthe file is named .html, as a guide: one file that plays the reference\nperformance and opens on any phone.",
		Args: wants(cobra.ExactArgs(1)),
		RunE: func(c *cobra.Command, args []string) error {
			if err := p.check(args[0]); err != nil {
				return usage(err)
			}
			prepared, err := f.prepare(c, args[0])
			if err != nil {
				return err
			}
			o, err := p.order(prepared)
			if err != nil {
				return usage(err)
			}
			if o.Lesson, err = p.aboutLesson(c, prepared); err != nil {
				return err
			}
			return p.print(c, o, f.json)
		},
	}
	f.add(c)
	f.addTempo(c)
	f.addChoices(c)
	f.addPlayer(c)
	c.Flags().StringVarP(&p.out, "out", "o", "", "file to write, .pdf or .html (default: the part's name with .pdf)")
	c.Flags().StringVar(&p.paper, "paper", "a4", "size of paper: a4 or letter")
	c.Flags().BoolVar(&p.partOnly, "part-only", false, "leave out the walk")
	c.Flags().BoolVar(&p.walkOnly, "walk-only", false, "leave out the part")
	c.Flags().BoolVar(&p.lesson, "lesson", false, "print the sheet of a lesson instead: walk, remarks and lines to write on")
	c.Flags().StringVar(&p.take, "take", "", "for --lesson: a take, as a recording or as hear --json printed it, whose first advice is printed too")
	c.Flags().BoolVar(&p.lanes, "lanes", false, "draw the slide over time under each system")
	c.Flags().StringVar(&p.player, "for", "", "the player's name, to stand on it")
	c.Flags().StringArrayVar(&p.remarks, "remark", nil, `write a remark at a bar or bars: "9-11=Slow, relaxed air"`)
	c.Flags().StringVar(&p.chromium, "chromium", "", "the Chromium to print with (default: the one installed)")
	return c
}

// check completes the flags before any work is done.
func (p *printFlags) check(part string) error {
	if one := [...]bool{p.partOnly, p.walkOnly, p.lesson}; countTrue(one[:]) > 1 {
		return errors.New("--part-only, --walk-only and --lesson exclude each other; give one of them")
	}
	if p.take != "" && !p.lesson {
		return errors.New("--take is for --lesson; give both")
	}
	if _, err := paper.ParseSize(p.paper); err != nil {
		return fmt.Errorf("--%w", err)
	}
	if p.out == "" {
		base := filepath.Base(part)
		p.out = strings.TrimSuffix(base, filepath.Ext(base)) + ".pdf"
		if sameFile(p.out, part) {
			return fmt.Errorf("%s would be written over the part itself; name another file with -o", p.out)
		}
	}
	switch strings.ToLower(filepath.Ext(p.out)) {
	case ".pdf":
	case ".html", ".htm":
		if p.partOnly || p.walkOnly || p.lesson || p.lanes {
			return errors.New("a guide holds part and walk; --part-only, --walk-only, --lesson and --lanes are for .pdf")
		}
	default:
		return fmt.Errorf("-o %s: want a name that ends in .pdf or .html", p.out)
	}
	return nil
}

// order gathers what to print.
func (p *printFlags) order(prepared *desk.Prepared) (paper.Order, error) {
	o := paper.Order{Prepared: prepared, Player: p.player, Lanes: p.lanes, Contents: paper.All}
	o.Size, _ = paper.ParseSize(p.paper)
	switch {
	case p.partOnly:
		o.Contents = paper.PartOnly
	case p.walkOnly:
		o.Contents = paper.WalkOnly
	case p.lesson:
		o.Contents = paper.Lesson
	}
	for _, text := range p.remarks {
		where, says, found := strings.Cut(text, "=")
		if !found {
			return o, fmt.Errorf("--remark %q: want a bar and a sentence, such as \"9-11=Slow, relaxed air\"", text)
		}
		m, err := paper.Remark(prepared.Part, strings.TrimSpace(where), says)
		if err != nil {
			return o, fmt.Errorf("--remark %q: %w", text, err)
		}
		o.Marks = append(o.Marks, m)
	}
	return o, nil
}

// aboutLesson is what a lesson's sheet says beside the walk; nil for other papers.
func (p *printFlags) aboutLesson(c *cobra.Command, prepared *desk.Prepared) (*desk.Lesson, error) {
	if !p.lesson {
		return nil, nil
	}
	l := desk.NewLesson(time.Now())
	if p.take == "" {
		return l, nil
	}
	take, err := hearOrRead(c, prepared, p.take)
	if err != nil {
		return nil, err
	}
	l.Advice = desk.FirstAdvice("the take "+filepath.Base(p.take), take)
	return l, nil
}

func countTrue(flags []bool) int {
	n := 0
	for _, f := range flags {
		if f {
			n++
		}
	}
	return n
}

// print makes the file and says what it is.
func (p *printFlags) print(c *cobra.Command, o paper.Order, asJSON bool) error {
	ctx, stop := signal.NotifyContext(c.Context(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	started := time.Now()
	printed, err := p.make(ctx, c.ErrOrStderr(), o)
	if err != nil {
		return err
	}
	if err := writeFile(p.out, func(w io.Writer) error { _, err := w.Write(printed.Data); return err }); err != nil {
		return err
	}
	doc := printDocument{p.out, printed.Pages, len(printed.Data), time.Since(started).Seconds()}
	if asJSON {
		return printJSON(c.OutOrStdout(), doc)
	}
	what := "a guide"
	if doc.Pages > 0 {
		what = counted(doc.Pages, "page")
	}
	fmt.Fprintf(c.OutOrStdout(), "%s: %s, %d kB.\n", p.out, what, (doc.Bytes+999)/1000)
	return nil
}

// Shares of the work that are done, for the bar of progress (measured: the browser
// and its engraver take as long to start as a part takes to be laid out).
const started, laidOut = 0.4, 1.0

// make runs a browser for one order.
func (p *printFlags) make(ctx context.Context, stderr io.Writer, o paper.Order) (paper.Printed, error) {
	chromium, err := paper.Find(p.chromium)
	if err != nil {
		return paper.Printed{}, fmt.Errorf("%w. Without it: waterkey mark -o writes the positions into the part for any notation program, and waterkey read --markdown the walk", err)
	}
	step, done := progress(stderr, "engraving")
	defer done()
	printer, err := paper.Open(chromium, web.Pages())
	if err != nil {
		return paper.Printed{}, err
	}
	defer printer.Close()
	step(started)
	defer step(laidOut)
	if strings.HasPrefix(strings.ToLower(filepath.Ext(p.out)), ".htm") {
		return printer.Guide(ctx, o)
	}
	return printer.PDF(ctx, o)
}
