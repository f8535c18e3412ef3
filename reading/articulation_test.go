package reading

import (
	"strconv"
	"strings"
	"testing"

	"waterkey/brass"
	"waterkey/finding"
	"waterkey/positions"
	"waterkey/score"
	"waterkey/score/scoretest"
)

func TestPrevailing(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"F3/4' G3/4' A3/4' Bb3/4-", "Staccato notes prevail: 3 of 4; next come tenuto ones, 1."},
		{"F3/4^ G3/4^ A3/4^ Bb3/4^", "Every note is marcato."},
		{"F3/4 G3/4 A3/4 Bb3/4", "No articulation stands on the page."},
		{"F3/4'( G3/4'( A3/4'( Bb3/4", "Portato notes prevail: 3 of 4; next come slurred ones, 1."}, // dots under a slur
		{"F3/4'- G3/4'- A3/4'- Bb3/4>", "Portato notes prevail: 3 of 4; next come accented ones, 1."},
		{"r/1", ""},
	} {
		if got := texts(prevailing(page(t, "tenor", scoretest.Part(t, common, 90, c.text)))); got != c.want {
			t.Errorf("%s: %q, want %q", c.text, got, c.want)
		}
	}
	part := scoretest.Part(t, common, 90, "F3/4 G3/4 A3/4 Bb3/4")
	for i := range part.Notes {
		part.Notes[i].Marks = score.Staccatissimo
	}
	part.Notes[0].Grace, part.Notes[0].Marks = true, score.Accent // a grace note does not count
	if got := texts(prevailing(page(t, "tenor", part))); got != "Every note is staccatissimo." {
		t.Errorf("%q", got)
	}
}

func TestMannerWords(t *testing.T) {
	for _, c := range []struct {
		words []string
		want  string
	}{
		{[]string{"marc. sempre"}, `The page says "marc. sempre" at bar 1.`},
		{[]string{"legato ", "dolce", "stacc."}, `The page says in words: "legato" (bar 1) and "stacc." (bar 1).`},
		{[]string{"tenderly", "marcia", "Un poco sostenuto", "legatissimamente"}, ""},
	} {
		part := scoretest.Part(t, common, 90, "F3/1")
		for _, w := range c.words {
			part.Words = append(part.Words, score.Words{Text: w})
		}
		if got := texts(mannerWords(page(t, "tenor", part))); got != c.want {
			t.Errorf("%q: %q, want %q", c.words, got, c.want)
		}
	}
}

// longPart is a part of 10,000 bars with a mark on every note, a level and a
// hairpin in every second bar, a word in every tenth.
func longPart(t testing.TB) *score.Part {
	var text strings.Builder
	for i := range 10_000 {
		if i%2 == 0 {
			text.WriteString("=" + []string{"p", "ff", "mf"}[i/2%3] + " ")
		}
		sign := []string{"'", ">", "(", ""}[i/25%4]
		text.WriteString("F3/4" + sign + " G3/4" + sign + " A3/4> F2/4~ ")
	}
	part := scoretest.Part(t, common, 120, text.String())
	for i := range 9_999 {
		at := part.Bars[i].Start
		if i%2 == 0 {
			part.Wedges = append(part.Wedges, score.Wedge{From: at, To: at.Add(score.Frac(3, 4)), FromBar: i, ToBar: i, Grow: i%4 == 0})
		}
		if i%10 == 0 {
			part.Words = append(part.Words, score.Words{At: at, Bar: i, Text: []string{"cresc.", "marc."}[i/10%2] + strconv.Itoa(i)})
		}
	}
	return part
}

// articulationAndDynamics are the kinds of both stages.
var articulationAndDynamics = []func(*Page) []finding.Finding{
	prevailing, slurs, articulationChange, mannerWords, standsOut, glissando, ornament,
	levels, silence, longSoft, hairpin, sudden, forced, softAndLow, loudAndHigh,
}

func BenchmarkArticulationAndDynamics(b *testing.B) {
	in, err := brass.Named(brass.Default)
	if err != nil {
		b.Fatal(err)
	}
	part := longPart(b)
	through, err := part.ReadThrough(score.Tempo{})
	if err != nil {
		b.Fatal(err)
	}
	p := &Page{Part: part, Through: through, Path: positions.Solve(through, in)}
	findings := 0
	for b.Loop() {
		findings = 0
		for _, kind := range articulationAndDynamics {
			findings += len(kind(p))
		}
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/1000/float64(b.N), "ms/part")
	b.ReportMetric(float64(findings), "findings")
}
