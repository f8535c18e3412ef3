package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"waterkey/audio"
	"waterkey/demo"
	"waterkey/desk"
)

// playMarch runs play on the demo march, and gives exit code and output.
func playMarch(t *testing.T, args ...string) (code int, stdout, stderr string) {
	t.Helper()
	part := filepath.Join(t.TempDir(), "harbor-parade.musicxml")
	data, err := demo.Open("harbor-parade.musicxml")
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(part, data, 0o600); err != nil {
		t.Fatal(err)
	}
	var out, errs bytes.Buffer
	code = run(append([]string{"play", part}, args...), &out, &errs)
	return code, out.String(), errs.String()
}

// Whatever is asked for is written, and what is printed is true of the file. At half
// = 96 two bars of two halves last 2.5 s; the count-in of a conductor is a bar here,
// or two where one is shorter than two seconds.
func TestPlayFlags(t *testing.T) {
	for _, c := range []struct {
		flags  string
		runs   int
		starts float64 // of the music
	}{
		{"", 1, 0.3},
		{"--bars 5-6 --count-in 1", 1, 0.3 + 1.25},
		{"--bars 5-6 --count-in conducted --click --divide 2 --accents 2", 1, 0.3 + 2.5},
		{"--bars 5-6 --slow-from 48 --runs 3 --style light", 3, 0.3},
		{"--bars 5-8 --slow-from 48 --slow-to 54", 3, 0.3},
		{"--bars 5-8 --inner", 1, 0.3},
		{"--bars 5-8 --inner=2,1 --play-along --count-in 2", 1, 0.3 + 2.5},
		{"--bars 5 --drone Bb2,F3 --just --plain", 1, 0.3},
	} {
		file := filepath.Join(t.TempDir(), "ref.wav")
		code, out, errs := playMarch(t, append(strings.Fields(c.flags), "--json", "-o", file)...)
		var d desk.PlayDocument
		if err := json.Unmarshal([]byte(out), &d); err != nil || code != 0 {
			t.Errorf("%s: exit %d, %v: %s", c.flags, code, err, errs)
			continue
		}
		clip, err := audio.Open(file)
		if err != nil {
			t.Fatal(err)
		}
		if got := clip.Seconds(); got < d.Seconds-0.001 || got > d.Seconds+0.001 || len(d.Runs) != c.runs || d.MusicStarts < c.starts-0.001 || d.MusicStarts > c.starts+0.001 {
			t.Errorf("%s: a file of %.3f s, said to have %.3f in %d runs and music at %.3f; want %d runs and music at %.3f",
				c.flags, got, d.Seconds, len(d.Runs), d.MusicStarts, c.runs, c.starts)
		}
	}
}

func TestPlayFlagsThatDoNotWork(t *testing.T) {
	for flags, want := range map[string]string{
		"":                         "-o ref.wav",
		"-o x.wav --style loud":    "--style loud",
		"-o x.wav --bars 9-99":     "--bars 9-99",
		"-o x.wav --count-in slow": "conducted",
		"-o x.wav --count-in 9":    "--count-in 9",
		"-o x.wav --inner=a":       "--inner=1,1",
		"-o x.wav --inner=1":       "--inner 1",
		"-o x.wav --divide 2":      "--divide 2",
		"-o x.wav --runs 0":        "--runs 0",
		"-o x.wav --slow-from 300": "such as 67",
		"-o x.wav --drone H2":      "--drone H2",
		"-o x.wav --tuning 100":    "such as 440",
		"--midi x.mid --click":     "add -o ref.wav",
		"--midi x.mid --inner":     "--inner changes the sound only",
	} {
		t.Chdir(t.TempDir())
		code, out, errs := playMarch(t, strings.Fields(flags)...)
		if code != 2 || out != "" || !strings.Contains(errs, want) {
			t.Errorf("%s: exit %d, %q, %q; want 2 and %q", flags, code, out, errs, want)
		}
		if left, _ := filepath.Glob("x.*"); len(left) > 0 {
			t.Errorf("%s: left %v behind", flags, left)
		}
	}
}
