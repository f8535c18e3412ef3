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

// TestEntrancesBreatheInTheirRests: in a part that rests rule no list of places is
// given, only the longest playing when it asks for a thought.
func TestEntrancesBreatheInTheirRests(t *testing.T) {
	short := "=p F3/1 " + rests(5) + "F3/1 " + rests(5) + "F3/4 r/8 G3/8 A3/4 F3/4"
	long := short + " " + rests(5) + "F3/1 G3/1 F3/1 " + rests(5)
	for text, want := range map[string]string{
		short: "",
		long:  "The longest playing without room to breathe is 7 seconds, bars 19 to 21; everywhere else rests come sooner.",
	} {
		if got := says(Walk(page(t, "tenor", scoretest.Part(t, common, 100, text))), "breath"); got != want {
			t.Errorf("%q, want %q", got, want)
		}
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

// TestManyLongStretches: four and more are listed in one sentence; of each no more
// breaths are asked for than the air needs.
func TestManyLongStretches(t *testing.T) {
	long := "=ff F2/1 F2/1 G2/1 r/1 "
	got := find(Walk(page(t, "tenor-f", scoretest.Part(t, common, 60, strings.Repeat(long, 5)))), "no-room-to-breathe")
	if len(got) != 1 || !strings.HasPrefix(got[0].Says, "A full breath does not carry (estimate) bars 1 to 3 (12 s), ") || len(got[0].Places) != 5 {
		t.Errorf("%+v, want one that lists five places", got)
	}
	two := "=f F3/2 G3/2 F3/1! G3/2 F3/2 G3/1 r/1 " + long
	got = find(Walk(page(t, "tenor-f", scoretest.Part(t, common, 60, two))), "no-room-to-breathe")
	const want = "Breathe at the end of the phrase in bar 2, otherwise after a long note, never inside a slur; shorten the note before, not the one after."
	if len(got) == 0 || got[0].Do != want {
		t.Errorf("%+v, want the advice %q", got, want)
	}
}

// TestNotEnoughEnds: where the only phrase end does not divide a stretch well enough,
// the advice says so.
func TestNotEnoughEnds(t *testing.T) {
	for text, want := range map[string]bool{
		"=ff C3/2 D3/2! C3/1 D3/1 C3/1 D3/1 C3/1 D3/1": true,
		"=mf F3/2 G3/2 F3/1! F3/2 G3/2 F3/1":           false,
	} {
		got := find(Walk(page(t, "tenor", scoretest.Part(t, common, 60, text))), "no-room-to-breathe")
		if len(got) != 1 || strings.Contains(got[0].Do, "once more on the way") != want {
			t.Errorf("%+v, want once more %v", got, want)
		}
	}
}

// TestNoLongBreathOnShortPlaying: five loud low seconds are not called too long,
// whatever the estimate of the air says.
func TestNoLongBreathOnShortPlaying(t *testing.T) {
	s := breathSpan{seconds: 5, liters: 2 * breathLiters}
	if s.tooLong() {
		t.Error("five seconds are too long")
	}
	if s.seconds = 7; !s.tooLong() {
		t.Error("twice a breath is carried")
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

// TestBreathsAgainstPhrases: a breath inside a phrase, a phrase end without room,
// and neither.
func TestBreathsAgainstPhrases(t *testing.T) {
	const bar = "F3/4 G3/4 F3/4 G3/4 "
	for _, c := range []struct{ name, text, want string }{
		{"at the phrase end", bar + "F3/4 G3/4 F3/4 r/4 " + bar + bar, "The page leaves room to breathe in bar 2, for catch breaths only."},
		{"inside", bar + "F3/4 G3/4 F3/2, " + bar + "F3/2 r/8 G3/4.", "There is room to breathe in the middle of a phrase in bar 4.\n" +
			"The page leaves room to breathe in bars 2 and 4, for catch breaths only."},
		{"many places, none far apart", strings.Repeat(bar+"F3/4 G3/4 F3/4 r/4 ", 8), ""},
		{"many places, one far", strings.Repeat(bar+"F3/4 G3/4 F3/4 r/4 ", 7) + bar + bar + "F3/4 G3/4 F3/4 r/4 F3/1",
			"The longest playing without room to breathe is 7 seconds, bars 15 to 17; everywhere else rests come sooner."},
		{"no room", bar + "F3/4 G3/4 F3/2! " + bar + bar, "There is no room to breathe at the end of the phrase in bar 2."},
	} {
		if got := says(Walk(page(t, "tenor", scoretest.Part(t, common, 90, c.text))), "breath"); got != c.want {
			t.Errorf("%s:\n%s\nwant\n%s", c.name, got, c.want)
		}
	}
}

// TestNoRoomHearsLevelAndPitch: twelve seconds are a breath when soft and high, and too
// long when loud and low (common practice); the advice names a phrase end, or the
// longest note.
func TestNoRoomHearsLevelAndPitch(t *testing.T) {
	for _, c := range []struct{ name, text, says, do string }{
		{"soft and high", "=pp F4/1 F4/1 F4/1", "", ""},
		{"loud and low", "=ff Bb2/1 F2/1 F2/1", "for 12 seconds; at this level and pitch a full breath lasts about 5 (estimate)", "best after the F2 in bar 2"},
		{"short", "=ff F2/1", "", ""},
		{"a phrase end", "=f C3/2 D3/2 C3/1! C3/2 D3/2 C3/1", "for 18 seconds", "at the end of the phrase in bar 2"},
		{"all one slur", "=ff F2/1( G2/1( F2/1", "for 12 seconds", "all one slur"},
	} {
		got := find(Walk(page(t, "tenor", scoretest.Part(t, common, 60, c.text))), "no-room-to-breathe")
		if c.says == "" && len(got) == 0 {
			continue
		}
		if len(got) != 1 || c.says == "" || !strings.Contains(got[0].Says, c.says) || !strings.Contains(got[0].Do, c.do) {
			t.Errorf("%s: %+v, want %q and %q", c.name, got, c.says, c.do)
		}
	}
}

// TestAsFewBreathsAsNeeded: of four phrases on one and a half breaths one end is
// named, the one nearest the middle.
func TestAsFewBreathsAsNeeded(t *testing.T) {
	line := strings.Repeat("F3/4 G3/4 F3/4 G3/4 F3/4 G3/4 F3/2! ", 4) + "F3/1"
	got := find(Walk(page(t, "tenor", scoretest.Part(t, common, 120, line))), "no-room-to-breathe")
	if len(got) != 1 || !strings.Contains(got[0].Do, "at the end of the phrase in bar 4,") {
		t.Errorf("%+v, want the end of bar 4", got)
	}
}

// TestFlowOfAir: usual playing takes 0.1 to 1 liter a second (reference: J. Wolfe, "Air
// speed", UNSW), more when louder and when lower.
func TestFlowOfAir(t *testing.T) {
	for midi := 28; midi <= 77; midi++ {
		for level := -3.5; level <= 3.5; level++ {
			q := flow(midi, level)
			if q < 0.1 || q > 1 || flow(midi-1, level) < q || flow(midi, level+1) < q {
				t.Errorf("MIDI %d at level %g: %g l/s", midi, level, q)
			}
		}
	}
	if soft, loud := flow(58, -1.5), flow(46, 2.5); loud < 2*soft {
		t.Errorf("soft in the middle %g, loud and low %g: hardly a difference", soft, loud)
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
