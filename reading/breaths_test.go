package reading

import (
	"math"
	"strings"
	"testing"

	"waterkey/breath"
	"waterkey/player"
	"waterkey/score"
	"waterkey/score/scoretest"
)

// planned is a page with a plan of breaths of its own.
func planned(t *testing.T, bpm float64, text string, o breath.Options) *Page {
	t.Helper()
	p := page(t, "tenor", scoretest.Part(t, common, bpm, text))
	var err error
	if p.Breathing, err = breath.Solve(p.Through, o); err != nil {
		t.Fatal(err)
	}
	return p
}

// lungs are those of a student with a capacity in liters.
func lungs(vital float64) breath.Options {
	l := player.UsualLungs(player.Second)
	l.Vital = vital
	return breath.Options{Lungs: l}
}

// TestBreathSentences reads what is said of a plan, as a coach would say it (common
// practice).
func TestBreathSentences(t *testing.T) {
	const bar = "F3/4 G3/4 F3/4 G3/4 "
	const quarter = bar + "F3/4 G3/4 F3/4 r/4 "
	short := "=p F3/1 " + rests(5) + "F3/1 " + rests(5) + "F3/4 r/8 G3/8 A3/4 F3/4"
	for _, c := range []struct{ name, text, want string }{
		{"a rest", quarter + bar + bar, "Take a full breath after the F3 on beat 3 of bar 2."},
		{"a printed mark", bar + "A3/4 G3/4 F3/2, " + bar + bar, "Take a catch breath after the F3 in bar 2."},
		{"both kinds", bar + "A3/4 G3/4 F3/2, " + bar + "A3/4 G3/4 F3/4 r/4 F3/1", "Breathe after the F3 in bar 2 (a catch breath) and the F3 in bar 4."},
		{"many", strings.Repeat(quarter, 8), "Breathe seven times: full breaths in bars 2, 4, 6, 8, 10, 12 and 14."},
		{"very many", strings.Repeat(quarter, 20), "Breathe 19 times, always in full."},
		{"one breath", "F3/1 G3/1", "One full breath carries all of it, 8 seconds (estimate)."},
		{"hardly any", "F3/1", ""},
		{"long rests", short, ""},
		{"long rests, long playing", short + " " + rests(5) + "F3/1 G3/1", "The long rests are breath enough; the longest playing on one breath is 8 seconds, bars 19 to 20."},
		{"held over", "F3/1 F3/2 G3/4 A3/2., F3/2 G3/1", "Take a catch breath after the A3 held into bar 3."},
		{"between long rests", rests(1) + quarter + bar + rests(2) + bar, "Between the long rests take a full breath after the F3 on beat 3 of bar 3."},
	} {
		p := planned(t, 60, c.text, breath.Options{})
		if got := says(choices(p), "breath"); got != c.want {
			t.Errorf("%s:\n%s\nwant\n%s", c.name, got, c.want)
		}
	}
}

// TestBreathsAgreeWithPhrases: a breath at the end of a phrase is not called one inside
// it, one that the air asks for is; what is named is where the plan breathes.
func TestBreathsAgreeWithPhrases(t *testing.T) {
	const line = "C3/4 D3/4 E3/4 F3/4 G3/4 F3/4 E3/4 D3/4 C3/4 D3/4 E3/4 F3/4 G3/4 F3/4 E3/2"
	p := planned(t, 90, line, lungs(2))
	ends := map[int]bool{}
	for _, ph := range Phrases(p) {
		ends[ph.Last] = true
	}
	inside := 0
	for _, b := range p.Breathing.Breaths {
		if !ends[b.After] {
			inside++
		}
	}
	got := says(insidePhrases(newPhrasing(p)), "breath")
	if inside == 0 || !strings.HasPrefix(got, "A breath falls inside the phrase in bar") {
		t.Errorf("%d breaths inside phrases: %q", inside, got)
	}
	p = planned(t, 90, line+" r/4 "+line, breath.Options{})
	if got := insidePhrases(newPhrasing(p)); len(p.Breathing.Breaths) == 0 || len(got) > 0 {
		t.Errorf("%v for breaths at phrase ends: %+v", p.Breathing.Breaths, got)
	}
	p.Breathing = nil
	if got := says(choices(p), "breath"); got != "" {
		t.Errorf("%q without a plan", got)
	}
}

// TestNoRoomSaysWhereTheTimeComesFrom: a stretch that lacks air and a breath inside a slur are
// named with what to do. That the note helps is tested where it is found.
func TestNoRoomSaysWhereTheTimeComesFrom(t *testing.T) {
	const slur = "Bb2/4( C3/4( D3/4( Eb3/4( F3/4( G3/4( A3/4( Bb3/4"
	held := lungs(1.5)
	for i := range 7 {
		held.Pins = append(held.Pins, breath.Pin{After: i, Forbid: true})
	}
	for _, c := range []struct {
		name, text string
		o          breath.Options
		says, do   string
	}{
		{"breaths forbidden", slur, held, "In bars 1 to 2 the air does not last: it is gone on the D3 in bar 1", "breathe at different places"},
		{"one long note", "=ff F2/1", breath.Options{}, "In bar 1 the air does not last", "End the note early, or breathe at a bar line"},
		{"inside a slur", slur, lungs(1.9), "The air lasts (estimate) only with a breath that parts a slur, in bar 1 and bar 2.", "let the line go on, or in the time of the C3 in bar 1 and the G3 in bar 2"},
		{"two stretches", "=ff F2/1 " + rests(1) + "F2/1", breath.Options{}, "No breath makes the air last (estimate) in bar 1 (0.5 L short) and bar 3 (0.5 L short).", "Time a long tone of your own before you believe it. End the longest note of each early"},
		{"slurs", slur + " " + rests(2) + slur, lungs(1.9), "The air lasts (estimate) only with a breath that parts a slur, in bar 1, bar 2, bar 5 and bar 6.", "let the line go on, or in the time of the"},
		{"soft and high", "=pp F4/1 F4/1", breath.Options{}, "", ""},
	} {
		got := find(choices(planned(t, 60, c.text, c.o)), "no-room-to-breathe")
		switch {
		case c.says == "" && len(got) == 0:
		case len(got) != 1 || c.says == "" || !strings.HasPrefix(got[0].Says, c.says) || !strings.Contains(got[0].Do, c.do):
			t.Errorf("%s: %+v, want %q and %q", c.name, got, c.says, c.do)
		}
	}
}

// TestWorseLackWeighsMore: half a breath short weighs more than a little.
func TestWorseLackWeighsMore(t *testing.T) {
	little := find(choices(planned(t, 60, "=ff F2/1", breath.Options{})), "no-room-to-breathe")
	much := find(choices(planned(t, 40, "=ff F2/1", breath.Options{})), "no-room-to-breathe")
	if len(little) != 1 || len(much) != 1 || much[0].Weight <= little[0].Weight {
		t.Errorf("%+v and %+v", little, much)
	}
}

// TestLowAirIsTold: where the air comes down more than half the way to the reserve; a
// timed long tone takes the word estimate away.
func TestLowAirIsTold(t *testing.T) {
	// 12 s of 0.25 L/s (B flat 3, mezzo-forte) from 3.4 L of 4 leave 0.4 L over the
	// reserve of 0: low is what is less than half of the way from 0.56 to 1.
	o := lungs(4)
	o.Pins = []breath.Pin{{After: 0, Forbid: true}, {After: 1, Forbid: true}}
	const text = "Bb3/1- Bb3/1- Bb3/2-"
	low := func() string { return says(comesLow(newPhrasing(planned(t, 60, text, o))), "breath") }
	if got := low(); got != "" {
		t.Errorf("%q: 0.9 L are comfortable enough", got)
	}
	o.Lungs.Vital = 3.55 // 3.02 L less 2.5 leave 0.52, between reserve (0.50) and comfortable (0.89)
	if got, want := low(), "The air comes low in bar 3, down to 0.5 L (estimate)."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	step, _ := score.LevelStep("mf")
	seconds := o.Lungs.Usable() / 0.25
	var err error
	if o.Lungs, err = breath.Calibrated(o.Lungs, nil, player.LongTone{MIDI: 58, Level: step, Seconds: seconds}); err != nil {
		t.Fatal(err)
	}
	if f := o.Lungs.FlowAt(58); math.Abs(f-1) > 1e-9 {
		t.Fatalf("the tone takes %g times the model's air", f)
	}
	if got, want := low(), "The air comes low in bar 3, down to 0.5 L."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// TestHardOnThePlayer: loud low playing with little rest is warned of once.
func TestHardOnThePlayer(t *testing.T) {
	p := planned(t, 90, "=ff "+strings.Repeat("E2/4- E2/4- E2/4- r/4 ", 10), breath.Options{})
	if got := says(hardOnThePlayer(newPhrasing(p)), "breath"); !strings.Contains(got, "light-headed") || strings.Contains(got, "\n") {
		t.Errorf("%q", got)
	}
}
