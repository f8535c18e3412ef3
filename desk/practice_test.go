package desk_test

import (
	"bytes"
	"errors"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"waterkey/desk"
	"waterkey/practice"
)

// sameItems compares days of practice by what documents say of them.
var sameItems = cmpopts.IgnoreUnexported(practice.Item{})

// practicing is a desk whose march is recorded in three weeks.
func practicing(t *testing.T) *onDesk {
	o := newDesk(t)
	o.setTerms(0, desk.SheetTerms{By: o.day(21), PracticeTerms: desk.PracticeTerms{DaysPerWeek: 6, Minutes: 45}})
	return o
}

// day is a date so many days from the clock.
func (o *onDesk) day(n int) string { return o.clock.AddDate(0, 0, n).Format(time.DateOnly) }

func (o *onDesk) setTerms(seen desk.Revision, terms desk.SheetTerms) *desk.PracticeDocument {
	o.Helper()
	return must(o.SetTerms(ctx, o.sheet, seen, terms))(o.T)
}

func (o *onDesk) practice() *desk.PracticeDocument {
	o.Helper()
	doc := must(o.Practice(ctx, o.sheet))(o.T)
	if doc.Plan == nil {
		o.Fatalf("no plan: %s", doc.Reason)
	}
	return doc
}

func (o *onDesk) tick(date string, item, minutes int, done bool) *desk.PracticeDocument {
	o.Helper()
	return must(o.DoItem(ctx, o.sheet, date, desk.DoneItem{Item: item, Minutes: minutes}, done))(o.T)
}

// segmentAt is the segment whose trouble lies in a bar.
func segmentAt(t *testing.T, p *practice.Plan, bar string) practice.Segment {
	t.Helper()
	i := slices.IndexFunc(p.Segments, func(s practice.Segment) bool {
		return s.Core[0] <= bar && bar <= s.Core[1] && len(s.Core[0]) == len(bar)
	})
	if i < 0 {
		t.Fatalf("no segment for bar %s", bar)
	}
	return p.Segments[i]
}

// A passage that three takes of the sheet have right retires in its plan, and
// returns with the take that slips.
func TestTakesOfASheetRetireAPassage(t *testing.T) {
	o := practicing(t)
	p := page(t)
	right := func(k int) string { // another recording each time
		return desk.RenderedTake(t, p, "right.wav", desk.BothOf(desk.NoFault, desk.Later(float64(k)/100)))
	}
	for k := range 3 {
		if s := segmentAt(t, o.practice().Plan, "22"); s.State == practice.Retired || s.Right != k {
			t.Fatalf("after %d right takes bar 22 is %s with %d in a row", k, s.State, s.Right)
		}
		o.clock = o.clock.Add(time.Hour)
		o.take(right(k), o.clock)
	}
	s := segmentAt(t, o.practice().Plan, "22")
	if s.State != practice.Retired || s.RetiredBy != "the take of 25 November, 15:00" {
		t.Errorf("after three right takes bar 22 is %s since %q", s.State, s.RetiredBy)
	}
	o.clock = o.clock.Add(time.Hour)
	o.take(desk.RenderedTake(t, p, "slip.wav", desk.SharpIn(22, 22)), o.clock)
	if s = segmentAt(t, o.practice().Plan, "22"); s.State == practice.Retired || s.Right != 0 || s.SlippedIn != "the take of 25 November, 16:00" {
		t.Errorf("after a slip bar 22 is %s, %d in a row, slipped in %q", s.State, s.Right, s.SlippedIn)
	}
	for _, remark := range o.practice().Plan.Remarks {
		if strings.Contains(remark, "the take the take") {
			t.Errorf("%q", remark)
		}
	}
}

// What was done stays as it was: on its day, with the items of that day, whatever is
// planned since.
func TestDoneDaysStayAsTheyWere(t *testing.T) {
	o := practicing(t)
	first := o.practice()
	if first.Terms.Since != o.day(0) || first.Plan.Days[0].Date != o.day(0) {
		t.Fatalf("since %s, first day %s; want today", first.Terms.Since, first.Plan.Days[0].Date)
	}
	date, planned := first.Today, first.Plan.Days[0]
	o.tick(date, 2, 5, true)
	o.tick(date, 0, 3, true)
	want := []desk.DoneOn{{Date: date, DoneItem: desk.DoneItem{Item: 0, Minutes: 3}}, {Date: date, DoneItem: desk.DoneItem{Item: 2, Minutes: 5}}}
	if diff := cmp.Diff(want, o.practice().Done); diff != "" {
		t.Error(diff)
	}
	// A take changes what is planned, and not the day that has begun.
	o.take(desk.RenderedTake(t, page(t), "wrong.wav", desk.WrongB3), o.clock)
	again := o.practice()
	if diff := cmp.Diff(planned, again.Plan.Days[0], sameItems); diff != "" {
		t.Errorf("today changed under the player's hands:\n%s", diff)
	}
	if cmp.Equal(first.Plan.Days[1], again.Plan.Days[1], sameItems) {
		t.Error("the take changed nothing of tomorrow")
	}
	o.clock = o.clock.AddDate(0, 0, 2)
	later := o.practice()
	if len(later.Past) != 1 || !cmp.Equal(planned, later.Past[0], sameItems) || len(later.Done) != 2 {
		t.Errorf("two days later: %d past days, %d items done", len(later.Past), len(later.Done))
	}
	if later.Plan.Days[0].Date < o.day(0) || later.Terms.Since != date {
		t.Errorf("planned anew from %s, since %s; want today on, since %s", later.Plan.Days[0].Date, later.Terms.Since, date)
	}
	// Undo takes the last tick back, and the first one is taken away by hand.
	must(o.Undo(ctx, o.sheet, ""))(t)
	if got := o.practice().Done; len(got) != 1 || got[0].Item != 2 {
		t.Errorf("after undo: %+v", got)
	}
	if got := o.tick(date, 2, 0, false); len(got.Done) != 0 || len(got.Past) != 0 {
		t.Errorf("nothing is done, and yet %+v, %d past days", got.Done, len(got.Past))
	}
}

// A day that was begun stands in the plan even where new terms leave it free.
func TestBegunDayStaysUnderOtherTerms(t *testing.T) {
	o := practicing(t)
	doc := o.practice()
	planned := doc.Plan.Days[0]
	doc = o.tick(doc.Today, 0, 3, true)
	terms := doc.Terms
	terms.DaysPerWeek = 1 // the day before the recording, and one for each week before it
	doc = must(o.SetTerms(ctx, o.sheet, doc.Revision, terms))(t)
	if diff := cmp.Diff(planned, doc.Plan.Days[0], sameItems); diff != "" {
		t.Errorf("today was begun and is planned otherwise:\n%s", diff)
	}
	if len(doc.Plan.Days) < 2 || doc.Plan.Days[1].Date <= doc.Today {
		t.Errorf("the days after it: %d", len(doc.Plan.Days))
	}
}

// Ticks that come at the same time are all kept.
func TestTicksAtTheSameTime(t *testing.T) {
	o := practicing(t)
	items := len(o.practice().Plan.Days[0].Items)
	errs := make(chan error)
	for i := range items {
		go func() {
			_, err := o.DoItem(ctx, o.sheet, o.day(0), desk.DoneItem{Item: i, Minutes: 1}, true)
			errs <- err
		}()
	}
	for range items {
		if err := <-errs; err != nil {
			t.Error(err)
		}
	}
	if got := len(o.practice().Done); got != items {
		t.Errorf("%d of %d items are done", got, items)
	}
}

// A day before can still be ticked: what was planned for it then is kept.
func TestYesterdayCanBeTicked(t *testing.T) {
	o := practicing(t)
	days := o.practice().Plan.Days
	yesterday := days[0]
	o.clock = o.clock.AddDate(0, 0, 1)
	doc := o.tick(yesterday.Date, 1, 4, true)
	if len(doc.Past) != 1 || !cmp.Equal(yesterday, doc.Past[0], sameItems) {
		t.Errorf("yesterday is kept as %+v", doc.Past)
	}
	if doc.Plan.Days[0].Date != o.day(0) {
		t.Errorf("the plan begins on %s", doc.Plan.Days[0].Date)
	}
	// All of it done, today is what was planned for it from the start.
	for i := range yesterday.Items {
		doc = o.tick(yesterday.Date, i, 4, true)
	}
	brief := func(d practice.Day) (out []string) {
		for _, it := range d.Items {
			out = append(out, it.Label()+", "+it.Turns())
		}
		return out
	}
	if diff := cmp.Diff(brief(days[1]), brief(doc.Plan.Days[0])); diff != "" {
		t.Errorf("planned at the start -, after a day done as planned +\n%s", diff)
	}
}

// Practice that begins without terms keeps the usual ones from that day on.
func TestPracticeBeginsWithTheFirstTick(t *testing.T) {
	o := newDesk(t)
	o.part.Due = o.day(14)
	must(o.Commit(ctx, desk.Change{Says: "due", Edits: []desk.Edit{desk.Put(o.part)}}))(t)
	begun := o.day(0)
	o.tick(begun, 0, 3, true)
	o.clock = o.clock.AddDate(0, 0, 1)
	doc := o.practice()
	if doc.Terms.Since != begun || doc.Revision == 0 || doc.Terms.By != o.part.Due {
		t.Errorf("since %q, revision %d, by %q", doc.Terms.Since, doc.Revision, doc.Terms.By)
	}
	// The day of the part moves the player's, until the player has another.
	o.part.Due = o.day(20)
	must(o.Commit(ctx, desk.Change{Says: "due", Edits: []desk.Edit{desk.Put(o.part)}}))(t)
	if doc = o.practice(); doc.Terms.By != o.part.Due {
		t.Errorf("by %s, want the part's %s", doc.Terms.By, o.part.Due)
	}
	terms := doc.Terms
	terms.By, terms.Since = o.day(10), "" // as a page that knows nothing of it sends them
	doc = o.setTerms(doc.Revision, terms)
	if part := must(o.Part(ctx, o.part.ID))(t); doc.Terms.By != o.day(10) || doc.Terms.Since != begun || part.Due != o.part.Due {
		t.Errorf("by %s since %s, the part's %s", doc.Terms.By, doc.Terms.Since, part.Due)
	}
	if _, err := o.SetTerms(ctx, o.sheet, doc.Revision-1, terms); !errors.Is(err, desk.ErrConflict) {
		t.Errorf("terms of another tab: %v", err)
	}
}

var uidLine = regexp.MustCompile(`(?m)^UID:(.*)\r$`)

// uids are those of a calendar's events.
func uids(calendar string) []string {
	var out []string
	for _, m := range uidLine.FindAllStringSubmatch(calendar, -1) {
		out = append(out, m[1])
	}
	return out
}

// Calendars of two players of one part never replace one another's days, and one made
// anew replaces its own. Reference: RFC 5545, 3.8.4.7 (UID) and 3.8.7.4 (SEQUENCE).
func TestCalendarsDoNotCollide(t *testing.T) {
	o := practicing(t)
	calendar := func() (string, string) {
		var b bytes.Buffer
		name := must(o.WriteCalendar(ctx, &b, o.sheet))(t)
		return b.String(), name
	}
	ada, name := calendar()
	if name != "Harbor Parade, Ada, practice.ics" || len(uids(ada)) < 10 {
		t.Errorf("%s with %d days", name, len(uids(ada)))
	}
	o.take(desk.RenderedTake(t, page(t), "wrong.wav", desk.WrongB3), o.clock)
	again, _ := calendar()
	if !slices.Equal(uids(ada), uids(again)) {
		t.Error("a plan made anew has other UIDs")
	}
	sequence := regexp.MustCompile(`SEQUENCE:(\d+)`)
	if a, b := sequence.FindString(ada), sequence.FindString(again); len(b) < len(a) || len(a) == len(b) && b <= a {
		t.Errorf("%s, then %s: a plan made anew must count up", a, b)
	}
	o.sheet.Player = o.addPlayer("ben", "Ada").ID
	o.setTerms(0, desk.SheetTerms{By: o.day(21), PracticeTerms: desk.PracticeTerms{DaysPerWeek: 6, Minutes: 45, At: "07:15"}})
	ben, _ := calendar()
	for _, id := range uids(ben) {
		if slices.Contains(uids(ada), id) {
			t.Errorf("%s is in both calendars", id)
		}
	}
	if !strings.Contains(ben, "T071500\r\n") {
		t.Error("no day starts at 7:15")
	}
}

// The sheet of a lesson gathers the newest take and the next day.
func TestLesson(t *testing.T) {
	o := practicing(t)
	o.take(desk.RenderedTake(t, page(t), "old.wav", desk.MissedIn(27, "D4")), o.clock.Add(-time.Hour))
	newest := o.take(desk.RenderedTake(t, page(t), "new.wav", desk.WrongB3), o.clock)
	l := must(o.Lesson(ctx, o.sheet))(t)
	if l.Day != "Wednesday 25 November 2026" || l.Takes[newest.ID] != "25 November, 12:00" {
		t.Errorf("%s, takes %v", l.Day, l.Takes)
	}
	if l.Advice == nil || l.Advice.Take != "the take of 25 November, 12:00" || len(l.Advice.Says) == 0 || !slices.Contains(l.Advice.Says[0].Bars, "24") {
		t.Errorf("advice %+v; want bar 24 of the newest take first", l.Advice)
	}
	if today := o.practice().Plan.Days[0]; l.Next == nil || l.Next.Day != "today" || len(l.Next.Items) != len(today.Items) || l.Next.Minutes != today.Minutes {
		t.Errorf("next %+v", l.Next)
	}
}

// A remark at a moment of a take stands at the bar that sounds there.
func TestRemarkAtAMomentHasABar(t *testing.T) {
	o := newDesk(t)
	p := page(t)
	take := o.take(desk.RenderedTake(t, p, "take.wav", desk.NoFault), o.clock)
	const leadIn = 0.8 // s, of the rendered take
	for _, bar := range []int{1, 9, 23} {
		b := p.Played.Bars[bar]
		at := leadIn + float64(p.Played.Seconds(b.At)) + 0.2
		m := &desk.Mark{Sheet: o.sheet, Remark: &desk.Remark{Take: take.ID, AtS: at, Text: "Here."}, Written: o.clock}
		must(o.SetMark(ctx, m, desk.SheetQuery{}))(t)
		if want := p.Part.Bars[b.Bar].Number; m.Remark.Where != want {
			t.Errorf("%.1f s is in bar %q, want %s", at, m.Remark.Where, want)
		}
	}
	own := &desk.Mark{Sheet: o.sheet, Remark: &desk.Remark{Take: take.ID, AtS: 3, Where: "30", Text: "There."}, Written: o.clock}
	must(o.SetMark(ctx, own, desk.SheetQuery{}))(t)
	if own.Remark.Where != "30" {
		t.Errorf("a remark with a place of its own was moved to %s", own.Remark.Where)
	}
	// A take that is measured later places its remarks later.
	later := o.record(desk.RenderedTake(t, p, "later.wav", desk.SharpD4), o.clock.Add(time.Minute))
	early := &desk.Mark{Sheet: o.sheet, Remark: &desk.Remark{Take: later.ID, AtS: 1.2, Text: "Before it was measured."}, Written: o.clock}
	must(o.SetMark(ctx, early, desk.SheetQuery{}))(t)
	where := func() string {
		for _, m := range must(o.Open(ctx, desk.SheetQuery{Sheet: o.sheet}))(t).Marks {
			if m.ID == early.ID {
				return m.Remark.Where
			}
		}
		return "gone"
	}
	if got := where(); got != "" {
		t.Errorf("in bar %s before it was measured", got)
	}
	must(o.MeasureTake(ctx, later.ID, nil))(t)
	if got := where(); got != "1" {
		t.Errorf("in bar %q once it is measured, want 1", got)
	}
}
