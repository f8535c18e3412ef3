package score

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// TestLevelStep: the order of the marks is common practice; one step each is
// this package's scale, mezzo-forte and mezzo-piano half a step from 0.
func TestLevelStep(t *testing.T) {
	marks := []string{"pppppp", "ppppp", "pppp", "ppp", "pp", "p", "mp", "mf", "f", "ff", "fff", "ffff", "fffff", "ffffff"}
	for i, m := range marks {
		if step, ok := LevelStep(m); !ok || step != float64(i)-6.5 {
			t.Errorf("%s = %g, %v", m, step, ok)
		}
	}
	if _, ok := LevelStep("sfz"); ok {
		t.Error("sfz is taken for a level")
	}
}

func TestLevel(t *testing.T) {
	const p, mp, mf, f, ff = -1.5, -0.5, 0.5, 1.5, 2.5
	at := func(quarters float64) Time { return Frac(int64(quarters*4), 16) }
	mark := func(quarter float64, m string) DynamicMark { return DynamicMark{At: at(quarter), Mark: m} }
	grow := func(from, to float64) Wedge { return Wedge{From: at(from), To: at(to), Grow: true} }
	fade := func(from, to float64) Wedge { return Wedge{From: at(from), To: at(to)} }
	for name, c := range map[string]struct {
		marks  []DynamicMark
		wedges []Wedge
		want   map[float64]float64 // by quarter
	}{
		"no mark":                 {want: map[float64]float64{0: mf, 9: mf}},
		"before the first mark":   {marks: []DynamicMark{mark(4, "p")}, want: map[float64]float64{3.75: mf, 4: p}},
		"marks":                   {marks: []DynamicMark{mark(0, "p"), mark(4, "ff")}, want: map[float64]float64{0: p, 3.75: p, 4: ff, 50: ff}},
		"an accent sets no level": {marks: []DynamicMark{mark(0, "p"), mark(2, "sfz")}, want: map[float64]float64{3: p}},
		"hairpin to a goal": {[]DynamicMark{mark(0, "p"), mark(8, "f")}, []Wedge{grow(4, 8)},
			map[float64]float64{4: p, 5: -0.75, 6: 0, 7: 0.75, 8: f, 9: f}},
		"goal a quarter after the tip": {[]DynamicMark{mark(0, "f"), mark(8, "p")}, []Wedge{fade(3, 7)},
			map[float64]float64{5: 0, 7: p, 7.5: p}},
		"mark too late for a goal": {[]DynamicMark{mark(0, "p"), mark(9, "f")}, []Wedge{grow(4, 6)},
			map[float64]float64{5: -1, 6: mp, 8: mp, 9: f}},
		"no goal":        {[]DynamicMark{mark(0, "f")}, []Wedge{fade(4, 8)}, map[float64]float64{4: f, 6: 1, 8: mf, 20: mf}},
		"no mark at all": {nil, []Wedge{grow(0, 4)}, map[float64]float64{2: 1, 4: f, 5: f}},
		"swell":          {[]DynamicMark{mark(0, "p")}, []Wedge{grow(0, 4), fade(4, 8)}, map[float64]float64{2: -1, 4: mp, 6: -1, 8: p}},
		"goal against the hairpin: subito": {[]DynamicMark{mark(0, "mf"), mark(4, "p")}, []Wedge{grow(0, 4)},
			map[float64]float64{2: 1, 3: 1.25, 4: p}},
		"a mark on the way": {[]DynamicMark{mark(0, "p"), mark(4, "mf"), mark(8, "f")}, []Wedge{grow(0, 8)},
			map[float64]float64{2: -0.5, 4: mf, 6: 1, 8: f}},
		"an accent on the way": {[]DynamicMark{mark(0, "p"), mark(4, "sfz"), mark(8, "f")}, []Wedge{grow(0, 8)},
			map[float64]float64{4: 0, 8: f}},
		"a mark resets":        {[]DynamicMark{mark(0, "p"), mark(8, "p")}, []Wedge{grow(0, 4)}, map[float64]float64{4: mp, 8: p}},
		"hairpins overlapping": {[]DynamicMark{mark(0, "p")}, []Wedge{grow(0, 4), fade(2, 4)}, map[float64]float64{1: -1.25, 2: -1, 4: -2}},
		"hairpin of no length": {[]DynamicMark{mark(0, "p")}, []Wedge{grow(4, 4)}, map[float64]float64{3: p, 4: mp}},
	} {
		part := &Part{Dynamics: c.marks, Wedges: c.wedges}
		for q, want := range c.want {
			if got := part.LevelLine().At(at(q)); math.Abs(got-want) > 1e-12 {
				t.Errorf("%s: level at quarter %g = %g, want %g", name, q, got, want)
			}
		}
	}
}

// TestLevelStaysBetweenMarks: a hairpin that points to the next mark never
// leaves the range of the two, and never turns back.
func TestLevelStaysBetweenMarks(t *testing.T) {
	marks := []string{"ppp", "pp", "p", "mp", "mf", "f", "ff", "fff"}
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.Permutation(marks).Draw(t, "marks")
		a, _ := LevelStep(k[0])
		b, _ := LevelStep(k[1])
		const end = 64 // sixteenths between the marks
		from := rapid.Int64Range(0, end-1).Draw(t, "from")
		to := rapid.Int64Range(from+1, end).Draw(t, "to")
		p := &Part{
			Dynamics: []DynamicMark{{At: Time{}, Mark: k[0]}, {At: Frac(end, 16), Mark: k[1]}},
			Wedges:   []Wedge{{From: Frac(from, 16), To: Frac(to, 16), Grow: b > a}},
		}
		line, last := p.LevelLine(), a
		for i := range int64(end + 1) {
			got := line.At(Frac(i, 16))
			if got < min(a, b) || got > max(a, b) || (got-last)*(b-a) < 0 {
				t.Fatalf("%s to %s, hairpin %d to %d: level at %d = %g after %g", k[0], k[1], from, to, i, got, last)
			}
			last = got
		}
		if last != b {
			t.Fatalf("level at the mark = %g, want %g", last, b)
		}
	})
}

// TestLevelAgreesWithLine: asking for one moment gives what the whole line has.
func TestLevelAgreesWithLine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := &Part{}
		for i := range int64(40) {
			at := Frac(i, 8)
			switch rapid.IntRange(0, 5).Draw(t, "mark") {
			case 0:
				p.Dynamics = append(p.Dynamics, DynamicMark{At: at, Mark: rapid.SampledFrom([]string{"pp", "mf", "ff", "sfz"}).Draw(t, "level")})
			case 1:
				length := Frac(rapid.Int64Range(0, 12).Draw(t, "length"), 8)
				p.Wedges = append(p.Wedges, Wedge{From: at, To: at.Add(length), Grow: rapid.Bool().Draw(t, "grow")})
			}
		}
		line := p.LevelLine()
		for i := range int64(100) {
			if at := Frac(i, 16); p.Level(at) != line.At(at) {
				t.Fatalf("level at %v = %g, on the line %g", at, p.Level(at), line.At(at))
			}
		}
	})
}
