package abc

import (
	"fmt"
	"strings"
	"testing"

	"waterkey/score"
)

// read reads the first part of a text and fails the test on an error.
func read(t testing.TB, text string) *score.Part {
	t.Helper()
	return readSelected(t, text, score.Selection{})
}

func readSelected(t testing.TB, text string, sel score.Selection) *score.Part {
	t.Helper()
	d, err := Parse("tune.abc", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	p, err := d.Part(sel)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// tune4 wraps music in a tune in 4/4 with eighths, in C.
func tune4(music string) string { return withHeader("M:4/4\nL:1/8\nK:C", music) }

func withHeader(fields, music string) string { return "X:1\nT:Test\n" + fields + "\n" + music + "\n" }

// soundOf lists notes as pitch and length, "C4 1/8", graces in braces.
func soundOf(p *score.Part) string {
	var out []string
	for _, n := range p.Notes {
		s := n.Pitch.String() + " " + n.Duration.String()
		if n.Grace {
			s = "{" + n.Pitch.String() + "}"
		}
		out = append(out, s)
	}
	return strings.Join(out, ", ")
}

// lengthsOf lists the lengths of notes.
func lengthsOf(p *score.Part) string {
	var out []string
	for _, n := range p.Notes {
		out = append(out, n.Duration.String())
	}
	return strings.Join(out, " ")
}

func pitchesOf(p *score.Part) string {
	var out []string
	for _, n := range p.Notes {
		out = append(out, n.Pitch.String())
	}
	return strings.Join(out, " ")
}

// barsOf lists the bars with number, length, endings and repeats: "1=1",
// "|:2=3/4[1]:|x2".
func barsOf(p *score.Part) string {
	var out []string
	for _, b := range p.Bars {
		s := b.Number + "=" + b.Length.String()
		if b.RepeatStart {
			s = "|:" + s
		}
		if b.Endings != nil {
			s += fmt.Sprint(b.Endings)
		}
		if b.RepeatEnd > 0 {
			s += fmt.Sprintf(":|x%d", b.RepeatEnd)
		}
		out = append(out, s)
	}
	return strings.Join(out, " ")
}

func equal(t testing.TB, what, got, want string) {
	t.Helper()
	if got != want {
		t.Errorf("%s:\n got %s\nwant %s", what, got, want)
	}
}

// says fails unless one of the sentences about what was passed over contains
// each of the texts.
func says(t testing.TB, p *score.Part, texts ...string) {
	t.Helper()
	all := strings.Join(p.Skipped, "\n")
	for _, text := range texts {
		if !strings.Contains(all, text) {
			t.Errorf("nothing says %q in:\n%s", text, all)
		}
	}
}

// saysNothing fails when something was passed over.
func saysNothing(t testing.TB, p *score.Part) {
	t.Helper()
	if len(p.Skipped) > 0 {
		t.Errorf("passed over: %s", strings.Join(p.Skipped, "\n"))
	}
}
