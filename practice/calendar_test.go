package practice

import (
	"math"
	"strings"
	"testing"
	"time"

	"waterkey/finding"
)

func TestErrors(t *testing.T) {
	tests := []struct {
		name string
		edit func(*Material, *Terms)
		want []string // value, limit, what works
	}{
		{"a day that is past", func(_ *Material, o *Terms) { o.By = day("2026-11-24") }, []string{"2026-11-24 is past", "today is 2026-11-25", "2026-12-16 works"}},
		{"today", func(_ *Material, o *Terms) { o.By = o.Today }, []string{"leaves 0 days", "at least 1 night", "2026-11-26 works"}},
		{"too far", func(_ *Material, o *Terms) { o.By = day("2028-11-25") }, []string{"731 days", "at most 366", "2027-11-26 works"}},
		{"began tomorrow", func(_ *Material, o *Terms) { o.Since = day("2026-11-26") }, []string{"2026-11-26", "after today, 2026-11-25", "works"}},
		{"no days", func(_ *Material, o *Terms) { o.DaysPerWeek = 0 }, []string{"0 days a week", "1 to 7", "such as 6"}},
		{"eight days", func(_ *Material, o *Terms) { o.DaysPerWeek = 8 }, []string{"8 days a week", "1 to 7"}},
		{"no minutes", func(_ *Material, o *Terms) { o.Minutes = 0 }, []string{"0 minutes a day", "10 to 240", "such as 45"}},
		{"a day and a night", func(_ *Material, o *Terms) { o.Minutes = 1000 }, []string{"1000 minutes", "240"}},
		{"less than nothing up to now", func(_ *Material, o *Terms) { o.Now = -5 }, []string{"-5 minutes", "0 (not known) to 240"}},
		{"level nine", func(m *Material, _ *Terms) { m.Level = 9 }, []string{"level 9", "1 to 5"}},
		{"nothing to play", func(m *Material, _ *Terms) { m.Bars = nil }, []string{"no notes"}},
		{"a part longer than any day", func(m *Material, o *Terms) { m.Run = 6000 }, []string{"100 minutes", "240 minutes", "sections"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			m, o := march(), terms()
			tt.edit(&m, &o)
			p, err := Make(m, o)
			if err == nil || p != nil {
				t.Fatalf("no error, plan %v", p)
			}
			for _, want := range tt.want {
				if !strings.Contains(err.Error(), want) {
					t.Errorf("%q does not say %q", err, want)
				}
			}
		})
	}
}

// TestFrames counts days of practice by hand.
func TestFrames(t *testing.T) {
	tests := []struct {
		name   string
		nights int
		days   int
		want   string // every day from today: one letter a phase, a dot for a day off
	}{
		{"three weeks of six days", 21, 6, "eee.eeeemm.mmmmll.llbR"},
		{"one night", 1, 6, "bR"},
		{"two nights", 2, 6, "ebR"},
		{"three days", 3, 6, "embR"},
		{"four days of six keep all", 4, 6, "eembR"},
		{"a week of seven", 7, 7, "eeemmlbR"},
		{"two weeks of three", 14, 3, "..e.e.m..m.l.bR"},
		{"one day a week", 14, 1, "......e......bR"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			o := Terms{Today: day("2026-11-25"), By: day("2026-11-25").AddDate(0, 0, tt.nights), DaysPerWeek: tt.days, Minutes: 45}
			got := []byte(strings.Repeat(".", tt.nights+1))
			letter := map[Phase]byte{Early: 'e', Middle: 'm', Late: 'l', DayBefore: 'b', Recording: 'R'}
			for _, f := range left(o) {
				got[daysFrom(o.Today, f.date)] = letter[f.phase]
			}
			if string(got) != tt.want {
				t.Errorf("%s, want %s", got, tt.want)
			}
		})
	}
}

// left are the days that are planned.
func left(o Terms) []frame {
	all, first := o.frames()
	return all[first:]
}

// TestSince: a plan made anew in the middle has the days that are left of the one
// made at the start.
func TestSince(t *testing.T) {
	o := terms()
	all := left(o)
	o.Since, o.Today = o.Today, day("2026-12-06")
	rest := left(o)
	tail := all[len(all)-len(rest):]
	for i := range rest {
		if rest[i] != tail[i] {
			t.Errorf("%v, at the start %v", rest[i], tail[i])
		}
	}
	if rest[0].date.Before(o.Today) || len(rest) != 10 {
		t.Errorf("%d days from %v", len(rest), rest[0].date)
	}
}

// TestZones: a date is the same day in every zone.
func TestZones(t *testing.T) {
	o := terms()
	o.Today = time.Date(2026, 11, 25, 23, 30, 0, 0, time.FixedZone("west", -8*3600))
	if got := left(o)[0].date; !got.Equal(day("2026-11-25")) {
		t.Errorf("the first day is %v", got)
	}
}

// TestGrowthOfMinutes multiplies by hand: 34, 39, 44, 45; used to 20: 23, 26, 29.
func TestGrowthOfMinutes(t *testing.T) {
	o := Terms{Minutes: 45}
	for week, want := range []int{34, 39, 44, 45, 45} {
		if got := o.weekMinutes(week); got != want {
			t.Errorf("week %d: %d minutes, want %d", week, got, want)
		}
	}
	o.Now = 20
	for week, want := range []int{23, 26, 29} {
		if got := o.weekMinutes(week); got != want {
			t.Errorf("used to 20, week %d: %d minutes, want %d", week, got, want)
		}
	}
}

// TestExposure is held against the table of NIOSH's recommended limit (reference:
// cdc.gov/niosh/topics/noise, 85 dBA for 8 hours down to 100 for a quarter of one).
func TestExposure(t *testing.T) {
	for _, row := range []struct{ dba, minutes float64 }{{85, 480}, {88, 240}, {91, 120}, {94, 60}, {97, 30}, {100, 15}} {
		if got := ExposureMinutes(row.dba); math.Abs(got-row.minutes) > 1e-9 {
			t.Errorf("%g dBA: %g minutes, the table has %g", row.dba, got, row.minutes)
		}
		if got := ExposureLevel(row.minutes); math.Abs(got-row.dba) > 1e-9 {
			t.Errorf("%g minutes: %g dBA, the table has %g", row.minutes, got, row.dba)
		}
	}
}

// TestHearingNote: half an hour of playing is 97 dBA in that table.
func TestHearingNote(t *testing.T) {
	if note := hearingNote(1800); !strings.Contains(note, "30 minutes") || !strings.Contains(note, "97 dBA") {
		t.Error(note)
	}
}

// TestHardWork: a loud place rests as long as it is played, an easy one half of it,
// and full strength waits for the middle days.
func TestHardWork(t *testing.T) {
	m := march()
	for i := range m.Bars {
		m.Bars[i].Seconds = 12 // so that the least rest does not decide
	}
	m.Run = 12 * 32
	m.Findings = []finding.Finding{found(0, "loud-and-high", 0.7, 5, 5), found(0, "leap", 0.7, 20, 20)}
	p, err := Make(m, Terms{Today: day("2026-11-25"), By: day("2026-12-16"), DaysPerWeek: 6, Minutes: 90})
	if err != nil {
		t.Fatal(err)
	}
	full := map[Phase]int{}
	for _, d := range p.Days {
		for _, it := range d.Items {
			if it.Kind != Visit {
				continue
			}
			full[d.Phase] += it.StrongS
			share := 2
			if it.Bars[0] == "4" {
				share = 1
			}
			least := divideUp(it.PlayS, share*it.Reps)
			if it.RestS < least || it.RestS > least+4 || it.RestS%5 != 0 {
				t.Errorf("%s, bars %v: rest %d s, want %d, rounded up to 5", d.Date, it.Bars, it.RestS, least)
			}
		}
	}
	if full[Early] > 0 || full[DayBefore] > 0 || full[Middle] == 0 {
		t.Errorf("seconds at full strength: %v", full)
	}
}
