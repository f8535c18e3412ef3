package reading

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"waterkey/finding"
	"waterkey/score"
	"waterkey/score/scoretest"
)

// says is what all findings of a kind say, a line each.
func says(fs []finding.Finding, kind string) string {
	var out []string
	for _, f := range find(fs, kind) {
		out = append(out, f.Says)
	}
	return strings.Join(out, "\n")
}

// rests is so many bars of rest in common time.
func rests(bars int) string { return strings.Repeat("r/1 ", bars) }

// TestPhraseFinding reads whole sentences, as a coach would say them (common
// practice).
func TestPhraseFinding(t *testing.T) {
	const fall = "C3/4 D3/4 E3/4 F3/4 A3/2 G3/4 F3/4 "
	solo := func(p *score.Part) {
		p.Words = []score.Words{{At: p.Bars[6].Start, Bar: 6, Text: "Solo, dolce"}}
	}
	for _, c := range []struct {
		name, text string
		edit       func(*score.Part)
		want       string
	}{
		{"Ode to Joy", odeToJoy, nil, "Four phrases of four bars: bars 1 to 4 lead to the G3 in bar 2, bars 5 to 8 to the G3 in bar 6, " +
			"bars 9 to 12 to the E3 in bar 11 and bars 13 to 16 to the G3 in bar 14."},
		{"one phrase", fall, nil, "Bars 1 to 2 lead to the A3 in bar 2."},
		{"one bar", "C3/4 D3/4 A3/4 G3/4", nil, "Bar 1 leads to the A3 on beat 3."},
		{"three notes", "C3/2 E3/2 A3/1", nil, ""},
		{"soft entrances", "=f F3/1 " + rests(2) + "=p F3/1 " + rests(5) + "=p F3/1 " + rests(5) + "=pp Bb3/1", nil,
			"Four entrances between rests; exposed: bars 10 and 16, soft after a long rest."},
		{"loud entrances", "=f F3/1 " + rests(5) + "F3/1 " + rests(5) + "F3/1", nil, "Three entrances between rests."},
		{"a solo", "=f F3/1 " + rests(5) + "F3/1 " + rests(5) + "F3/1", solo, "Three entrances between rests; exposed: bar 7, marked solo."},
	} {
		part := scoretest.Part(t, common, 100, c.text)
		if c.edit != nil {
			c.edit(part)
		}
		p := page(t, "tenor", part)
		got := find(Walk(p), "phrase")
		if s := says(got, "phrase"); s != c.want {
			t.Errorf("%s:\n%s\nwant\n%s", c.name, s, c.want)
		}
	}
}

// TestLongPartIsCapped: a part of many phrases names six and counts the rest; all are
// among the places.
func TestLongPartIsCapped(t *testing.T) {
	p := page(t, "tenor", scoretest.Part(t, common, 120, strings.Repeat(odeToJoy+" ", 3)))
	got := find(Walk(p), "phrase")
	if len(got) != 1 || !strings.HasPrefix(got[0].Says, "12 phrases of four bars: ") ||
		!strings.HasSuffix(got[0].Says, " and 6 more phrases.") || len(got[0].Places) != 12 {
		t.Errorf("%+v, want twelve phrases, six named", got)
	}
}

// TestRestsRuleAPart: a third of the time in rests makes entrances; less does not, nor
// do two entrances.
func TestRestsRuleAPart(t *testing.T) {
	const fall = "C3/4 D3/4 E3/4 F3/4 A3/2 G3/4 F3/4 "
	for text, want := range map[string]bool{
		fall + rests(1) + fall + rests(1) + fall: false,
		fall + rests(2) + fall + rests(2) + fall: true,
		fall + rests(9) + fall:                   false,
	} {
		if got := newPhrasing(page(t, "tenor", scoretest.Part(t, common, 100, text))).between != nil; got != want {
			t.Errorf("%q: ruled by rests %v, want %v", text, got, want)
		}
	}
}

// TestSquarePhrases: how many bars most phrases have.
func TestSquarePhrases(t *testing.T) {
	odd := odeToJoy + " F3/1 F3/1 F3/1 F3/1 F3/1 F3/2. r/4 r/1"
	got := says(Walk(page(t, "tenor", scoretest.Part(t, common, 120, odd+" "+"C3/4 D3/4 E3/4 F3/4"))), "phrase")
	if !strings.HasPrefix(got, "Six phrases, most of four bars: ") {
		t.Errorf("%q, want six phrases, most of four bars", got)
	}
	got = says(Walk(page(t, "tenor", scoretest.Part(t, common, 100, auldLangSyne+" r/2 r/1 F3/4 G3/4 A3/4 F3/4 r/1 F3/4 G3/4 A3/4 F3/4 r/1 F3/4 G3/4 A3/4 F3/4"))), "phrase")
	if strings.Contains(got, "most of") {
		t.Errorf("%q: no length is common to two thirds", got)
	}
}

// TestWeightFinding: the leaning note is named with its resolution, a high point only
// when phrases are many, and nothing in a line that has neither.
func TestWeightFinding(t *testing.T) {
	const lean = "C3/4 D3/4 E3/4 C3/4 A3/4( G3/4 C3/2"
	for _, c := range []struct{ name, text, want string }{
		{"leaning", lean, "Lean on the A3 in bar 2, which resolves to the G3 after it."},
		{"its goal is told already", "C3/4 D3/4 E3/4 F3/4 A3/2 G3/4 F3/4", ""},
		{"no more than three", strings.Repeat(lean+" ", 5), "Lean on the A3 in bar 2, which resolves to the G3 after it; " +
			"the A3 in bar 4, which resolves to the G3 after it; the A3 in bar 6, which resolves to the G3 after it."},
		{"tops that come twice", odeToJoy, ""},
		{"tops between long rests", strings.Repeat("C3/4 D3/4 E3/4 F3/4 A3/2 G3/4 F3/4 "+rests(2), 4), ""},
		{"tops and a long note", "C3/4 D3/4 E3/4 F3/4 A3/4 G3/4 F3/4 r/4 D3/4 E3/4 F3/4 G3/4 Bb3/4 A3/4 F3/4 r/4 F3/4 F3/4 F3/4 F3/4 F3/4 E3/4 F3/4 r/4 F3/4 E3/4 D3/4 C3/4 Bb2/2. r/4",
			"Lean on the A3 in bar 2, the high point of bars 1 to 2; the B♭3 in bar 4, the high point of bars 3 to 4; the B♭2 in bar 8, the long note of its phrase."},
	} {
		if got := says(Walk(page(t, "tenor", scoretest.Part(t, common, 100, c.text))), "weight"); got != c.want {
			t.Errorf("%s:\n%s\nwant\n%s", c.name, got, c.want)
		}
	}
}

// TestChoicesAreWhole: whatever the part, every finding of the stage has bars of the
// part, what and what to do, each one sentence that ends in a period.
func TestChoicesAreWhole(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		p := page(t, "tenor", drawPart(rt, t))
		for _, f := range choices(p) {
			if f.Stage != finding.Choices || len(f.Bars) != 2 || f.Weight <= 0 || !strings.HasSuffix(f.Says, ".") || !strings.HasSuffix(f.Do, ".") ||
				strings.Contains(f.Says+f.Do, "%!") || strings.Contains(f.Says+f.Do, "  ") {
				rt.Fatalf("%+v", f)
			}
		}
	})
}

// BenchmarkChoices runs the stage on 10,000 bars without a rest, 60,000 notes.
func BenchmarkChoices(b *testing.B) {
	part := scoretest.Part(b, common, 120, strings.Repeat("F3/8 G3/8 A3/8 Bb3/8 C4/4 A3/4 ", 10000))
	pf, err := part.ReadThrough(score.Tempo{})
	if err != nil {
		b.Fatal(err)
	}
	p := &Page{Part: part, Through: pf}
	for b.Loop() {
		choices(p)
	}
	b.ReportMetric(float64(p.notes())*float64(b.N)/b.Elapsed().Seconds(), "notes/s")
}
