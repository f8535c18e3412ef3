package ical

import (
	"bytes"
	"encoding/json"
	"math"
	"os/exec"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"

	"waterkey/practice"
)

// plan is two days with everything a text can hold: commas, semicolons, backslashes,
// line ends, signs of more than one byte, and lines longer than a fold.
func plan() *practice.Plan {
	what := `New: soft; low, "sudden" \ B♭3. ` + strings.Repeat("Über die Brücke, ♭♭♭; ", 8)
	return &practice.Plan{Title: "March; No. 1, B♭", By: "2026-12-16", Days: []practice.Day{
		{Date: "2026-12-15", Phase: practice.Early, Focus: "Notes first.", Minutes: 40, Items: []practice.Item{
			{Kind: practice.WarmUp, Minutes: 5, What: "Long notes."},
			{Kind: practice.Pause, Minutes: 5, What: "Pause: put the horn down."},
			{Kind: practice.Visit, Bars: []string{"13", "18"}, What: what, BPM: 63, Tempos: []float64{63, 96, 63}, Unit: "half", Reps: 3, RestS: 15, Minutes: 3},
		}},
		{Date: "2026-12-16", Phase: practice.Recording, Focus: "The recording.", Minutes: 31},
	}}
}

// stamp is the clock of the tests.
var stamp = time.Date(2026, 11, 25, 14, 5, 6, 0, time.FixedZone("east", 3600))

func write(t *testing.T, p *practice.Plan, o Options) string {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, p, o); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// TestLines holds the bytes to RFC 5545, 3.1: CRLF after every line and nowhere else,
// at most 75 octets, no sign cut in two.
func TestLines(t *testing.T) {
	out := write(t, plan(), Options{Stamp: stamp, At: -1})
	if !strings.HasSuffix(out, "END:VCALENDAR\r\n") {
		t.Errorf("it ends in %q", out[len(out)-20:])
	}
	folded := 0
	for _, line := range strings.Split(strings.TrimSuffix(out, "\r\n"), "\r\n") {
		switch {
		case strings.ContainsAny(line, "\r\n"):
			t.Errorf("a bare line end in %q", line)
		case len(line) > 75:
			t.Errorf("%d octets: %q", len(line), line)
		case !utf8.ValidString(line):
			t.Errorf("a sign is cut in %q", line)
		case strings.HasPrefix(line, " "):
			folded++
		}
	}
	if folded < 3 {
		t.Errorf("only %d folds", folded)
	}
}

// events unfolds and splits by hand, for what a parser would forgive.
func events(out string) []map[string]string {
	var all []map[string]string
	for _, line := range strings.Split(strings.ReplaceAll(out, "\r\n ", ""), "\r\n") {
		name, value, _ := strings.Cut(line, ":")
		switch {
		case line == "BEGIN:VEVENT":
			all = append(all, map[string]string{})
		case len(all) > 0:
			all[len(all)-1][name] = value
		}
	}
	return all
}

func TestUIDs(t *testing.T) {
	o := Options{Stamp: stamp, Key: "March/tenor", At: -1}
	a := events(write(t, plan(), o))
	later := o
	later.Stamp, later.Sequence = stamp.Add(time.Hour), 2
	b := events(write(t, plan(), later))
	other := o
	other.Key = "March/bass"
	c := events(write(t, plan(), other))
	for i := range a {
		if a[i]["UID"] == "" || a[i]["UID"] != b[i]["UID"] {
			t.Errorf("planned anew, the day is %q, was %q", b[i]["UID"], a[i]["UID"])
		}
		if a[i]["UID"] == c[i]["UID"] {
			t.Errorf("another part has the same %q", c[i]["UID"])
		}
	}
	if a[0]["UID"] == a[1]["UID"] {
		t.Error("two days share a UID")
	}
	if a[0]["DTSTAMP"] != "20261125T130506Z" || b[0]["DTSTAMP"] != "20261125T140506Z" || b[0]["SEQUENCE"] != "2" {
		t.Errorf("stamps %q and %q, sequence %q", a[0]["DTSTAMP"], b[0]["DTSTAMP"], b[0]["SEQUENCE"])
	}
}

func TestTimes(t *testing.T) {
	whole := events(write(t, plan(), Options{Stamp: stamp, At: -1}))[0]
	if whole["DTSTART;VALUE=DATE"] != "20261215" || whole["DTEND;VALUE=DATE"] != "20261216" {
		t.Errorf("whole days: %v", whole)
	}
	timed := events(write(t, plan(), Options{Stamp: stamp, At: 17*time.Hour + 30*time.Minute}))[0]
	if timed["DTSTART"] != "20261215T173000" || timed["DTEND"] != "20261215T181000" {
		t.Errorf("from 17:30: %v", timed)
	}
}

// TestDescription: a line for each item, its name said once.
func TestDescription(t *testing.T) {
	got := events(write(t, plan(), Options{Stamp: stamp, At: -1}))[0]["DESCRIPTION"]
	if want := `Notes first.\n5 min  Warm-up. Long notes.\n5 min  Pause. Put the horn down.\n3 min  Bars 13 to 18: half = 63 and 96 alternately\, 3 turns\, rest 15 s after each. New: `; !strings.HasPrefix(got, want) {
		t.Errorf("%.200s, want it to start with %s", got, want)
	}
}

func TestBadDate(t *testing.T) {
	p := plan()
	p.Days[1].Date = "tomorrow"
	var b bytes.Buffer
	if err := Write(&b, p, Options{}); err == nil || !strings.Contains(err.Error(), "tomorrow") || b.Len() > 0 {
		t.Errorf("error %v, %d bytes written", err, b.Len())
	}
}

// TestParser reads the calendar with an independent parser (reference: the Python
// package icalendar, Plone Foundation) and compares what it understood.
func TestParser(t *testing.T) {
	const script = `
import sys, json, icalendar
c = icalendar.Calendar.from_ical(sys.stdin.buffer.read())
assert not c.errors, c.errors
out = []
for e in c.walk("VEVENT"):
    assert not e.errors, e.errors
    out.append([str(e["UID"]), str(e["SUMMARY"]), str(e["DESCRIPTION"]), str(e["DTSTART"].dt), str(e["DTEND"].dt), e["DTSTAMP"].dt.isoformat(), str(c["VERSION"])])
json.dump(out, sys.stdout)
`
	python := pythonWith(t, "icalendar")
	p := plan()
	o := Options{Stamp: stamp, Key: "k", At: 9 * time.Hour}
	cmd := exec.Command(python, "-c", script)
	cmd.Stdin = strings.NewReader(write(t, p, o))
	data, err := cmd.Output()
	if err != nil {
		t.Fatalf("%v: %s", err, err.(*exec.ExitError).Stderr)
	}
	var got [][]string
	if err := json.Unmarshal(data, &got); err != nil {
		t.Fatal(err)
	}
	want := [][]string{}
	for i, d := range p.Days {
		ends := []string{"2026-12-15 09:40:00", "2026-12-16 09:31:00"}[i]
		says := []string{"Practice March; No. 1, B♭, 40 min", "Record March; No. 1, B♭"}[i]
		want = append(want, []string{uid("k", d.Date), says, describe(d), d.Date + " 09:00:00", ends, "2026-11-25T13:05:06+00:00", "2.0"})
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

// TestSecondParser reads and validates it with another one (reference: the Python
// package vobject).
func TestSecondParser(t *testing.T) {
	python := pythonWith(t, "vobject")
	for _, at := range []time.Duration{-1, 17 * time.Hour} {
		cmd := exec.Command(python, "-c", `
import sys, vobject
c = vobject.readOne(sys.stdin.buffer.read().decode("utf-8"))
c.validate(raiseException=True)
print(len(c.vevent_list), c.vevent_list[0].summary.value)`)
		cmd.Stdin = strings.NewReader(write(t, plan(), Options{Stamp: stamp, Key: "k", At: at}))
		out, err := cmd.CombinedOutput()
		if err != nil {
			t.Fatalf("%v: %s", err, out)
		}
		if got, want := strings.TrimSpace(string(out)), "2 Practice March; No. 1, B♭, 40 min"; got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// pythonWith finds a Python that has a package, or skips aloud.
func pythonWith(t *testing.T, pkg string) string {
	t.Helper()
	for _, python := range []string{"/usr/bin/python3", "python3"} {
		if exec.Command(python, "-c", "import "+pkg).Run() == nil {
			return python
		}
	}
	t.Skipf("no Python with %[1]s here: the calendar is not read by it; Debian's package python3-%[1]s brings it", pkg)
	return ""
}

// TestSequenceAt: a later plan has the larger number, and each is an integer of RFC
// 5545, 3.3.8 (32 bits with a sign).
func TestSequenceAt(t *testing.T) {
	before := -1
	for _, at := range []time.Time{
		time.Date(2020, 1, 1, 0, 0, 0, 0, time.UTC), stamp, stamp.Add(time.Second), stamp.AddDate(0, 0, 1), stamp.AddDate(60, 0, 0),
	} {
		n := SequenceAt(at)
		if n <= before || n > math.MaxInt32 {
			t.Errorf("%s has number %d, the one before %d", at, n, before)
		}
		before = n
	}
}
