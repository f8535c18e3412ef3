package align

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"waterkey/hear/onset"
	"waterkey/hear/pitch"
	"waterkey/score"
)

// melody is a performance of quarter notes at 120, one for each pitch name.
func melody(t testing.TB, names ...string) *score.Performance {
	t.Helper()
	p := &score.Part{Tempos: []score.TempoMark{{BPM: 120, Unit: score.Frac(1, 4)}}}
	for i, name := range names {
		if i%4 == 0 {
			p.Bars = append(p.Bars, score.Bar{Number: fmt.Sprint(i/4 + 1), Start: score.Frac(int64(i/4), 1), Length: score.Frac(1, 1), Meter: score.Meter{Beats: 4, Unit: 4}})
		}
		ps, err := score.ParsePitch(name)
		if err != nil {
			t.Fatal(err)
		}
		at := score.Frac(int64(i), 4)
		p.Notes = append(p.Notes, score.Note{ID: fmt.Sprint(i), Bar: i / 4, Onset: at, Duration: score.Frac(1, 4), Pitch: ps,
			Pieces: []score.Piece{{Bar: i / 4, Onset: at, Duration: score.Frac(1, 4)}}})
	}
	pf, err := p.Perform(score.Tempo{})
	if err != nil {
		t.Fatal(err)
	}
	return pf
}

// heard are the sounds of a take that is right, at a stretch of time, after a
// silence of a second.
func heard(pf *score.Performance, stretch, cents float64) []onset.Sound {
	var out []onset.Sound
	for i, n := range pf.Notes {
		start := 1 + stretch*float64(n.Start)
		out = append(out, onset.Sound{Start: start, End: start + 0.8*stretch*float64(n.End-n.Start),
			Cents: pitch.Cents(pf.Written(i).Pitch.Hz(440)) + cents, Rise: 20, Dip: 20, Gap: 0.1})
	}
	return out
}

var tune = strings.Fields("Bb2 C3 D3 D3 Eb3 F3 D3 Bb2 C3 C3 C3 C3 F3 G3 A3 Bb3 G3 F3 Eb3 D3 C3 Bb2 A2 Bb2")

// firsts are the first sounds of each note.
func firsts(a *Alignment) []int {
	out := make([]int, len(a.Matches))
	for i, m := range a.Matches {
		out[i] = m.First
	}
	return out
}

func TestEachFaultIsPlacedWhereItIs(t *testing.T) {
	pf := melody(t, tune...)
	all := make([]int, len(tune))
	for i := range all {
		all[i] = i
	}
	// without is all, note i missing and the later sounds one lower.
	without := func(i int) []int {
		out := slices.Clone(all)
		out[i] = -1
		for k := i + 1; k < len(out); k++ {
			out[k]--
		}
		return out
	}
	// after is all, with the sounds from note i on one higher.
	after := func(i int) []int {
		out := slices.Clone(all)
		for k := i; k < len(out); k++ {
			out[k]++
		}
		return out
	}
	extraAt := func(v []onset.Sound, i int, at, cents float64) []onset.Sound {
		return slices.Insert(v, i, onset.Sound{Start: at, End: at + 0.2, Cents: cents, Rise: 20, Dip: 20, Gap: 0.05})
	}
	cases := []struct {
		name  string
		fault func(v []onset.Sound) []onset.Sound
		want  []int
		extra []int
		wrong []int
	}{
		{"none", func(v []onset.Sound) []onset.Sound { return v }, all, nil, nil},
		{"wrong note", func(v []onset.Sound) []onset.Sound { v[6].Cents += 100; return v }, all, nil, []int{6}},
		{"missed", func(v []onset.Sound) []onset.Sound { return slices.Delete(v, 5, 6) }, without(5), nil, nil},
		{"missed among equal ones", func(v []onset.Sound) []onset.Sound { return slices.Delete(v, 10, 11) }, without(10), nil, nil},
		{"first missed", func(v []onset.Sound) []onset.Sound { return v[1:] }, without(0), nil, nil},
		{"extra", func(v []onset.Sound) []onset.Sound { return extraAt(v, 13, v[12].Start+0.25, 4500) }, after(13), []int{13}, nil},
		{"count-in", func(v []onset.Sound) []onset.Sound { return extraAt(v, 0, 0.3, 8000) }, after(0), nil, nil},
		{"weak cut inside a note", func(v []onset.Sound) []onset.Sound {
			tail := v[14]
			v[14].End = v[14].Start + 0.2
			tail.Start, tail.Rise, tail.Dip, tail.Gap = v[14].End, 2, 2, 0
			return slices.Insert(v, 15, tail)
		}, after(15), nil, nil},
	}
	for _, c := range cases {
		for _, stretch := range []float64{0.64, 0.8, 1, 1.25, 1.9} {
			for _, cents := range []float64{-58, 0, 19, 57} {
				t.Run(fmt.Sprintf("%s, time ×%g, %g cents", c.name, stretch, cents), func(t *testing.T) {
					a, err := Align(pf, c.fault(heard(pf, stretch, cents)), 440)
					if err != nil {
						t.Fatal(err)
					}
					if !slices.Equal(firsts(a), c.want) || !slices.Equal(a.Extra, c.extra) {
						t.Errorf("notes %v extra %v, want %v and %v", firsts(a), a.Extra, c.want, c.extra)
					}
					for i, m := range a.Matches {
						if m.Played() && m.Right == slices.Contains(c.wrong, i) {
							t.Errorf("note %d: %+v", i, m)
						}
					}
					if math.Abs(a.Tuning-cents) > 5 {
						t.Errorf("tuning %.1f cents, truth %g", a.Tuning, cents)
					}
				})
			}
		}
	}
}

func TestClockFollowsLinesAndIgnoresOutliers(t *testing.T) {
	var points []Point
	for i := range 40 {
		points = append(points, Point{Page: 0.5 * float64(i), Take: 2 + 1.2*0.5*float64(i)})
	}
	points[20].Take += 0.08
	c := NewClock(points)
	for _, at := range []float64{-1, 0, 3.3, 10, 19.5, 25} {
		if off := c.At(at) - (2 + 1.2*at); math.Abs(off) > 0.002 || math.Abs(c.Stretch(at)-1.2) > 0.01 {
			t.Errorf("at %g s: %.4f s off, stretch %.3f", at, off, c.Stretch(at))
		}
	}
}

func TestClockBreaksAtAMiscountedRest(t *testing.T) {
	for _, jump := range []float64{-0.28, 0.4, 2.4} {
		var points []Point
		for i := range 40 {
			p := Point{Page: 0.5 * float64(i), Take: 2 + 1.1*0.5*float64(i)}
			if i >= 25 {
				p.Page, p.Take, p.AfterRest = p.Page+2, p.Take+2.2+jump, i == 25
			}
			points = append(points, p)
		}
		c := NewClock(points)
		if b := c.Breaks(); len(b) != 1 || b[0].Page != points[25].Page || math.Abs(b[0].Jump-jump) > 0.01 {
			t.Fatalf("jump of %g s: breaks %+v", jump, b)
		}
		for _, p := range points {
			if math.Abs(c.At(p.Page)-p.Take) > 0.002 {
				t.Errorf("jump of %g s: at %g s %.3f, want %.3f", jump, p.Page, c.At(p.Page), p.Take)
			}
		}
	}
}

func TestClockWithFewPoints(t *testing.T) {
	if at := NewClock(nil).At(3); at != 3 {
		t.Errorf("no points: %g, want the page's own time", at)
	}
	if at := NewClock([]Point{{Page: 1, Take: 5}}).At(3); at != 7 {
		t.Errorf("one point: %g, want 7", at)
	}
	if at := NewClock([]Point{{Page: 1, Take: 5}, {Page: 1, Take: 5}}).At(3); math.IsNaN(at) {
		t.Error("equal points give no number")
	}
	if s := NewClock([]Point{{Page: 1, Take: 5}, {Page: 2, Take: 4}}).Stretch(1); s < fastest/2 {
		t.Errorf("a take that runs backwards has stretch %g", s)
	}
}

func TestAnotherTuneIsRefused(t *testing.T) {
	pf := melody(t, tune...)
	other := heard(melody(t, strings.Fields("E3 G#3 C#4 F#3 B3 E3 A3 D#3 G#2 C#3 E4 B2")...), 1, 0)
	for name, sounds := range map[string][]onset.Sound{"another tune": other, "nothing": nil, "one sound": other[:1]} {
		if a, err := Align(pf, sounds, 440); !errors.Is(err, ErrUnlike) || a != nil {
			t.Errorf("%s: %v, want ErrUnlike", name, err)
		}
	}
	_, err := Align(pf, heard(pf, 1, -500), 440)
	if !errors.Is(err, ErrUnlike) || !strings.Contains(err.Error(), "-5 semitones") {
		t.Errorf("%v, want the transposition named", err)
	}
}

func TestWhateverIsHeardTheOrderHolds(t *testing.T) {
	pf := melody(t, tune...)
	rapid.Check(t, func(t *rapid.T) {
		sounds := heard(pf, 1, 0)
		for i := range sounds {
			sounds[i].Cents += rapid.SampledFrom([]float64{0, 0, 0, 100, -200, 1200}).Draw(t, "cents")
			sounds[i].Start += rapid.Float64Range(-0.15, 0.15).Draw(t, "late")
		}
		a, err := Align(pf, sounds, 440)
		if err != nil {
			return
		}
		last := -1
		for i, m := range a.Matches {
			if !m.Played() {
				continue
			}
			if m.First <= last || m.Last < m.First || m.Last >= len(sounds) {
				t.Fatalf("note %d has sounds %d to %d after %d", i, m.First, m.Last, last)
			}
			last = m.Last
		}
	})
}

// A room makes a short note look octaves lower; a long one is what it is, and so
// is one that lies above.
func TestAShortNoteOctavesBelowIsMeant(t *testing.T) {
	pf := melody(t, tune...)
	for _, c := range []struct {
		long, cents float64
		right       bool
	}{{0.15, -1200, true}, {0.15, -2400, true}, {0.15, 1200, false}, {0.15, -100, false}, {0.4, -1200, false}} {
		sounds := heard(pf, 1, 0)
		sounds[9].Cents += c.cents
		sounds[9].End = sounds[9].Start + c.long
		a, err := Align(pf, sounds, 440)
		if err != nil {
			t.Fatal(err)
		}
		if m := a.Matches[9]; m.First != 9 || m.Right != c.right {
			t.Errorf("%g s long, %+g cents: %+v, want right %t", c.long, c.cents, m, c.right)
		}
	}
}

// many is the tune over and over, up to so many notes.
func many(b *testing.B, notes int) *score.Performance {
	var names []string
	for len(names) < notes {
		names = append(names, tune...)
	}
	return melody(b, names[:notes]...)
}

// A take of two minutes.
func BenchmarkAlign(b *testing.B) {
	pf := many(b, 500)
	sounds := heard(pf, 1.1, 10)
	for b.Loop() {
		if _, err := Align(pf, sounds, 440); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(1000*b.Elapsed().Seconds()/float64(b.N), "ms/500-notes")
}

// A rehearsal: the part forty times, each time from somewhere in its first half
// to somewhere in its second.
func BenchmarkAlignAnHour(b *testing.B) {
	pf := many(b, 500)
	r := rand.New(rand.NewPCG(1, 2))
	var legs []leg
	for range 40 {
		legs = append(legs, leg{r.IntN(250), 250 + r.IntN(250), 3})
	}
	sounds := played(pf, 1.1, legs...)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Align(pf, sounds, 440); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(1000*b.Elapsed().Seconds()/float64(b.N), "ms/hour")
	b.ReportMetric(float64(len(sounds)), "sounds")
}
