package practice

import (
	"encoding/json"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// stored is a day as it comes back from where it was kept.
func stored(t *testing.T, d Day) Day {
	t.Helper()
	data, err := json.Marshal(d)
	if err != nil {
		t.Fatal(err)
	}
	var out Day
	if err := json.Unmarshal(data, &out); err != nil {
		t.Fatal(err)
	}
	return out
}

// brief is what a day holds, without its words.
func brief(days []Day) [][]string {
	out := [][]string{}
	for _, d := range days {
		day := []string{d.Date, string(d.Phase)}
		for _, it := range d.Items {
			day = append(day, string(it.Kind)+" "+cat(it.Bars)+" "+it.Turns())
		}
		out = append(out, day)
	}
	return out
}

func cat(bars []string) string {
	out := ""
	for _, b := range bars {
		out += b + " "
	}
	return out
}

// TestPlansGoOn: whoever does each day as it was planned finds the rest of the plan
// the next morning, though it is made anew from what is kept.
func TestPlansGoOn(t *testing.T) {
	m, o := march(), terms()
	whole := must(t, m, o)
	o.Since = o.Today
	for k := range len(whole.Days) - 1 {
		m.Past = append(m.Past, stored(t, whole.Days[k]))
		o.Today = day(whole.Days[k+1].Date)
		anew := must(t, m, o)
		if diff := cmp.Diff(brief(whole.Days[k+1:]), brief(anew.Days)); diff != "" {
			t.Fatalf("after %d days: the plan -, made anew +\n%s", k+1, diff)
		}
	}
}

// TestWhatWasNotDoneComesBack: a visit that was left out is new again, and what was
// done is not.
func TestWhatWasNotDoneComesBack(t *testing.T) {
	m, o := march(), terms()
	first := must(t, m, o).Days[0]
	done, left := stored(t, first), ""
	var kept []Item
	for _, it := range done.Items {
		switch {
		case it.Kind == Visit && (left == "" || cat(it.Bars) == left):
			left = cat(it.Bars)
		default:
			kept = append(kept, it)
		}
	}
	done.Items = kept
	m.Past = []Day{done}
	o.Since, o.Today = o.Today, o.Today.AddDate(0, 0, 1)
	today := must(t, m, o).Days[0]
	visits := map[string]bool{}
	for _, it := range today.Items {
		if it.Kind == Away {
			t.Error("the page is met as for the first time")
		}
		visits[cat(it.Bars)] = visits[cat(it.Bars)] || it.Kind == Visit
	}
	if !visits[left] {
		t.Errorf("bars %s were left out yesterday and are not met today: %v", left, brief([]Day{today}))
	}
}

// TestMissedDays: days on which nothing was done do not count as days without load.
func TestMissedDays(t *testing.T) {
	m, o := march(), terms()
	whole := must(t, m, o)
	m.Past = []Day{stored(t, whole.Days[0])}
	o.Since, o.Today = o.Today, o.Today.AddDate(0, 0, 9)
	p := must(t, m, o)
	// The load of the one day practiced, and a fifth on top (R. Manchester).
	if got, most := p.Days[0].PlayS, whole.Days[0].PlayS*mostNum/mostDen; got > most || got < whole.Days[0].PlayS {
		t.Errorf("after a week off the day has %d s of playing, want %d to %d", got, whole.Days[0].PlayS, most)
	}
}

// TestTheDayItself: on the day of the recording its own items are planned, when
// practice began before.
func TestTheDayItself(t *testing.T) {
	m, o := march(), terms()
	whole := must(t, m, o)
	for _, d := range whole.Days[:len(whole.Days)-1] {
		m.Past = append(m.Past, stored(t, d))
	}
	o.Since, o.Today = o.Today, o.By
	p := must(t, m, o)
	if len(p.Days) != 1 || p.Days[0].Phase != Recording {
		t.Fatalf("planned: %v", brief(p.Days))
	}
	if diff := cmp.Diff(brief(whole.Days[len(whole.Days)-1:]), brief(p.Days)); diff != "" {
		t.Error(diff)
	}
}

func must(t *testing.T, m Material, o Terms) *Plan {
	t.Helper()
	p, err := Make(m, o)
	if err != nil {
		t.Fatal(err)
	}
	return p
}
