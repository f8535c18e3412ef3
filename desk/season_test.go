package desk

import (
	"encoding/json"
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"
	"time"

	"waterkey/practice"
)

// someHash has the form of a hash.
var someHash = Hash(strings.Repeat("0a", 32))

// good is one valid record of each kind.
func good() map[Kind]Record {
	sheet, now := Sheet{"harbor", "anna"}, time.Date(2026, 11, 25, 10, 0, 0, 0, time.UTC)
	return map[Kind]Record{
		KindPlayer:     &Player{Head: Head{ID: "anna"}, Name: "Anna", Instrument: "tenor-f", Level: 4},
		KindPart:       &Part{Head: Head{ID: "harbor"}, Title: "Harbor Parade", Document: someHash, Due: "2026-12-01"},
		KindAssignment: &Assignment{Head: Head{ID: "a1"}, Sheet: sheet},
		KindTake:       &Take{Head: Head{ID: "t1"}, Sheet: sheet, Recorded: now, Recording: someHash, MediaType: "audio/wav"},
		KindMark:       &Mark{Head: Head{ID: "m1"}, Sheet: sheet, Position: &PositionPin{Where: "12.3", Way: "T1"}, Written: now},
		KindMeasure:    &Measure{Head: Head{ID: "t1"}, Version: "1", Document: someHash, Measured: now},
		KindDay: &PracticeDay{Head: Head{ID: "d1"}, Sheet: sheet, Date: "2026-11-25", Done: []DoneItem{{Item: 1, Minutes: 3}},
			Day: practice.Day{Date: "2026-11-25", Items: []practice.Item{{Kind: practice.WarmUp, Bars: []string{}}, {Kind: practice.Visit, Bars: []string{"13", "15"}}}}},
	}
}

func TestEveryKindOfRecordIsKnown(t *testing.T) {
	all := good()
	for _, k := range Kinds() {
		r := all[k]
		if err := r.Validate(); err != nil {
			t.Errorf("%s: %v", k, err)
		}
		back := NewRecord(k)
		data, err := json.Marshal(r)
		if err != nil || json.Unmarshal(data, back) != nil || !reflect.DeepEqual(r, back) {
			t.Errorf("%s: %s came back as %+v (%v)", k, data, back, err)
		}
		if back.Kind() != k {
			t.Errorf("a new %s is a %s", k, back.Kind())
		}
	}
	if len(all) != len(Kinds()) || NewRecord("spoon") != nil {
		t.Error("a kind is missing, or one too many")
	}
}

func TestRecordsAreRefusedWithAReason(t *testing.T) {
	for name, c := range map[string]struct {
		kind  Kind
		spoil func(Record)
		says  string
	}{
		"no name":          {KindPlayer, func(r Record) { r.(*Player).Name = " " }, "no name"},
		"instrument":       {KindPlayer, func(r Record) { r.(*Player).Instrument = "kazoo" }, "kazoo"},
		"level":            {KindPlayer, func(r Record) { r.(*Player).Level = 6 }, "1 to 5"},
		"arm":              {KindPlayer, func(r Record) { r.(*Player).ReachCM = 580 }, "such as 60"},
		"arm no number":    {KindPlayer, func(r Record) { r.(*Player).ReachCM = math.NaN() }, "NaN"},
		"lungs":            {KindPlayer, func(r Record) { r.(*Player).Lungs = json.RawMessage("{") }, "not JSON"},
		"huge profile":     {KindPlayer, func(r Record) { r.(*Player).Profile = make([]byte, maxJSON+1) }, "at most"},
		"long name":        {KindPlayer, func(r Record) { r.(*Player).Name = strings.Repeat("a", maxText+1) }, "at most"},
		"no text":          {KindPlayer, func(r Record) { r.(*Player).Name = "An\xffna" }, "UTF-8"},
		"no title":         {KindPart, func(r Record) { r.(*Part).Title = "" }, "no title"},
		"no document":      {KindPart, func(r Record) { r.(*Part).Document = "" }, "SHA-256"},
		"path as document": {KindPart, func(r Record) { r.(*Part).Document = "../../etc/passwd" }, "SHA-256"},
		"due":              {KindPart, func(r Record) { r.(*Part).Due = "1.12.2026" }, "2026-11-25"},
		"due 31 June":      {KindPart, func(r Record) { r.(*Part).Due = "2026-06-31" }, "no date"},
		"tempo":            {KindPart, func(r Record) { r.(*Part).BPM = -1 }, "such as 96"},
		"no player":        {KindAssignment, func(r Record) { r.(*Assignment).Player = "" }, "no id"},
		"capital id":       {KindAssignment, func(r Record) { r.(*Assignment).Part = "Harbor" }, "no id"},
		"other horn":       {KindAssignment, func(r Record) { r.(*Assignment).Instrument = "kazoo" }, "kazoo"},
		"days a week":      {KindAssignment, func(r Record) { r.(*Assignment).Practice = &PracticeTerms{DaysPerWeek: 8, Minutes: 45} }, "want 1 to 7"},
		"minutes a day":    {KindAssignment, func(r Record) { r.(*Assignment).Practice = &PracticeTerms{DaysPerWeek: 6} }, "such as 45"},
		"minutes now":      {KindAssignment, func(r Record) { r.(*Assignment).Practice = &PracticeTerms{DaysPerWeek: 6, Minutes: 45, NowMinutes: -1} }, "not known"},
		"time of day":      {KindAssignment, func(r Record) { r.(*Assignment).Practice = &PracticeTerms{DaysPerWeek: 6, Minutes: 45, At: "5 pm"} }, "17:30"},
		"first day":        {KindAssignment, func(r Record) { r.(*Assignment).Practice = &PracticeTerms{DaysPerWeek: 6, Minutes: 45, Since: "today"} }, "no date"},
		"another day":      {KindDay, func(r Record) { r.(*PracticeDay).Date = "2026-11-26" }, "same day"},
		"no such item":     {KindDay, func(r Record) { r.(*PracticeDay).Done[0].Item = 2 }, "want 0 to 1"},
		"done twice":       {KindDay, func(r Record) { d := r.(*PracticeDay); d.Done = append(d.Done, d.Done[0]) }, "twice"},
		"endless":          {KindDay, func(r Record) { r.(*PracticeDay).Done[0].Minutes = 2000 }, "want 0 to"},
		"no time":          {KindTake, func(r Record) { r.(*Take).Recorded = time.Time{} }, "no time"},
		"media type":       {KindTake, func(r Record) { r.(*Take).MediaType = "wav" }, "audio/wav"},
		"decoded":          {KindTake, func(r Record) { r.(*Take).Decoded = "x" }, "SHA-256"},
		"empty mark":       {KindMark, func(r Record) { r.(*Mark).Position = nil }, "holds 0 things"},
		"two marks":        {KindMark, func(r Record) { r.(*Mark).Breath = &BreathPin{After: "n1"} }, "holds 2 things"},
		"no way":           {KindMark, func(r Record) { r.(*Mark).Position.Way = "" }, "6 or T1"},
		"no note":          {KindMark, func(r Record) { *r.(*Mark) = Mark{Sheet: r.(*Mark).Sheet, Breath: &BreathPin{}} }, "no note"},
		"empty remark":     {KindMark, func(r Record) { *r.(*Mark) = Mark{Sheet: r.(*Mark).Sheet, Remark: &Remark{Text: "\n"}} }, "is empty"},
		"moment of none": {KindMark, func(r Record) {
			*r.(*Mark) = Mark{Sheet: r.(*Mark).Sheet, Remark: &Remark{Text: "late", AtS: 2}}
		}, "no take"},
		"before the take": {KindMark, func(r Record) {
			*r.(*Mark) = Mark{Sheet: r.(*Mark).Sheet, Remark: &Remark{Text: "late", Take: "t1", AtS: -2}}
		}, "0 or later"},
		"version": {KindMeasure, func(r Record) { r.(*Measure).Version = "" }, "no version"},
	} {
		r := good()[c.kind]
		c.spoil(r)
		if err := r.Validate(); !errors.Is(err, ErrInvalid) || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v; want a refusal with %q", name, err, c.says)
		}
	}
}

func TestMarksThatExcludeEachOther(t *testing.T) {
	at := func(where, way string, avoid bool) string {
		return (&Mark{Position: &PositionPin{where, way, avoid}}).Key()
	}
	if pin := (PositionPin{"n1", "T1", true}); pin.Fix() != (Fix{Where: "n1", Way: "T1", Avoid: true}) {
		t.Errorf("as a fix: %+v", pin.Fix())
	}
	breath := func(never bool) string { return (&Mark{Breath: &BreathPin{"n1", never}}).Key() }
	remark := func(id ID) string { return (&Mark{Head: Head{ID: id}, Remark: &Remark{Text: "x"}}).Key() }
	if at("n1", "1", false) != at("n1", "3", false) || breath(true) != breath(false) {
		t.Error("two ways to play one note, or two decisions about a breath, can stand together")
	}
	for _, pair := range [][2]string{
		{at("n1", "1", false), at("n2", "1", false)}, {at("n1", "1", true), at("n1", "3", true)},
		{at("n1", "1", true), at("n1", "1", false)}, {remark("m1"), remark("m2")}, {breath(true), at("n1", "1", false)},
	} {
		if pair[0] == pair[1] {
			t.Errorf("%q excludes another one", pair[0])
		}
	}
}

func TestMarksSayWhatTheyAre(t *testing.T) {
	for _, c := range []struct {
		mark Mark
		want string
	}{
		{Mark{Position: &PositionPin{"12.3", "T1", false}}, "T1 at 12.3"},
		{Mark{Position: &PositionPin{"12.3", "T1", true}}, "not T1 at 12.3"},
		{Mark{Breath: &BreathPin{"n4", false}}, "a breath after n4"},
		{Mark{Breath: &BreathPin{"n4", true}}, "no breath after n4"},
		{Mark{Remark: &Remark{Text: "sing it"}}, "a remark"},
	} {
		if got := c.mark.String(); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

func TestErrorsCanBeToldApart(t *testing.T) {
	cause := errors.New("no space left")
	err := error(&SeasonError{Text: "the disk is full", Is: ErrFull, Cause: cause})
	if !errors.Is(err, ErrFull) || !errors.Is(err, cause) || errors.Is(err, ErrReadOnly) || err.Error() != "the disk is full (no space left)" {
		t.Errorf("%v", err)
	}
	conflict := error(&ConflictError{Ref{KindTake, "t1"}, 4, 7})
	if !errors.Is(conflict, ErrConflict) || !strings.Contains(conflict.Error(), "yours is revision 4, now it is 7") {
		t.Errorf("%v", conflict)
	}
	if missing := error(&NotFoundError{Ref{KindTake, "t1"}}); !errors.Is(missing, ErrNotFound) || errors.Is(missing, ErrConflict) {
		t.Errorf("%v", missing)
	}
}
