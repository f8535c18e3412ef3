package desk

import (
	"bytes"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"waterkey/brass"
	"waterkey/player"
)

// breathing prepares a demo part with decisions about breath.
func breathing(t *testing.T, file string, lungs player.Lungs, fixes ...BreathFix) (*Prepared, error) {
	t.Helper()
	in, err := brass.Named("tenor-f")
	if err != nil {
		t.Fatal(err)
	}
	return Prepare(Request{Path: "../demo/season/" + file, Horn: in, Level: player.Advanced, Lungs: lungs, Breaths: fixes})
}

func mustBreathe(t *testing.T, file string, lungs player.Lungs, fixes ...BreathFix) *Prepared {
	t.Helper()
	p, err := breathing(t, file, lungs, fixes...)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// The curve of the air and the table of breaths tell one story: air falls while
// notes sound, never rises but at a breath, and stays between empty and full.
func TestCurveAndBreathsAgree(t *testing.T) {
	p := mustBreathe(t, "lantern-song.musicxml", player.Lungs{})
	air, mark := p.Air(), p.Mark()
	rises := 0
	for i, pt := range air.Points {
		if pt.Litres > air.Lines.FullL+0.01 || pt.Litres < air.Lines.ReserveL-0.01 {
			t.Errorf("%.2f L at %.1f s, between %.2f and %.2f wanted", pt.Litres, pt.AtS, air.Lines.ReserveL, air.Lines.FullL)
		}
		if i > 0 && pt.Litres > air.Points[i-1].Litres+0.005 {
			rises++
		}
	}
	if rises != len(mark.Breaths) || rises == 0 {
		t.Errorf("the air rises %d times, there are %d breaths", rises, len(mark.Breaths))
	}
	for i, b := range mark.Breaths {
		if b.AirAfterL <= b.AirBeforeL || b.RoomS <= 0 || b.Why == "" || i > 0 && b.AirBeforeL >= mark.Breaths[i-1].AirAfterL {
			t.Errorf("%+v", b)
		}
	}
}

func TestCoachDecidesAboutBreath(t *testing.T) {
	free := mustBreathe(t, "lantern-song.musicxml", player.Lungs{})
	first := free.Mark().Breaths[0].After
	never := mustBreathe(t, "lantern-song.musicxml", player.Lungs{}, BreathFix{first, true})
	for _, b := range never.Mark().Breaths {
		if b.After == first {
			t.Errorf("a breath where there should be none: %+v", b)
		}
	}
	held := mustBreathe(t, "lantern-song.musicxml", player.Lungs{}, BreathFix{"2.1", false})
	if b := held.Mark().Breaths[0]; b.Bar != "2" || !b.Pinned {
		t.Errorf("%+v, want the breath asked for in bar 2", b)
	}
	for _, c := range []struct {
		fix  BreathFix
		want string
	}{
		{BreathFix{"99.1", false}, "there is no bar 99"},
		{BreathFix{"3", false}, "name one, such as 3.1"},
		{BreathFix{"2.9", true}, "it has notes 1 to"},
	} {
		if _, err := breathing(t, "lantern-song.musicxml", player.Lungs{}, c.fix); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%+v: %v, want %q", c.fix, err, c.want)
		}
	}
}

// A man of 25 years and 180 cm has 5.69 L (calculated from the published equations
// of Hankinson, Odencrantz and Fedan, 1999).
func TestLungsOfARecord(t *testing.T) {
	in, err := brass.Named("tenor-f")
	if err != nil {
		t.Fatal(err)
	}
	r, err := ParseLungs(json.RawMessage(`{"age": 25, "height_cm": 180, "sex": "male"}`))
	if err != nil {
		t.Fatal(err)
	}
	l, err := r.Lungs(player.Advanced, in)
	if err != nil || math.Abs(l.Vital-5.69) > 0.005 {
		t.Errorf("%.3f L, %v", l.Vital, err)
	}
	for doc, want := range map[string]string{
		`{"vital": 5}`:                      `unknown field "vital"`,
		`{"vital_l": 5, "age": 20}`:         "leave out one or the other",
		`{"age": 20}`:                       "go together",
		`{"vital_l": 40}`:                   "outside",
		`{"long_tones": [{"pitch": "H2"}]}`: `the pitch "H2"`,
		`{"vital_l": 5} {"vital_l": 6}`:     "more than one",
	} {
		r, err := ParseLungs(json.RawMessage(doc))
		if err == nil {
			_, err = r.Lungs(player.Advanced, in)
		}
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", doc, err, want)
		}
	}
}

// A tone held for half as long took twice the air: the plan breathes more often.
func TestALongToneSetsTheFlow(t *testing.T) {
	in, err := brass.Named("tenor-f")
	if err != nil {
		t.Fatal(err)
	}
	breaths := func(tone string) int {
		one, err := ParseLongTone(tone)
		if err != nil {
			t.Fatal(err)
		}
		l, err := LungsRecord{VitalL: 4.7, LongTones: []LongToneRecord{one}}.Lungs(player.Advanced, in)
		if err != nil {
			t.Fatal(err)
		}
		return len(mustBreathe(t, "lantern-song.musicxml", l).Mark().Breaths)
	}
	if long, short := breaths("Bb3 mf 22"), breaths("Bb3 mf 5"); short <= long {
		t.Errorf("%d breaths with a tone of 22 s, %d with one of 5 s", long, short)
	}
}

// Breaths are written as marks, but for those in long rests, where nobody needs one.
func TestBreathsAreWritten(t *testing.T) {
	p := mustBreathe(t, "lantern-song.musicxml", player.Lungs{}, BreathFix{"2.1", false})
	out, _, err := p.Marked()
	if err != nil {
		t.Fatal(err)
	}
	want := 0
	for _, b := range p.Mark().Breaths {
		if !b.Entry {
			want++
		}
	}
	if got := bytes.Count(out, []byte("<breath-mark")); got != want || want == 0 {
		t.Errorf("%d breath marks, want %d", got, want)
	}
}
