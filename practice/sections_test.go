package practice

import (
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"waterkey/finding"
)

// inPhrases is a plain part of bars of two seconds with phrases that begin at these bars.
func inPhrases(n int, begins ...string) *planner {
	m := plain(n)
	f := finding.Finding{Stage: finding.Choices, Kind: "phrase"}
	at := index(m.Bars)
	for i, from := range begins {
		to := n
		if i+1 < len(begins) {
			to = at[begins[i+1]]
		}
		f.Places = append(f.Places, []string{from, m.Bars[to-1].Number})
	}
	m.Findings = []finding.Finding{f}
	return newPlanner(m, terms(), nil)
}

// TestSections: a part is tried in halves before it is tried whole, a long one in
// shorter stretches, and each begins where a phrase does (common practice, no source).
func TestSections(t *testing.T) {
	tests := []struct {
		name string
		p    *planner
		want []Span
	}{
		{"halves", inPhrases(32, "1", "9", "17", "25"), []Span{{0, 15}, {16, 31}}},
		{"the phrase that begins nearest to the middle", inPhrases(32, "1", "9", "20", "25"), []Span{{0, 18}, {19, 31}}},
		{"two phrases", inPhrases(32, "1", "7"), []Span{{0, 5}, {6, 31}}},
		{"200 s in three", inPhrases(100, "1", "21", "35", "51", "68", "81"), []Span{{0, 33}, {34, 66}, {67, 99}}},
	}
	for _, test := range tests {
		if diff := cmp.Diff(test.want, test.p.sections()); diff != "" {
			t.Errorf("%s (-want +got):\n%s", test.name, diff)
		}
	}
}

// TestLateDaysSections: every section of the part stands on each late day, before the
// takes, in words of its own; days that are shorter than those before say why.
func TestLateDaysSections(t *testing.T) {
	m := march()
	m.Findings = append(m.Findings, finding.Finding{Stage: finding.Choices, Kind: "phrase", Places: [][]string{{"1", "8"}, {"9", "16"}, {"17", "24"}, {"25", "32"}}})
	m.Run /= 2 // a part of half a minute
	for i := range m.Bars {
		m.Bars[i].Seconds /= 2
	}
	plan, err := Make(m, weeks(6, 60))
	if err != nil {
		t.Fatal(err)
	}
	minutes, late := map[Phase][]int{}, 0
	for _, d := range plan.Days {
		minutes[d.Phase] = append(minutes[d.Phase], d.Minutes)
		if d.Phase != Late {
			continue
		}
		late++
		var got []string
		for _, it := range d.Items {
			if it.Kind == MockUp {
				break
			}
			if slices.Contains(sectionWords, it.What) {
				got = append(got, strings.Join(it.Bars, "-"))
			}
		}
		if want := []string{"1-16", "17-32"}; !slices.Equal(got, want) {
			t.Errorf("%s has the sections %v before its takes, want %v", d.Date, got, want)
		}
	}
	if late == 0 {
		t.Error("no late day")
	}
	said := slices.ContainsFunc(plan.Remarks, func(r string) bool { return strings.HasPrefix(r, "The last days before the recording are shorter") })
	if !said {
		t.Error("no late day is called shorter than the middle ones")
	}
	if want := 3*mean(minutes[Late]) <= 2*mean(minutes[Middle]); said != want {
		t.Errorf("shorter days remarked on: %v; middle days %v, late days %v minutes", said, minutes[Middle], minutes[Late])
	}
}

func mean(of []int) float64 {
	sum := 0
	for _, n := range of {
		sum += n
	}
	return float64(sum) / float64(len(of))
}
