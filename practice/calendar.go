package practice

import (
	"fmt"
	"math"
	"time"

	"waterkey/player"
)

// Terms are the calendar that a plan has to keep to.
type Terms struct {
	Today       time.Time // first day that can be planned
	By          time.Time // day of the recording
	Since       time.Time // when practice began: phases and load count from there; zero is Today
	DaysPerWeek int       // 1 to 7
	Minutes     int       // at most on any day, rests and pauses included
	Now         int       // minutes a day the player is used to; 0 when not known
}

const (
	// DefaultDays leaves one day a week off (J. Horvath, Daily Herald, 2009).
	DefaultDays = 6
	// DefaultMinutes a day are for this part alone, beside other playing
	// (estimate: two stretches of 20 minutes with a pause between).
	DefaultMinutes = 45
	// leastMinutes hold a warm-up and two short visits, mostMinutes are as much as
	// a lip takes in a day (estimates).
	leastMinutes, mostMinutes = 10, 240
	// farthest is how far ahead a plan reaches, in days: a year.
	farthest = 366
)

const daysInWeek = 7

// date drops the time of day.
func date(t time.Time) time.Time {
	y, m, d := t.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
}

// daysFrom counts the nights from a to b.
func daysFrom(a, b time.Time) int { return int(math.Round(date(b).Sub(date(a)).Hours() / 24)) }

// TermsError says which of the terms no plan can keep, and what works: the wish is at
// fault, not the part.
type TermsError struct {
	Field string // by, since, days, minutes or now
	Text  string
}

func (e *TermsError) Error() string { return e.Text }

func termsError(field, format string, args ...any) error {
	return &TermsError{field, fmt.Sprintf(format, args...)}
}

func (t Terms) check(m Material) error {
	switch n := daysFrom(t.Today, t.By); {
	case n < 0:
		return termsError("by", "the recording on %s is past, today is %s; %s works", iso(t.By), iso(t.Today), iso(t.Today.AddDate(0, 0, 3*daysInWeek)))
	case n == 0 && (t.Since.IsZero() || daysFrom(t.Since, t.By) < 1):
		return termsError("by", "the recording on %s leaves 0 days to practice, at least 1 night is needed; %s works", iso(t.By), iso(t.Today.AddDate(0, 0, 1)))
	case n > farthest:
		return termsError("by", "the recording on %s is %d days away, at most %d are planned; %s works", iso(t.By), n, farthest, iso(t.Today.AddDate(0, 0, farthest)))
	}
	if !t.Since.IsZero() && daysFrom(t.Since, t.Today) < 0 {
		return termsError("since", "practice cannot have begun on %s, after today, %s; that day works", iso(t.Since), iso(t.Today))
	}
	if t.DaysPerWeek < 1 || t.DaysPerWeek > daysInWeek {
		return termsError("days", "%d days a week: want 1 to %d, such as %d", t.DaysPerWeek, daysInWeek, DefaultDays)
	}
	if t.Minutes < leastMinutes || t.Minutes > mostMinutes {
		return termsError("minutes", "%d minutes a day: want %d to %d, such as %d", t.Minutes, leastMinutes, mostMinutes, DefaultMinutes)
	}
	if t.Now < 0 || t.Now > mostMinutes {
		return termsError("now", "%d minutes a day up to now: want 0 (not known) to %d, such as 30", t.Now, mostMinutes)
	}
	if m.Level != 0 {
		if _, err := player.ParseLevel(int(m.Level)); err != nil {
			return err
		}
	}
	return t.checkPart(m)
}

// checkPart wants something to play, and a day that holds a warm-up and one take.
func (t Terms) checkPart(m Material) error {
	if len(m.Bars) == 0 || m.silent(Span{0, len(m.Bars) - 1}) {
		return fmt.Errorf("the part has no notes; there is nothing to practice")
	}
	m, _ = m.cutRests()
	if t.needed(m) > mostMinutes {
		return fmt.Errorf("the part lasts %.0f minutes without its long rests: a warm-up and one take with its rest do not fit into a day of %d minutes; plan its sections one by one", m.Run/60, mostMinutes)
	}
	return nil
}

// needed are the minutes of a day that holds a warm-up and one take.
func (t Terms) needed(m Material) int {
	take := m.take()
	for n := t.Minutes; ; n++ {
		if _, minutes := withPauses([]Item{{Minutes: warmUpMinutes(Recording, n)}, take}); minutes <= n || n > mostMinutes {
			return n
		}
	}
}

func iso(t time.Time) string { return t.Format(time.DateOnly) }

// Phase is a stage of the calendar.
type Phase string

// The phases: details in the order of the stages; all mixed and joined to
// phrases; whole runs and mock takes; the lighter day before; the day itself.
const (
	Early     Phase = "early"
	Middle    Phase = "middle"
	Late      Phase = "late"
	DayBefore Phase = "day before"
	Recording Phase = "recording"
)

// Shares of the days before the recording (estimates).
const earlyShare, lateShare = 0.4, 0.3

// frame is a day of practice before anything stands in it.
type frame struct {
	date     time.Time
	week     int // from the first, in weeks counted back from the recording
	phase    Phase
	minutes  int
	lastWeek bool // the last day of practice of its week
}

// offDays are the days off in a week by days of practice, counted back from the
// recording: 1 is the day before it, which is always one of practice.
var offDays = [daysInWeek + 1][]int{1: {2, 3, 4, 5, 6, 7}, 2: {2, 3, 5, 6, 7}, 3: {2, 4, 6, 7}, 4: {3, 5, 7}, 5: {4, 7}, 6: {4}, 7: nil}

// frames lays out the days of practice from Since on, and says which is the first
// that is not before Today: a plan made anew in the middle goes on where it was.
func (t Terms) frames() (all []frame, first int) {
	since := t.Since
	if since.IsZero() {
		since = t.Today
	}
	nights := daysFrom(since, t.By)
	last := (nights - 1) / daysInWeek
	for back := nights; back >= 1; back-- {
		if t.practices(back, nights) {
			week := last - (back-1)/daysInWeek
			all = append(all, frame{date: date(t.By).AddDate(0, 0, -back), week: week, minutes: t.weekMinutes(week)})
		}
	}
	t.setPhases(all)
	all = append(all, frame{date: date(t.By), week: last, phase: Recording, minutes: t.Minutes})
	for i := range all {
		all[i].lastWeek = all[i].phase != Recording && (i+2 >= len(all) || all[i+1].week != all[i].week)
	}
	for first < len(all)-1 && daysFrom(t.Today, all[first].date) < 0 {
		first++
	}
	return all, first
}

// practices says whether the day so many nights before the recording is one of
// practice. A first week that is cut short keeps its share of days, the first ones
// before others.
func (t Terms) practices(back, nights int) bool {
	in := (back-1)%daysInWeek + 1
	k := nights - (back - in) // days of this week, cut short in the first
	if k >= daysInWeek {
		return !contains(offDays[t.DaysPerWeek], in)
	}
	want := (k*t.DaysPerWeek + daysInWeek - 1) / daysInWeek
	for d := 1; d <= k; d++ {
		if !contains(offDays[t.DaysPerWeek], d) {
			want--
		}
	}
	if !contains(offDays[t.DaysPerWeek], in) {
		return true
	}
	for d := k; d > in; d-- {
		if contains(offDays[t.DaysPerWeek], d) {
			want--
		}
	}
	return want > 0
}

func contains(list []int, x int) bool {
	for _, y := range list {
		if x == y {
			return true
		}
	}
	return false
}

// setPhases divides the days before the recording.
func (t Terms) setPhases(days []frame) {
	n := float64(len(days))
	early, late := int(math.Round(earlyShare*n)), max(1, int(math.Round(lateShare*n)))
	for i := range days {
		d := &days[i]
		switch {
		case i == len(days)-1:
			d.phase, d.minutes = DayBefore, max(lightMinutes, d.minutes/2)
		case i < early:
			d.phase = Early
		case i < len(days)-late:
			d.phase = Middle
		default:
			d.phase = Late
		}
	}
}

const (
	// lightMinutes is the least the day before lasts: a warm-up and one visit
	// (estimate).
	lightMinutes = 8
	// Growth of the load from week to week: planned at growNum/growDen, the middle
	// of the 10 to 20 % that R. Manchester advises (read in a page that quotes
	// him), and never above mostNum/mostDen, its end.
	growNum, growDen = 23, 20
	mostNum, mostDen = 6, 5
)

// weekMinutes is what a day of a week may last: from three quarters of the full
// length (estimate), or a little more than the player is used to, it grows to
// the full length.
func (t Terms) weekMinutes(week int) int {
	minutes := (3*t.Minutes + 3) / 4
	if t.Now > 0 {
		minutes = max(t.Now*growNum/growDen, leastMinutes)
	}
	for range week {
		if minutes >= t.Minutes {
			break
		}
		minutes = minutes * growNum / growDen
	}
	return min(minutes, t.Minutes)
}
