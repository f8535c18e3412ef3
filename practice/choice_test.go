package practice

import (
	"slices"
	"testing"

	"waterkey/finding"
)

// segmentsOf cuts a part with these findings and names the bars of what comes out.
func segmentsOf(m Material) [][2]string {
	var out [][2]string
	for _, s := range cut(m) {
		out = append(out, s.Bars)
	}
	return out
}

// TestNear: two places of which one would be practiced within the other are one.
func TestNear(t *testing.T) {
	m := plain(32)
	m.Findings = []finding.Finding{found(0, "leap", 0.5, 9, 9), found(0, "leap", 0.5, 11, 11)}
	if got := segmentsOf(m); !slices.Equal(got, [][2]string{{"8", "10"}, {"10", "12"}}) {
		t.Errorf("with a bar between them: %v", got)
	}
	m.Bars[7].Silent, m.Bars[11].Silent = true, true // what is left is two bars each, one of them the same
	if got := segmentsOf(m); !slices.Equal(got, [][2]string{{"9", "11"}}) {
		t.Errorf("between rests: %v", got)
	}
}

// TestVariety: of many high places and one lighter of another kind, that one is kept.
func TestVariety(t *testing.T) {
	m := plain(60)
	for i := range 8 {
		m.Findings = append(m.Findings, found(finding.Notes, "high", 0.9, 5*i+3, 5*i+3))
	}
	m.Findings = append(m.Findings, found(finding.Rhythm, "short-rest", 0.6, 55, 55))
	kept := map[string]int{}
	for _, s := range keepHeaviest(cut(m), 6) {
		if s.State == Work {
			kept[s.Name]++
		}
	}
	if kept["high notes"] != 5 || kept["short rest"] != 1 {
		t.Errorf("kept: %v, want five high places and the rest", kept)
	}
}

// TestOneStrongADay: among the new places of a day at most one is loud or high while
// there are others, and none is missed at the goal tempo on its first day.
func TestOneStrongADay(t *testing.T) {
	m := plain(60)
	for i := range 4 {
		m.Findings = append(m.Findings, found(finding.Notes, "high", 0.7, 6*i+3, 6*i+3), found(finding.Rhythm, "short-rest", 0.7, 6*i+30, 6*i+30))
	}
	p, err := Make(m, weeks(6, 45))
	if err != nil {
		t.Fatal(err)
	}
	met := map[int]bool{}
	for _, d := range p.Days {
		strong := 0
		for _, it := range d.Items {
			if it.Kind != Visit || met[it.segment] || !p.Segments[it.segment].strong {
				continue
			}
			if it.round == 0 {
				strong++
			}
			if it.Tempos[0] == p.Segments[it.segment].GoalBPM || len(it.Tempos) > 1 && it.Tempos[1] != it.Tempos[0] {
				t.Errorf("%s: bars %v are new, high, and played at %v", d.Date, it.Bars, it.Tempos)
			}
		}
		for _, it := range d.Items {
			if it.Kind == Visit {
				met[it.segment] = true
			}
		}
		if strong > 1 {
			t.Errorf("%s: %d high places are new", d.Date, strong)
		}
	}
	if len(met) != 8 {
		t.Errorf("%d segments were met", len(met))
	}
}

// TestLongNotes: half notes are not practiced slower, whatever is hard about them; a
// quick note among them changes that, and so does a take (common practice, no source).
func TestLongNotes(t *testing.T) {
	now := func(edit func(*Material)) float64 {
		m := plain(8)
		for i := range m.Bars {
			m.Bars[i].Quick = 1.2
		}
		m.Findings = []finding.Finding{found(finding.Notes, "accidental", 0.5, 4, 4)}
		edit(&m)
		return cut(m)[0].NowBPM
	}
	if got := now(func(*Material) {}); got != 96 {
		t.Errorf("among half notes practice begins at %v, the goal is 96", got)
	}
	if got := now(func(m *Material) { m.Bars[3].Quick = 0.3 }); got >= 96 {
		t.Errorf("with eighths practice begins at %v", got)
	}
	if got := now(func(m *Material) { m.Takes = []Take{{Share: slices.Repeat([]float64{0.8}, 8)}} }); got >= 96 {
		t.Errorf("after a take at four fifths practice begins at %v", got)
	}
}
