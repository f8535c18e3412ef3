package trial

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
)

// row is one figure of the table.
type row struct {
	name                string
	of                  func(*Figures) float64
	format              string
	cleanGoal, hardGoal float64 // NaN for none
	atMost              bool    // the goal is a ceiling
}

// none is a goal that is not set.
var none = math.NaN()

func absolute(v []float64) []float64 {
	out := make([]float64, len(v))
	for i, x := range v {
		out[i] = math.Abs(x)
	}
	return out
}

var rows = []row{
	{"onset F, 50 ms", func(f *Figures) float64 { return f.onsets.f() }, "%.4f", 0.995, 0.97, false},
	{"onset error, median, ms", func(f *Figures) float64 { return median(absolute(f.late)) }, "%.1f", 6, 12, true},
	{"onset error, 95th percentile, ms", func(f *Figures) float64 { return quantile(absolute(f.late), 0.95) }, "%.1f", none, none, true},
	{"onset bias, ms", func(f *Figures) float64 { return median(f.late) }, "%+.1f", none, none, true},
	{"note F, onset and pitch", func(f *Figures) float64 { return f.notes.f() }, "%.4f", none, none, false},
	{"note F, with ends", func(f *Figures) float64 { return f.ended.f() }, "%.4f", none, none, false},
	{"pitch error, median, cents", func(f *Figures) float64 { return median(absolute(f.cents)) }, "%.2f", 1.5, 4, true},
	{"pitch error, 95th percentile, cents", func(f *Figures) float64 { return quantile(absolute(f.cents), 0.95) }, "%.2f", 6, none, true},
	{"pitch bias, cents", func(f *Figures) float64 { return median(f.cents) }, "%+.2f", none, none, true},
	{"states right", func(f *Figures) float64 { return f.right.recall() }, "%.4f", 0.99, 0.96, false},
	{"wrong notes, precision", func(f *Figures) float64 { return f.wrong.precision() }, "%.3f", 0.97, none, false},
	{"wrong notes, recall", func(f *Figures) float64 { return f.wrong.recall() }, "%.3f", 0.97, none, false},
	{"missed notes, precision", func(f *Figures) float64 { return f.missed.precision() }, "%.3f", 0.97, none, false},
	{"missed notes, recall", func(f *Figures) float64 { return f.missed.recall() }, "%.3f", 0.97, none, false},
	{"split notes, precision", func(f *Figures) float64 { return f.split.precision() }, "%.3f", none, none, false},
	{"split notes, recall", func(f *Figures) float64 { return f.split.recall() }, "%.3f", none, none, false},
	{"extra notes, precision", func(f *Figures) float64 { return f.extra.precision() }, "%.3f", none, none, false},
	{"extra notes, recall", func(f *Figures) float64 { return f.extra.recall() }, "%.3f", none, none, false},
	{"length ratio error, median", func(f *Figures) float64 { return median(absolute(f.lengths)) }, "%.3f", none, none, true},
	{"length ratio error, 95th percentile", func(f *Figures) float64 { return quantile(absolute(f.lengths), 0.95) }, "%.3f", none, none, true},
	{"tempo error, median, %", func(f *Figures) float64 { return 100 * median(absolute(f.tempo)) }, "%.2f", none, none, true},
	{"tempo error, worst, %", func(f *Figures) float64 { return 100 * quantile(absolute(f.tempo), 1) }, "%.2f", none, none, true},
	{"tuning error, median, cents", func(f *Figures) float64 { return median(absolute(f.tuning)) }, "%.2f", none, none, true},
	{"tuning error, worst, cents", func(f *Figures) float64 { return quantile(absolute(f.tuning), 1) }, "%.2f", none, none, true},
	{"breaths found, precision", func(f *Figures) float64 { return f.breaths.precision() }, "%.3f", none, none, false},
	{"breaths found, recall", func(f *Figures) float64 { return f.breaths.recall() }, "%.3f", none, none, false},
	{"takes refused", func(f *Figures) float64 { return float64(f.Refused) }, "%.0f", 0, 0, true},
}

// Write prints the table: each figure of both halves with its target, then
// what aubio says of the same files, then the worst takes.
func (r *Result) Write(w io.Writer) error {
	p := &printer{w: w}
	for _, o := range r.Origin {
		p.line("notes from %s", o)
	}
	for _, l := range r.Skips {
		p.line("not taken: %s", l)
	}
	for _, l := range r.Left {
		p.line("left out: %s", l)
	}
	p.line("%d clean takes of %.0f s in all, %d notes; %d hard takes of %.0f s, %d notes",
		r.Clean.Takes, r.Clean.Seconds, r.Clean.right.truth, r.Hard.Takes, r.Hard.Seconds, r.Hard.right.truth)
	p.line("planted: wrong %d and %d, missed %d and %d, split %d and %d, extra %d and %d, breaths %d and %d",
		r.Clean.wrong.truth, r.Hard.wrong.truth, r.Clean.missed.truth, r.Hard.missed.truth, r.Clean.split.truth, r.Hard.split.truth,
		r.Clean.extra.truth, r.Hard.extra.truth, r.Clean.breaths.truth, r.Hard.breaths.truth)
	p.line("")
	p.line("%-36s %9s %-14s %9s %-14s", "", "clean", "  target", "hard", "  target")
	for _, x := range rows {
		clean, hard := x.of(&r.Clean), x.of(&r.Hard)
		p.line("%-36s %9s %-14s %9s %s", x.name, number(x.format, clean), x.goal(clean, x.cleanGoal), number(x.format, hard), x.goal(hard, x.hardGoal))
	}
	r.writeAubio(p)
	r.writeTakes(p)
	return p.err
}

// goal is the target beside a value, and whether it is missed.
func (x row) goal(value, goal float64) string {
	if math.IsNaN(goal) {
		return ""
	}
	sign, met := "≥", value >= goal
	if x.atMost {
		sign, met = "≤", value <= goal
	}
	text := fmt.Sprintf("  %s %g", sign, goal)
	if !met {
		text += " missed"
	}
	return text
}

func number(format string, v float64) string {
	if math.IsNaN(v) {
		return "-"
	}
	return fmt.Sprintf(format, v)
}

// writeAubio sets aubio's figures beside ours.
func (r *Result) writeAubio(p *printer) {
	p.line("")
	if r.Aubio == nil {
		p.line("aubio: not asked, or its programs aubiopitch and aubioonset (Debian: aubio-tools) are not here")
		return
	}
	p.line("%-36s %9s %9s %9s %9s", "aubio on the same files", "clean", "ours", "hard", "ours")
	clean, hard := r.Aubio[false], r.Aubio[true]
	line := func(name, format string, of func(*Other) float64, ours func(*Figures) float64) {
		p.line("%-36s %9s %9s %9s %9s", name, number(format, of(clean)), number(format, ours(&r.Clean)), number(format, of(hard)), number(format, ours(&r.Hard)))
	}
	line("onset F, 50 ms (energy, as it comes)", "%.4f", func(o *Other) float64 { return o.plain.f() }, func(f *Figures) float64 { return f.onsets.f() })
	line("onset F, 50 ms (threshold "+onsetThreshold+")", "%.4f", func(o *Other) float64 { return o.onsets.f() }, func(f *Figures) float64 { return f.onsets.f() })
	line("same, its median lateness taken out", "%.4f", func(o *Other) float64 { return o.aligned.f() }, func(*Figures) float64 { return none })
	line("onset error, median, ms", "%.1f", func(o *Other) float64 { return median(absolute(o.late)) }, func(f *Figures) float64 { return median(absolute(f.late)) })
	line("pitch error, median, cents (yinfast)", "%.2f", func(o *Other) float64 { return median(absolute(o.cents)) }, func(f *Figures) float64 { return median(absolute(f.cents)) })
	line("pitch error, 95th percentile, cents", "%.2f", func(o *Other) float64 { return quantile(absolute(o.cents), 0.95) }, func(f *Figures) float64 { return quantile(absolute(f.cents), 0.95) })
	line("steady notes within 50 cents", "%.4f", func(o *Other) float64 { return o.named.recall() }, within50)
}

func within50(f *Figures) float64 {
	n := 0
	for _, c := range f.cents {
		if math.Abs(c) <= pitchWindow {
			n++
		}
	}
	return share(n, len(f.cents))
}

// WriteSpeed prints what changes from run to run.
func (r *Result) WriteSpeed(w io.Writer) error {
	p := &printer{w: w}
	all := r.Clean.Seconds + r.Hard.Seconds
	p.line("decoding and listening on one core: %.0f times real time (target ≥ 300)", all/r.Compute)
	if r.Aubio != nil {
		pitch, onset := r.Aubio[false].pitch+r.Aubio[true].pitch, r.Aubio[false].onset+r.Aubio[true].onset
		p.line("aubiopitch yinfast %.0f, aubioonset energy %.0f, both %.0f times real time", all/pitch, all/onset, all/(pitch+onset))
	}
	return p.err
}

// writeTakes lists every take, the worst first, with what went wrong.
func (r *Result) writeTakes(p *printer) {
	const shown = 6 // faults of a take
	p.line("")
	p.line("takes, the worst first: state errors, onset F, median ms, median cents")
	each := slices.Clone(r.Each)
	errors := func(o Outcome) int {
		f := o.Figures
		return f.right.truth - f.right.hits + f.onsets.truth + f.onsets.found - 2*f.onsets.hits
	}
	slices.SortStableFunc(each, func(a, b Outcome) int { return errors(b) - errors(a) })
	for _, o := range each {
		f := o.Figures
		p.line("%3d of %3d  %.3f %6s %6s  %s; %s", f.right.truth-f.right.hits, f.right.truth, f.onsets.f(),
			number("%.1f", median(absolute(f.late))), number("%.2f", median(absolute(f.cents))), o.Case, first(f.Faults, shown))
		if o.Err != nil {
			p.line("            refused: %v", o.Err)
		}
	}
}

func first(v []string, n int) string {
	if len(v) == 0 {
		return "nothing wrong"
	}
	text := strings.Join(v[:min(n, len(v))], "; ")
	if len(v) > n {
		text += fmt.Sprintf("; %d more", len(v)-n)
	}
	return text
}

// printer keeps the first error.
type printer struct {
	w   io.Writer
	err error
}

func (p *printer) line(format string, args ...any) {
	if p.err == nil {
		_, p.err = fmt.Fprintln(p.w, strings.TrimRight(fmt.Sprintf(format, args...), " "))
	}
}

// String names the music.
func (p piece) String() string {
	if p.sketch != 0 {
		return fmt.Sprintf("sketch %d", p.sketch)
	}
	return fmt.Sprintf("%s from bar %d", strings.TrimSuffix(p.file, ".musicxml"), p.first+1)
}

// String names the case in a line.
func (c Case) String() string {
	text := fmt.Sprintf("%s: %s, %.2f of the mark, A %.0f", c.Name, c.of, c.speed, c.a4)
	if c.faults {
		text += ", faults"
	}
	return text
}
