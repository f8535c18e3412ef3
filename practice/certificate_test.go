package practice

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"waterkey/finding"
	"waterkey/player"
)

// certify recomputes from a plan alone what it promises, and says what does not
// hold.
func certify(m Material, t Terms, p *Plan) error {
	for _, check := range []func(Material, Terms, *Plan) error{
		certifyMinutes, certifyRest, certifyOrder, certifyGrowth, certifyStrength, certifyCalendar, certifySegments, certifyMeetings,
	} {
		if err := check(m, t, p); err != nil {
			return err
		}
	}
	return nil
}

// certifyMinutes adds the seconds of every item and the minutes of every day.
func certifyMinutes(m Material, t Terms, p *Plan) error {
	for _, d := range p.Days {
		minutes, play := 0, 0
		for _, it := range d.Items {
			minutes, play = minutes+it.Minutes, play+it.PlayS
			if it.PlayS+it.Reps*it.RestS > 60*it.Minutes {
				return fmt.Errorf("%s: %q takes %d s of playing and %d times %d s of rest in %d minutes", d.Date, it.What, it.PlayS, it.Reps, it.RestS, it.Minutes)
			}
			if it.Reps != len(it.Tempos) || it.Reps > 0 && it.BPM != it.Tempos[0] {
				return fmt.Errorf("%s: %d turns in tempos %v from %g", d.Date, it.Reps, it.Tempos, it.BPM)
			}
			if it.Kind != Visit && it.Kind != Phrase {
				continue
			}
			at := index(m.Bars)
			real := 0.0 // s, from the bars and tempos alone
			s := Span{at[it.Bars[0]], at[it.Bars[1]]}
			for _, bpm := range it.Tempos {
				real += m.seconds(s) * m.Bars[s.From].BPM / bpm
			}
			if float64(it.PlayS) < real-1e-6 || float64(it.PlayS) > real+float64(it.Reps) {
				return fmt.Errorf("%s: bars %v last %g s, planned are %d", d.Date, it.Bars, real, it.PlayS)
			}
		}
		if minutes != d.Minutes || play != d.PlayS {
			return fmt.Errorf("%s: %d minutes and %d s of playing are stated, the items make %d and %d", d.Date, d.Minutes, d.PlayS, minutes, play)
		}
		if minutes > t.Minutes || minutes > d.Limit {
			return fmt.Errorf("%s: %d minutes of %d", d.Date, minutes, d.Limit)
		}
	}
	return nil
}

// certifyRest wants rest as long as hard playing, half of it after other playing,
// and five minutes after at most twenty-five. One item alone may be longer: half of it
// is rest.
func certifyRest(m Material, _ Terms, p *Plan) error {
	for _, d := range p.Days {
		since := 0
		for _, it := range d.Items {
			if it.Kind == Pause {
				if it.Minutes < 5 {
					return fmt.Errorf("%s: a pause of %d minutes", d.Date, it.Minutes)
				}
				since = 0
				continue
			}
			if since > 0 && since+it.Minutes > 25 {
				return fmt.Errorf("%s: %d minutes without a pause", d.Date, since+it.Minutes)
			}
			since += it.Minutes
			rest := it.Reps * it.RestS
			if it.Reps > 0 && (2*rest < it.PlayS || it.Hard && rest < it.PlayS) {
				return fmt.Errorf("%s: %q rests %d s for %d s of playing", d.Date, it.What, rest, it.PlayS)
			}
			if tired := it.Kind == Run || it.Kind == MockUp || it.StrongS > 0; tired && !it.Hard {
				return fmt.Errorf("%s: %q tires and is not hard", d.Date, it.What)
			}
		}
		if last := d.Items[len(d.Items)-1]; last.Kind == Pause {
			return fmt.Errorf("%s ends with a pause", d.Date)
		}
	}
	return nil
}

// certifyOrder wants a warm-up first, no bars twice in a row but takes, and slow
// and goal tempo in turn.
func certifyOrder(_ Material, _ Terms, p *Plan) error {
	for _, d := range p.Days {
		if d.Items[0].Kind != WarmUp {
			return fmt.Errorf("%s starts with %q", d.Date, d.Items[0].Kind)
		}
		for i, it := range d.Items {
			if i > 0 && it.Kind == Visit && d.Items[i-1].Kind == Visit && slices.Equal(it.Bars, d.Items[i-1].Bars) {
				return fmt.Errorf("%s: bars %v twice in a row", d.Date, it.Bars)
			}
			for k := 2; k < len(it.Tempos); k++ {
				if it.Tempos[k] != it.Tempos[k-2] {
					return fmt.Errorf("%s: tempos %v do not alternate", d.Date, it.Tempos)
				}
			}
		}
	}
	return nil
}

// certifyGrowth holds every day of practice to 120 % of the average day of the week
// before, weeks counted back from the recording, in whole numbers.
func certifyGrowth(_ Material, t Terms, p *Plan) error {
	week := func(d Day) int { return (daysFrom(day(d.Date), t.By) - 1) / 7 }
	for _, d := range p.Days[:len(p.Days)-1] {
		played, days := 0, 0
		for _, e := range p.Days[:len(p.Days)-1] {
			if week(e) == week(d)+1 {
				played, days = played+e.PlayS, days+1
			}
		}
		if days > 0 && 5*days*d.PlayS > 6*played {
			return fmt.Errorf("%s: %d s of playing after a week with %d s on %d days", d.Date, d.PlayS, played, days)
		}
	}
	return nil
}

// certifyStrength bounds full strength to five minutes or one run.
func certifyStrength(m Material, _ Terms, p *Plan) error {
	for _, d := range p.Days {
		sum := 0
		for _, it := range d.Items {
			sum += it.StrongS
			if it.StrongS > 0 && d.Phase == Early {
				return fmt.Errorf("%s: full strength on an early day", d.Date)
			}
		}
		if limit := max(300, m.strongSeconds(m.whole())); sum != d.StrongS || sum > limit {
			return fmt.Errorf("%s: %d s at full strength, stated %d, at most %d", d.Date, sum, d.StrongS, limit)
		}
	}
	return nil
}

// certifyCalendar wants days in order within the dates, no more of them a week than
// asked for, the recording last and the lighter day right before it.
func certifyCalendar(_ Material, t Terms, p *Plan) error {
	weeks := map[int]int{}
	for i, d := range p.Days {
		at := day(d.Date)
		if at.Before(date(t.Today)) || at.After(date(t.By)) || i > 0 && !day(p.Days[i-1].Date).Before(at) {
			return fmt.Errorf("%s is out of place", d.Date)
		}
		if d.Phase != Recording {
			weeks[(daysFrom(at, t.By)-1)/7]++
		}
	}
	for w, n := range weeks {
		if n > t.DaysPerWeek {
			return fmt.Errorf("%d days in week %d before the recording, %d were asked for", n, w, t.DaysPerWeek)
		}
	}
	n := len(p.Days)
	if last := p.Days[n-1]; last.Phase != Recording || last.Date != iso(t.By) {
		return fmt.Errorf("the last day is %s, %s", last.Date, last.Phase)
	}
	if n < 2 || p.Days[n-2].Phase != DayBefore || daysFrom(day(p.Days[n-2].Date), t.By) != 1 {
		return fmt.Errorf("no lighter day before the recording")
	}
	if light := p.Days[n-2]; light.Minutes > max(lightMinutes, t.Minutes/2) || light.StrongS > 0 {
		return fmt.Errorf("the day before has %d minutes of %d, %d s at full strength", light.Minutes, t.Minutes, light.StrongS)
	}
	return nil
}

// certifySegments wants cores that share no bar, are short, and overlap what
// sounds beside them by one bar.
func certifySegments(m Material, _ Terms, p *Plan) error {
	at := index(m.Bars)
	end := -1
	for _, s := range p.Segments {
		core, span := Span{at[s.Core[0]], at[s.Core[1]]}, Span{at[s.Bars[0]], at[s.Bars[1]]}
		if core.From <= end {
			return fmt.Errorf("core %v meets the one before", s.Core)
		}
		end = core.To
		if n := core.bars(); n > 4 || n > 2 && m.seconds(core) > m.coreSeconds() {
			return fmt.Errorf("core %v has %d bars, %g s", s.Core, n, m.seconds(core))
		}
		want := core
		if core.From > 0 && !m.Bars[core.From-1].Silent {
			want.From--
		}
		if core.To+1 < len(m.Bars) && !m.Bars[core.To+1].Silent {
			want.To++
		}
		if span != want {
			return fmt.Errorf("core %v is practiced as %v", s.Core, s.Bars)
		}
		if s.NowBPM > s.GoalBPM || s.NowBPM <= 0 {
			return fmt.Errorf("core %v: %g now, %g is the goal", s.Core, s.NowBPM, s.GoalBPM)
		}
	}
	return nil
}

// certifyMeetings wants heavy segments on three days when there are so many, every
// other one at least once, and nothing retired visited.
func certifyMeetings(_ Material, _ Terms, p *Plan) error {
	for i, s := range p.Segments {
		days := 0
		for _, d := range p.Days[:len(p.Days)-1] {
			if slices.ContainsFunc(d.Items, func(it Item) bool { return it.Kind == Visit && it.segment == i }) {
				days++
			}
		}
		want := 1
		if s.Weight >= heavy {
			want = min(3, len(p.Days)-1)
		}
		switch {
		case s.State == Work && days < want:
			return fmt.Errorf("bars %v, weight %g, are met on %d days, %d are wanted", s.Core, s.Weight, days, want)
		case s.State != Work && days > 0:
			return fmt.Errorf("bars %v are %s and visited", s.Core, s.State)
		}
	}
	return nil
}

var someKinds = []string{"leap", "high", "low", "short-rest", "dotted", "stands-out", "articulation-change", "soft-and-low", "loud-and-high", "hairpin", "phrase", "breath", "odd-thing"}

// drawMaterial makes a part up.
func drawMaterial(t *rapid.T) Material {
	n := rapid.IntRange(1, 60).Draw(t, "bars")
	m := plain(n)
	m.Level = player.Level(rapid.IntRange(1, 5).Draw(t, "level"))
	m.Run = 0
	for i := range m.Bars {
		m.Bars[i].Seconds = float64(rapid.IntRange(2, 40).Draw(t, "tenths")) / 10
		m.Bars[i].Silent = i > 0 && rapid.IntRange(0, 5).Draw(t, "rest") == 0
		m.Bars[i].Strong = rapid.IntRange(0, 4).Draw(t, "strong") == 0
		m.Run += m.Bars[i].Seconds
	}
	for range rapid.IntRange(0, 20).Draw(t, "findings") {
		from := rapid.IntRange(1, n).Draw(t, "from")
		to := min(n, from+rapid.IntRange(0, 9).Draw(t, "more"))
		f := found(finding.Stage(rapid.IntRange(0, 4).Draw(t, "stage")), rapid.SampledFrom(someKinds).Draw(t, "kind"), float64(rapid.IntRange(0, 100).Draw(t, "weight"))/100, from, to)
		m.Findings = append(m.Findings, f)
	}
	if rapid.Bool().Draw(t, "slide") {
		m.Comfort = func(s Span) (float64, string, bool) { return float64(30 + 7*s.From%80), "C3 to F3", s.From%3 > 0 }
	}
	for range rapid.IntRange(0, 4).Draw(t, "takes") {
		take := Take{Name: "take.wav"}
		for range m.Bars {
			take.Share = append(take.Share, rapid.SampledFrom([]float64{0, 0.7, 1, 1.02}).Draw(t, "share"))
		}
		if from := rapid.IntRange(1, n).Draw(t, "slip"); rapid.Bool().Draw(t, "slips") {
			take.Findings = []finding.Finding{found(finding.Notes, "missed-note", 0.95, from, from)}
		}
		m.Takes = append(m.Takes, take)
	}
	return m
}

func drawTerms(t *rapid.T) Terms {
	start := day("2026-11-25")
	o := Terms{Today: start, By: start.AddDate(0, 0, rapid.IntRange(1, 40).Draw(t, "nights")),
		DaysPerWeek: rapid.IntRange(1, 7).Draw(t, "days a week"), Minutes: rapid.IntRange(10, 120).Draw(t, "minutes")}
	if rapid.Bool().Draw(t, "used to") {
		o.Now = rapid.IntRange(1, 120).Draw(t, "now")
	}
	if rapid.Bool().Draw(t, "began") {
		o.Since = start.AddDate(0, 0, -rapid.IntRange(0, 30).Draw(t, "ago"))
	}
	return o
}

// TestCertificate plans made-up parts and recomputes what each plan promises.
func TestCertificate(t *testing.T) {
	planned := 0
	rapid.Check(t, func(t *rapid.T) {
		m, o := drawMaterial(t), drawTerms(t)
		p, err := Make(m, o)
		if err != nil {
			return // too long for the minutes: TestErrors
		}
		planned++
		m.Bars = m.tiring()
		if err := certify(m, o, p); err != nil {
			t.Fatal(err)
		}
	})
	if planned < 20 {
		t.Errorf("only %d parts could be planned", planned)
	}
}

// TestCertificateMarch is the same on three weeks of a march, which is planned in full.
func TestCertificateMarch(t *testing.T) {
	m := march()
	began := time.Now()
	p, err := Make(m, terms())
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("planned in %v", time.Since(began))
	m.Bars = m.tiring()
	if err := certify(m, terms(), p); err != nil {
		t.Error(err)
	}
	if len(p.Days) != 19 { // 18 of practice and the recording
		t.Errorf("%d days", len(p.Days))
	}
	if len(p.Remarks) > 0 {
		t.Errorf("three weeks leave something out: %q", p.Remarks)
	}
}
