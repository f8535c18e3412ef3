package align

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"waterkey/hear/onset"
	"waterkey/score"
)

// played are the sounds of some notes in order, each stretch of them beginning
// so many seconds of the page after the one before has ended; within a stretch
// time goes by the page.
func played(pf *score.Performance, stretch float64, legs ...leg) []onset.Sound {
	all := heard(pf, stretch, 0)
	var out []onset.Sound
	at := 1.0
	for _, l := range legs {
		at += l.pause * stretch
		first := all[l.from].Start
		for _, v := range all[l.from:l.to] {
			v.Start, v.End = at+v.Start-first, at+v.End-first
			if n := len(out); n > 0 {
				v.Gap = v.Start - out[n-1].End
			}
			out = append(out, v)
		}
		at += stretch * float64(pf.Notes[l.to-1].End-pf.Notes[l.from].Start)
	}
	return out
}

// kinds are the jumps of an alignment without their moments.
func kinds(a *Alignment) (out []Jump) {
	for _, j := range a.Jumps {
		out = append(out, Jump{Kind: j.Kind, From: j.From, To: j.To})
	}
	return out
}

func TestJumpsAreTold(t *testing.T) {
	pf := melody(t, tune...) // six bars of four quarter notes
	repeated := melody(t, tune...)
	repeated.Part.Bars[1].RepeatEnd = 2
	repeated, err := repeated.Part.Perform(score.Tempo{})
	if err != nil {
		t.Fatal(err)
	}
	cases := []struct {
		name   string
		pf     *score.Performance
		legs   []leg
		jumps  []Jump
		gaps   []Gap
		again  int // sounds of playings that were replaced
		judged []int
	}{
		{"straight through", pf, []leg{{0, 24, 0}}, nil, nil, 0, []int{0}},
		{"stopped in bar 4, again from bar 3", pf, []leg{{0, 14, 0}, {8, 24, 1.5}},
			[]Jump{{Kind: Restart, From: 13, To: 8}}, nil, 6, []int{0, 1}},
		{"false start", pf, []leg{{0, 5, 0}, {0, 24, 2}}, []Jump{{Kind: Restart, From: 4, To: 0}}, nil, 5, []int{1}},
		{"two restarts", pf, []leg{{0, 14, 0}, {8, 15, 1}, {12, 24, 1}},
			[]Jump{{Kind: Restart, From: 13, To: 8}, {Kind: Restart, From: 14, To: 12}}, nil, 6 + 3, []int{0, 1, 2}},
		{"a bar tried once more at the end", pf, []leg{{0, 24, 0}, {8, 15, 2}}, []Jump{{Kind: Restart, From: 23, To: 8}}, nil, 7, []int{0}},
		{"stopped and went on", pf, []leg{{0, 12, 0}, {12, 24, 6}}, []Jump{{Kind: GoesOn, From: 11, To: 12}}, nil, 0, []int{0, 1}},
		{"bar 3 left out", pf, []leg{{0, 8, 0}, {12, 24, 0}}, []Jump{{Kind: LeftOut, From: 7, To: 12}}, []Gap{{LeftOut, 8, 11}}, 0, []int{0, 1}},
		{"silent for a bar", pf, []leg{{0, 8, 0}, {12, 24, 2}}, []Jump{{Kind: Silent, From: 7, To: 12}}, []Gap{{Silent, 8, 11}}, 0, []int{0, 1}},
		{"begun in bar 2, ended in bar 5", pf, []leg{{4, 20, 0}}, nil, []Gap{{NotBegun, 0, 3}, {NotReached, 20, 23}}, 0, []int{0}},
		{"repeat taken", repeated, []leg{{0, 32, 0}}, nil, nil, 0, []int{0}},
		{"repeat not taken", repeated, []leg{{0, 8, 0}, {16, 32, 0}},
			[]Jump{{Kind: RepeatNotTaken, From: 7, To: 16}}, []Gap{{RepeatNotTaken, 8, 15}}, 0, []int{0, 1}},
	}
	for _, c := range cases {
		for _, stretch := range []float64{0.64, 1, 1.9} {
			a, err := Align(c.pf, played(c.pf, stretch, c.legs...), 440)
			if err != nil {
				t.Fatalf("%s, time ×%g: %v", c.name, stretch, err)
			}
			var judged []int
			for k, r := range a.Runs {
				if r.Judged() {
					judged = append(judged, k)
				}
			}
			if d := cmp.Diff(c.jumps, kinds(a)); d != "" {
				t.Errorf("%s, time ×%g: jumps (-want +got)\n%s", c.name, stretch, d)
			}
			if d := cmp.Diff(c.gaps, a.Gaps); d != "" {
				t.Errorf("%s, time ×%g: gaps (-want +got)\n%s", c.name, stretch, d)
			}
			if len(a.Again) != c.again || !slices.Equal(judged, c.judged) || len(a.Extra)+len(a.Aside) > 0 {
				t.Errorf("%s, time ×%g: again %v, judged %v, extra %v, aside %v", c.name, stretch, a.Again, judged, a.Extra, a.Aside)
			}
		}
	}
}

// After a restart the later playing counts, and each side keeps its own clock.
func TestTheLastPlayingThatLeadsOnCounts(t *testing.T) {
	pf := melody(t, tune...)
	sounds := played(pf, 1.2, leg{0, 14, 0}, leg{8, 24, 1.5})
	sounds[10].Cents += 100 // in the first playing only
	a, err := Align(pf, sounds, 440)
	if err != nil {
		t.Fatal(err)
	}
	for i, m := range a.Matches {
		want := i
		if i >= 8 {
			want = i + 6
		}
		if m.First != want || !m.Right {
			t.Errorf("note %d: %+v, want sound %d", i, m, want)
		}
		if off := a.Clock.At(float64(pf.Notes[i].Start)) - sounds[m.First].Start; off > 0.002 || off < -0.002 {
			t.Errorf("note %d: the clock is %.3f s off", i, off)
		}
	}
	if b := a.Clock.Breaks(); len(b) != 0 {
		t.Errorf("a restart counts as a miscounted rest: %+v", b)
	}
	if a.RunOf(7) != 0 || a.RunOf(8) != 1 {
		t.Errorf("notes 7 and 8 are judged by runs %d and %d", a.RunOf(7), a.RunOf(8))
	}
}

func TestAnotherOctaveIsTold(t *testing.T) {
	pf := melody(t, tune...)
	for _, octaves := range []int{-1, 0, 1} {
		for _, cents := range []float64{-58, 0, 57} {
			a, err := Align(pf, heard(pf, 1.1, cents+1200*float64(octaves)), 440)
			if err != nil {
				t.Fatalf("%d octaves: %v", octaves, err)
			}
			if a.Octaves != octaves || a.Tuning < cents-5 || a.Tuning > cents+5 || !a.Matches[5].Right {
				t.Errorf("%d octaves and %g cents off: found %d and %.1f", octaves, cents, a.Octaves, a.Tuning)
			}
		}
	}
}

func TestWhatComesBeforeAndAfterIsSetAside(t *testing.T) {
	pf := melody(t, tune...)
	var sounds []onset.Sound
	for k := range 3 { // tuning: a long note, thrice
		sounds = append(sounds, onset.Sound{Start: float64(k) * 2.2, End: float64(k)*2.2 + 2, Cents: 5800, Rise: 20, Dip: 20, Gap: 0.2})
	}
	for _, v := range heard(pf, 1, 0) {
		v.Start, v.End = v.Start+7, v.End+7
		sounds = append(sounds, v)
	}
	end := sounds[len(sounds)-1].End
	sounds = append(sounds, onset.Sound{Start: end + 1, End: end + 1.4, Cents: 4350, Rise: 20, Dip: 20, Gap: 1})
	a, err := Align(pf, sounds, 440)
	if err != nil {
		t.Fatal(err)
	}
	if len(a.Ahead) != 3 || len(a.After) != 1 || len(a.Extra) != 0 || a.Matches[0].First != 3 {
		t.Errorf("ahead %v, after %v, extra %v, first note %+v", a.Ahead, a.After, a.Extra, a.Matches[0])
	}
}

// The rule of judging on made-up runs.
func TestJudge(t *testing.T) {
	cases := []struct {
		name string
		runs []Run
		want [][2]int // From and To; From greater than To for none
	}{
		{"one", []Run{{First: 0, Last: 9}}, [][2]int{{0, 9}}},
		{"restart", []Run{{First: 0, Last: 9}, {First: 5, Last: 20}}, [][2]int{{0, 4}, {5, 20}}},
		{"a try between that leads nowhere", []Run{{First: 0, Last: 9}, {First: 3, Last: 4}, {First: 10, Last: 20}}, [][2]int{{0, 9}, {0, -1}, {10, 20}}},
		{"the same bar twice before going on", []Run{{First: 0, Last: 9}, {First: 5, Last: 9}, {First: 10, Last: 20}}, [][2]int{{0, 4}, {5, 9}, {10, 20}}},
		{"the whole part twice", []Run{{First: 0, Last: 20}, {First: 0, Last: 20}}, [][2]int{{0, -1}, {0, 20}}},
	}
	for _, c := range cases {
		for i := range c.runs {
			c.runs[i].To = -1
		}
		judge(c.runs)
		var got [][2]int
		for _, r := range c.runs {
			got = append(got, [2]int{r.From, r.To})
		}
		if d := cmp.Diff(c.want, got); d != "" {
			t.Errorf("%s (-want +got)\n%s", c.name, d)
		}
	}
}
