package practice

import (
	"slices"
	"strings"
	"testing"

	"waterkey/finding"
)

func TestBarList(t *testing.T) {
	tests := []struct {
		bars [][2]string
		want string
	}{
		{nil, ""},
		{[][2]string{{"4", "4"}}, "bar 4"},
		{[][2]string{{"4", "7"}}, "bars 4 to 7"},
		{[][2]string{{"2", "2"}, {"5", "6"}, {"9", "9"}}, "bars 2, 5 to 6 and 9"},
		{[][2]string{{"2", "2"}, {"2", "2"}}, "bar 2"},
	}
	for _, tt := range tests {
		if got := barList(tt.bars); got != tt.want {
			t.Errorf("%v is %q, want %q", tt.bars, got, tt.want)
		}
	}
}

func TestSays(t *testing.T) {
	for what, want := range map[string]string{"Pause: put the horn down.": "Put the horn down.", "Sing it: then play.": "Sing it: then play."} {
		if got := (Item{Kind: Pause, What: what}).Says(); got != want {
			t.Errorf("%q says %q, want %q", what, got, want)
		}
	}
}

// itemsOf are the items of a kind with their days.
func itemsOf(p *Plan, kind Kind, say func(Day, Item)) {
	for _, d := range p.Days {
		for _, it := range d.Items {
			if it.Kind == kind {
				say(d, it)
			}
		}
	}
}

// TestWhereTheTroubleIs: in a segment with several findings the advice says of
// which it speaks, and where.
func TestWhereTheTroubleIs(t *testing.T) {
	m := plain(32)
	m.Findings = []finding.Finding{found(finding.Notes, "leap", 0.7, 18, 18), found(finding.Rhythm, "dotted", 0.6, 19, 19), found(finding.Rhythm, "short-rest", 0.6, 2, 2)}
	p, err := Make(m, terms())
	if err != nil {
		t.Fatal(err)
	}
	said := map[string]int{}
	itemsOf(p, Visit, func(d Day, it Item) {
		for _, want := range []string{"New: wide leap, dotted figure. First the wide leap in bar 18. Mend leap.", "Now the dotted figure in bar 19. Mend dotted.", "New: short rest. Mend short-rest."} {
			if strings.HasPrefix(it.What, want) {
				said[want]++
			}
		}
	})
	for want, n := range said {
		if n != 1 {
			t.Errorf("%q is said %d times", want, n)
		}
	}
	if len(said) != 3 {
		t.Errorf("said: %v", said)
	}
}

// TestSecondVisits: a day with room goes round twice, also where a loud place comes
// first though a soft one is more urgent.
func TestSecondVisits(t *testing.T) {
	m := plain(32)
	m.Findings = []finding.Finding{found(finding.Notes, "loud-and-high", 0.7, 3, 3), found(finding.Notes, "leap", 0.8, 12, 12), found(finding.Rhythm, "dotted", 0.7, 20, 20)}
	// Lines no longer than the segments, so that nothing stands between the rounds.
	m.Findings = append(m.Findings, finding.Finding{Kind: "phrase", Places: [][]string{{"1", "1"}, {"2", "4"}, {"5", "10"}, {"11", "13"}, {"14", "18"}, {"19", "21"}, {"22", "32"}}})
	o := terms()
	o.Minutes, o.DaysPerWeek = 25, 3
	p, err := Make(m, o)
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range p.Days {
		visits, places := 0, map[string]bool{}
		for _, it := range d.Items {
			if it.Kind == Visit {
				visits, places[it.Bars[0]] = visits+1, true
			}
		}
		if d.Phase == Early && visits < 2*len(places) && d.Limit-d.Minutes > 4 {
			t.Errorf("%s: %d visits to %d places, and %d minutes left", d.Date, visits, len(places), d.Limit-d.Minutes)
		}
	}
}

// TestKnownFromTakes: what a take had right is not new, and met at both tempos at once.
func TestKnownFromTakes(t *testing.T) {
	m := march()
	m.Takes = []Take{{"the take one.wav", slices.Repeat([]float64{1}, 32), []finding.Finding{found(finding.Notes, "missed-note", 0.9, 18, 18)}}}
	p, err := Make(m, terms())
	if err != nil {
		t.Fatal(err)
	}
	back := 0
	itemsOf(p, Visit, func(d Day, it Item) {
		if strings.HasPrefix(it.What, "New:") {
			t.Errorf("%s: bars %v were right in a take: %q", d.Date, it.Bars, it.What)
		}
		if strings.HasPrefix(it.What, "Back: ") {
			back++
		}
	})
	if back != 1 {
		t.Errorf("back is said %d times", back)
	}
	if !slices.ContainsFunc(p.Remarks, func(r string) bool { return r == "Back since the take one.wav: bars 18 to 19." }) {
		t.Errorf("remarks: %q", p.Remarks)
	}
	for _, d := range p.Days {
		if strings.Contains(d.Focus, "new today") && !strings.Contains(d.Focus, "17 to 20") {
			t.Errorf("%s: %s", d.Date, d.Focus)
		}
	}
}

// TestLateDays: only what is due is checked, and the last take of a day is called so.
func TestLateDays(t *testing.T) {
	m := march()
	p := newPlanner(m, terms(), keepHeaviest(cut(m), inView))
	for k := p.first; k < len(p.days); k++ {
		due := p.dueOn(k)
		d := p.fillDay(k)
		p.out = append(p.out, d)
		if d.Phase != Late {
			continue
		}
		visits, takes, last := 0, 0, 0
		for _, it := range d.Items {
			switch {
			case it.Kind == Visit:
				visits++
				if it.Reps > fewestTurns {
					t.Errorf("%s: a check of bars %v has %d turns", d.Date, it.Bars, it.Reps)
				}
			case it.Kind == MockUp && it.What == mockLast:
				takes, last = takes+1, takes+1
			case it.Kind == MockUp:
				takes++
			}
		}
		if visits > max(spotChecks, due) {
			t.Errorf("%s: %d checks, %d are due", d.Date, visits, due)
		}
		if takes > 1 && last != takes || takes == 1 && last > 0 {
			t.Errorf("%s: take %d of %d is called the last", d.Date, last, takes)
		}
	}
}
