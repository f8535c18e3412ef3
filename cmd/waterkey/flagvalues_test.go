package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"waterkey/demo"
)

// TestWrongValues: whatever comes from the value of a flag is wrong usage, nothing is
// answered, and the message names the flag or the value and something that works.
func TestWrongValues(t *testing.T) {
	dir := t.TempDir()
	t.Chdir(dir)
	data, err := demo.Open("harbor-parade.musicxml")
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile("part.musicxml", data, 0o600); err != nil {
		t.Fatal(err)
	}
	const plan = "plan part.musicxml --by 2026-12-16 "
	for command, want := range map[string]string{
		"read part.musicxml --tempo 1e9":              "--tempo 1e+09 is outside 5 to 600",
		"read part.musicxml --tempo nan":              "--tempo nan: want a number, such as 96",
		"read part.musicxml --tempo 0":                "--tempo 0 is outside 5 to 600",
		"read part.musicxml --tempo fast":             "--tempo fast: want a number, such as 96",
		"play part.musicxml -o x.wav --slow-from inf": "--slow-from +inf: want a number, such as 60",
		"play part.musicxml -o x.wav --accents a":     "such as 2,4",
		"read part.musicxml --top 0":                  "--top 0: want 1 or more findings, such as 5",
		"read part.musicxml --top -5":                 "--top -5: want 1 or more findings, such as 5",
		"read part.musicxml --top some":               "--top some: want a whole number, such as 5",
		"read part.musicxml --level high":             "--level high: want a whole number, such as 4",
		"read part.musicxml --json --markdown":        "exclude each other",
		"read part.musicxml --part 5":                 `no part is called "5"; the only part is "Tenor Trombone", or 1`,
		"mark part.musicxml --reach 0":                "--reach 0: a comfortable reach lies between 20 and 80 cm",
		"mark part.musicxml --avoid 14=9":             "write a position from 1 to 7",
		"mark part.musicxml --pin 999=3":              "the part has bars 1 to 32",
		"mark part.musicxml --pin 1=7":                "bar 1",
		"mark part.musicxml --bars 99":                "the part has bars 1 to 32",
		"mark part.musicxml --why 99":                 "the part has bars 1 to 32",
		"mark part.musicxml --breathe 999.1":          "the part has bars 1 to 32",
		"mark part.musicxml --breathe 32.99":          "bar 32",
		plan + "--days 9 --from 2026-11-25":           "--days: 9 days a week: want 1 to 7, such as 6",
		plan + "--minutes 1 --from 2026-11-25":        "--minutes: 1 minutes a day: want 10 to 240, such as 45",
		plan + "--now -3 --from 2026-11-25":           "--now: -3 minutes",
		plan + "--from 2027-02-01":                    "--by 2026-12-16 lies before --from 2027-02-01; a first day up to 2026-12-15 works",
		plan + "--from 2026-12-16":                    "--by: the recording on 2026-12-16 leaves 0 days",
		plan + "--from 2026-11-25 --since 2026-11-26": "--since 2026-11-26 lies after --from 2026-11-25",
		plan + "--from 2026-11-25 --for Ada":          "add --ics practice.ics",
		plan + "--from 2026-11-25 --at 17:30":         "add --ics practice.ics",
		plan + "--from 2026-11-25 --json --markdown":  "exclude each other",
		"read":                       "waterkey read PART",
		"hear part.musicxml":         "hear was given 1 argument; write it as: waterkey hear PART TAKE",
		"choose part.musicxml":       "waterkey choose PART TAKE...",
		"read part.musicxml --level": "needs an argument: --level",
	} {
		var out, complaint bytes.Buffer
		code := run(strings.Fields(command), &out, &complaint)
		if code != 2 || out.Len() > 0 || !strings.Contains(complaint.String(), want) || strings.Contains(complaint.String(), "strconv") {
			t.Errorf("%s: exit %d, %d bytes out, %q; want 2 and %q", command, code, out.Len(), complaint.String(), want)
		}
	}
	if left, _ := filepath.Glob("x.*"); len(left) > 0 {
		t.Errorf("%v was written", left)
	}
}
