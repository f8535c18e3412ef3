package practice

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// TestCutRests: of a rest of ten bars one stays after the note and two before the next;
// a rest of five is played as it stands.
func TestCutRests(t *testing.T) {
	m := plain(40) // bars of two seconds
	for i := 10; i < 20; i++ {
		m.Bars[i].Silent = true
	}
	for i := 30; i < 35; i++ {
		m.Bars[i].Silent = true
	}
	got, cut := m.cutRests()
	if cut != 14 || got.Run != 66 || got.seconds(got.whole()) != 66 {
		t.Errorf("%v s are cut, %v s are left, %v s by bars; want 14, 66 and 66", cut, got.Run, got.seconds(got.whole()))
	}
	for i, b := range got.Bars {
		if gone := b.Seconds == 0; gone != (i >= 11 && i < 18) {
			t.Errorf("bar %s: %v s", b.Number, b.Seconds)
		}
	}
	if m.Bars[15].Seconds != 2 {
		t.Error("the material itself was changed")
	}
	m.Run = 160 // played twice
	if got, _ := m.cutRests(); got.Run != 132 {
		t.Errorf("with the repeat %v s are left, want 132", got.Run)
	}
}

// TestTacet: a movement that is nearly all rests is planned, and says what it cuts.
func TestTacet(t *testing.T) {
	m := plain(400)
	for i := range m.Bars {
		m.Bars[i].Silent = i < 190 || i > 205
	}
	m.Findings = march().Findings[:1]
	m.Findings[0].Bars = []string{"195", "195"}
	p, err := Make(m, terms())
	if err != nil {
		t.Fatal(err)
	}
	if !slices.ContainsFunc(p.Remarks, func(r string) bool { return strings.Contains(r, "so the part takes 0:44.") }) {
		t.Errorf("remarks: %q", p.Remarks)
	}
	if takes := takesOn(p.Days[len(p.Days)-1]); takes == 0 {
		t.Error("no take on the day of the recording")
	}
}

// TestLongPart: where the days are too short for a take, the last one has room for it.
func TestLongPart(t *testing.T) {
	m, when := march(), terms()
	m.Run, when.Minutes = 600, 20
	p, err := Make(m, when)
	if err != nil {
		t.Fatal(err)
	}
	last := p.Days[len(p.Days)-1]
	if takesOn(last) != 1 || last.Minutes > last.Limit {
		t.Errorf("the day of the recording has %d takes in %d of %d minutes", takesOn(last), last.Minutes, last.Limit)
	}
	if !slices.ContainsFunc(p.Remarks, func(r string) bool { return strings.HasPrefix(r, "A warm-up and one whole take with its rest need") }) {
		t.Errorf("remarks: %q", p.Remarks)
	}
	m.Run = 6000
	if _, err := Make(m, when); err == nil || !strings.Contains(err.Error(), "plan its sections one by one") {
		t.Errorf("a part of 100 minutes: %v", err)
	}
}

func takesOn(d Day) int {
	n := 0
	for _, it := range d.Items {
		if it.Kind == MockUp {
			n++
		}
	}
	return n
}

// TestManyLeftOut: of many places that are not worked on singly the number is said, and
// where the first and the last of them stand.
func TestManyLeftOut(t *testing.T) {
	m := plain(200)
	for i := range 40 {
		m.Findings = append(m.Findings, march().Findings[0])
		m.Findings[i].Bars = []string{m.Bars[5*i].Number, m.Bars[5*i].Number}
	}
	p, err := Make(m, terms())
	if err != nil {
		t.Fatal(err)
	}
	first, last, n := "", "", 0
	for _, s := range p.Segments {
		if s.State == InRuns {
			if n++; n == 1 {
				first = s.Core[0]
			}
			last = s.Core[1]
		}
	}
	want := fmt.Sprintf("%d lighter places between bars %s and %s are not worked on singly", n, first, last)
	if n <= mostListed || !slices.ContainsFunc(p.Remarks, func(r string) bool { return strings.HasPrefix(r, want) }) {
		t.Errorf("%d are left out; remarks: %q, want %q", n, p.Remarks, want)
	}
}
