package server

import (
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"waterkey/demo"
	"waterkey/desk"
)

// setTerms sets the terms of a sheet.
func (b *bench) setTerms(part, player desk.ID, seen desk.Revision, terms desk.SheetTerms, status int) []byte {
	b.Helper()
	return b.ask("PUT", "/api/practice", toJSON(b, map[string]any{"part": part, "player": player, "revision": seen, "terms": terms}), status)
}

func inDays(n int) string { return time.Now().AddDate(0, 0, n).Format(time.DateOnly) }

// From no date to a ticked item and a calendar.
func TestPractice(t *testing.T) {
	b := newBench(t)
	_, player := b.sheet()
	song, err := demo.Open("lantern-song.musicxml")
	if err != nil {
		t.Fatal(err)
	}
	part := as[partCard](b, b.ask("POST", "/api/parts?file=lantern-song.musicxml", song, http.StatusOK)).ID // without a date
	query := "part=" + string(part) + "&player=" + string(player)
	first := as[desk.PracticeDocument](b, b.ask("GET", "/api/practice?"+query, nil, http.StatusOK))
	if first.Plan != nil || !strings.HasPrefix(first.Reason, "No date is set") || first.Terms.Minutes == 0 || first.Revision != 0 {
		t.Fatalf("without a date: %+v", first)
	}
	if got := string(b.ask("GET", "/api/practice/calendar?"+query, nil, http.StatusConflict)); !strings.Contains(got, "No date is set") {
		t.Errorf("a calendar without a date: %s", got)
	}
	terms := first.Terms
	terms.By, terms.At = inDays(21), "17:30"
	set := as[desk.PracticeDocument](b, b.setTerms(part, player, first.Revision, terms, http.StatusOK))
	if set.Plan == nil || set.Terms.Since != set.Today || set.Revision == 0 || len(set.Plan.Days) == 0 {
		t.Fatalf("with a date: %+v", set)
	}
	date := set.Plan.Days[0].Date
	if date != set.Today {
		t.Fatalf("the first day is %s, today is %s", date, set.Today)
	}
	tick := func(item int, done bool, status int) []byte {
		return b.ask("POST", "/api/practice/done", toJSON(b, map[string]any{"part": part, "player": player, "date": date, "item": item, "minutes": 4, "done": done}), status)
	}
	if got := as[desk.PracticeDocument](b, tick(1, true, http.StatusOK)); len(got.Done) != 1 || got.Done[0] != (desk.DoneOn{Date: date, DoneItem: desk.DoneItem{Item: 1, Minutes: 4}}) {
		t.Errorf("done: %+v", got.Done)
	}
	head, calendar := b.download("/api/practice/calendar?" + query)
	if !strings.HasPrefix(head.Get("Content-Type"), "text/calendar") || !strings.Contains(head.Get("Content-Disposition"), ", Ada, practice.ics") ||
		strings.Count(string(calendar), "BEGIN:VEVENT") != len(set.Plan.Days) || !strings.Contains(string(calendar), "T173000") {
		t.Errorf("%v\n%s", head, calendar)
	}
	if got := as[desk.PracticeDocument](b, tick(1, false, http.StatusOK)); len(got.Done) != 0 {
		t.Errorf("no longer done: %+v", got.Done)
	}
}

// What cannot be is told, with its status.
func TestPracticeThatCannotBe(t *testing.T) {
	b := newBench(t)
	part, player := b.sheet()
	query := "part=" + string(part) + "&player=" + string(player)
	terms := as[desk.PracticeDocument](b, b.ask("GET", "/api/practice?"+query, nil, http.StatusOK)).Terms
	with := func(change func(*desk.SheetTerms)) desk.SheetTerms {
		changed := terms
		changed.By = inDays(21)
		change(&changed)
		return changed
	}
	for name, c := range map[string]struct {
		terms desk.SheetTerms
		says  string
	}{
		"past":          {with(func(s *desk.SheetTerms) { s.By = inDays(-1) }), "is past"},
		"no date":       {with(func(s *desk.SheetTerms) { s.By = "soon" }), "write it as"},
		"days":          {with(func(s *desk.SheetTerms) { s.DaysPerWeek = 8 }), "want 1 to 7"},
		"too little":    {with(func(s *desk.SheetTerms) { s.Minutes = 5 }), "minutes a day"},
		"time of day":   {with(func(s *desk.SheetTerms) { s.At = "noon" }), "17:30"},
		"since to come": {with(func(s *desk.SheetTerms) { s.Since = inDays(3) }), "cannot have begun"},
	} {
		if got := string(b.setTerms(part, player, 0, c.terms, http.StatusUnprocessableEntity)); !strings.Contains(got, c.says) {
			t.Errorf("%s: %s; want %q", name, got, c.says)
		}
	}
	set := as[desk.PracticeDocument](b, b.setTerms(part, player, 0, with(func(*desk.SheetTerms) {}), http.StatusOK))
	if got := string(b.setTerms(part, player, 0, set.Terms, http.StatusConflict)); !strings.Contains(got, "revision") {
		t.Errorf("terms of another tab: %s", got)
	}
	for name, c := range map[string]struct {
		date   string
		item   int
		status int
		says   string
	}{
		"tomorrow":     {inDays(1), 0, http.StatusUnprocessableEntity, "yet"},
		"before":       {inDays(-1), 0, http.StatusUnprocessableEntity, "began on"},
		"no such item": {inDays(0), 99, http.StatusUnprocessableEntity, "want 0 to"},
		"no day":       {"today", 0, http.StatusUnprocessableEntity, "2026-11-25"},
	} {
		body := toJSON(b, map[string]any{"part": part, "player": player, "date": c.date, "item": c.item, "minutes": 4, "done": true})
		if got := string(b.ask("POST", "/api/practice/done", body, c.status)); !strings.Contains(got, c.says) {
			t.Errorf("%s: %s; want %q", name, got, c.says)
		}
	}
	for _, path := range []string{"/api/practice", "/api/practice/calendar", "/api/takes/compare"} {
		for _, q := range []string{"part=nowhere&player=" + string(player), "part=" + string(part) + "&player=nobody"} {
			if got := string(b.ask("GET", path+"?"+q, nil, http.StatusNotFound)); !strings.Contains(got, "there is no") {
				t.Errorf("%s?%s: %s", path, q, got)
			}
		}
		b.ask("GET", path+"?part="+string(part), nil, http.StatusUnprocessableEntity) // a player is wanted
	}
}

// The takes of a sheet are compared; those still to be measured are counted.
func TestCompare(t *testing.T) {
	b := newBench(t)
	part, player := b.sheet()
	query := "part=" + string(part) + "&player=" + string(player)
	if got := as[desk.Comparison](b, b.ask("GET", "/api/takes/compare?"+query, nil, http.StatusOK)); len(got.Takes) != 0 || got.Send != "" {
		t.Errorf("without takes: %+v", got)
	}
	take := as[takeCard](b, b.ask("POST", "/api/takes?"+query+"&file=a.wav&recorded=2026-11-24T17:42:10%2B01:00", demoTake(t), http.StatusOK))
	b.measuredTake(take.ID)
	got := as[desk.Comparison](b, b.ask("GET", "/api/takes/compare?"+query, nil, http.StatusOK))
	if len(got.Takes) != 1 || got.Takes[0].Name != "the take of 24 November, 17:42" || got.Waiting != 0 || got.Takes[0].ByStage == nil {
		t.Fatalf("%+v", got)
	}
	// Another mark on the page makes the measure stale; whoever asks has it made anew.
	b.ask("POST", "/api/marks", toJSON(b, desk.Mark{Sheet: desk.Sheet{Part: part, Player: player}, Position: &desk.PositionPin{Where: "2", Way: "T1"}, Written: time.Now()}), http.StatusOK)
	waited := false
	for end := time.Now().Add(time.Minute); ; time.Sleep(50 * time.Millisecond) {
		got = as[desk.Comparison](b, b.ask("GET", "/api/takes/compare?"+query, nil, http.StatusOK))
		if waited = waited || got.Waiting == 1; got.Waiting == 0 {
			break
		}
		if time.Now().After(end) {
			t.Fatal("a stale measure is not made anew")
		}
	}
	if !waited || len(got.Takes) != 1 {
		t.Errorf("waited: %v, compared: %d", waited, len(got.Takes))
	}
	card := b.measuredTake(take.ID)
	b.ask("PUT", "/api/takes/"+string(take.ID), toJSON(b, map[string]any{"revision": card.Revision, "rule_out": []string{"A door slams."}}), http.StatusOK)
	got = as[desk.Comparison](b, b.ask("GET", "/api/takes/compare?"+query, nil, http.StatusOK))
	if got.Send != "" || fmt.Sprint(got.Takes[0].RuledOut[0]) != "A door slams." {
		t.Errorf("ruled out by the coach, and yet: %+v", got)
	}
}
