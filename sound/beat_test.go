package sound

import (
	"slices"
	"testing"

	"waterkey/score"

	"github.com/google/go-cmp/cmp"
)

// onlyTicks renders the ticks of a performance and returns the samples at
// which they start and whether they are strong.
func onlyTicks(t *testing.T, pf *score.Performance, o Options) (at []int, strong []bool) {
	t.Helper()
	tones := slices.DeleteFunc(Tones(pf, o), func(n Tone) bool { return n.Note >= 0 })
	x := Render(tones, o).Channels[0]
	for i := 0; i < len(x); i++ {
		if x[i] != 0 {
			at = append(at, i)
			strong = append(strong, peak(x[i:i+400]) > 0.2)
			i += DefaultRate / 20
		}
	}
	return at, strong
}

func TestClicksFallOnTheFeltBeat(t *testing.T) {
	four := page(t, written{pitch: "Bb3", quarters: 8})
	cut := page(t, written{pitch: "Bb3", quarters: 8})
	compound := page(t, written{pitch: "Bb3", quarters: 3})
	for i := range cut.Bars {
		cut.Bars[i].Meter = score.Meter{Beats: 2, Unit: 2, Symbol: "cut"}
	}
	cut.Tempos = []score.TempoMark{{BPM: 60, Unit: score.Frac(1, 2)}}
	six := score.Meter{Beats: 6, Unit: 8}
	compound.Bars[0].Meter, compound.Bars[0].Length = six, six.Length()
	compound.Tempos = []score.TempoMark{{BPM: 80, Unit: score.Frac(3, 8)}}
	for _, c := range []struct {
		name   string
		part   *score.Part
		at     []int
		strong []bool
	}{
		{"4/4 at 60", four, []int{0, 48000, 96000, 144000, 192000, 240000, 288000, 336000},
			[]bool{true, false, false, false, true, false, false, false}},
		{"cut time, half at 60", cut, []int{0, 48000, 96000, 144000}, []bool{true, false, true, false}},
		{"6/8, dotted quarter at 80", compound, []int{0, 36000}, []bool{true, false}},
	} {
		at, strong := onlyTicks(t, perform(t, c.part), Options{Click: true})
		if diff := cmp.Diff(c.at, at); diff != "" {
			t.Errorf("%s: clicks (-want +got):\n%s", c.name, diff)
		}
		if diff := cmp.Diff(c.strong, strong); diff != "" {
			t.Errorf("%s: strong clicks (-want +got):\n%s", c.name, diff)
		}
	}
}

// The click follows the clock: a fermata holds it up (half as long again).
func TestClickWaitsForAFermata(t *testing.T) {
	p := page(t, written{"Bb3", 1, marked(score.Fermata)}, written{pitch: "C4", quarters: 3})
	at, _ := onlyTicks(t, perform(t, p), Options{Click: true})
	if diff := cmp.Diff([]int{0, 72000, 120000, 168000}, at); diff != "" {
		t.Errorf("clicks (-want +got):\n%s", diff)
	}
	// The count before it is not slowed.
	at, _ = onlyTicks(t, perform(t, p), Options{CountIn: 1})
	if diff := cmp.Diff([]int{0, 48000, 96000, 144000}, at); diff != "" {
		t.Errorf("count-in (-want +got):\n%s", diff)
	}
}

func TestCountInShiftsEverything(t *testing.T) {
	p := page(t, written{pitch: "Bb3", quarters: 4})
	pf := perform(t, p)
	o := Options{CountIn: 2, LeadIn: 0.5}
	if got := Offset(pf, o); got != 8.5 {
		t.Errorf("offset %g s, want 0.5 of silence and two bars of 4", got)
	}
	at, _ := onlyTicks(t, pf, o)
	want := []int{24000, 72000, 120000, 168000, 216000, 264000, 312000, 360000}
	if diff := cmp.Diff(want, at); diff != "" {
		t.Errorf("count-in (-want +got):\n%s", diff)
	}
	tones := Tones(pf, o)
	if last := tones[len(tones)-1]; last.Note != 0 || last.Start != 8.5 {
		t.Errorf("the note is %d at %g s, want 0 at 8.5", last.Note, last.Start)
	}
}

// A pickup of one quarter in 4/4 is beat four: one bar of count-in and beats one
// to three lead to it.
func TestCountInLeadsIntoAPickup(t *testing.T) {
	p := page(t, written{pitch: "F3", quarters: 1}, written{pitch: "Bb3", quarters: 4})
	quarter := score.Frac(1, 4)
	p.Bars[0].Length, p.Bars[0].Implicit = quarter, true
	p.Bars[1].Start = quarter
	p.Notes[1].Bar, p.Notes[1].Pieces[0].Bar = 1, 1
	pf := perform(t, p)
	if got := Offset(pf, Options{CountIn: 1}); got != 7 {
		t.Errorf("offset %g s, want 7 beats", got)
	}
	_, strong := onlyTicks(t, pf, Options{CountIn: 1, Click: true})
	want := []bool{true, false, false, false, true, false, false, false, true, false, false, false}
	if diff := cmp.Diff(want, strong); diff != "" {
		t.Errorf("strong beats (-want +got):\n%s", diff)
	}
}

func TestFreeTimeHasNoBeat(t *testing.T) {
	p := page(t, written{pitch: "Bb3", quarters: 4})
	p.Bars[0].Meter = score.Meter{}
	pf := perform(t, p)
	if at, _ := onlyTicks(t, pf, Options{CountIn: 2, Click: true}); len(at) > 0 || Offset(pf, Options{CountIn: 2}) != 0 {
		t.Errorf("ticks at %v and offset %g in free time, want none", at, Offset(pf, Options{CountIn: 2}))
	}
}
