package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// atRoot runs a command at the root of the project.
func atRoot(t *testing.T, name string, args ...string) string {
	t.Helper()
	if _, err := exec.LookPath(name); err != nil {
		t.Skipf("no %s here", name)
	}
	c := exec.Command(name, args...)
	c.Dir = "../.."
	out, err := c.CombinedOutput()
	if err != nil {
		t.Fatalf("%s %v: %v: %s", name, args, err, out)
	}
	return string(out)
}

// insteadOfGo is a script that stands in for the go command.
func insteadOfGo(t *testing.T, lines string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "go")
	if err := os.WriteFile(path, []byte("#!/bin/sh\n"+lines), 0o700); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestMakeHelp(t *testing.T) {
	got := atRoot(t, "make", "-s", "help")
	for _, target := range []string{"build", "web", "run", "shell", "test", "bench", "lint", "fuzz", "deps", "clean"} {
		if !strings.Contains(got, "make "+target+"\t") {
			t.Errorf("make %s is not in the list: %s", target, got)
		}
	}
}

// TestMakeDescription: the description of the API is made every time, and is newer only
// when it says something else, so that the front end is built anew just then.
func TestMakeDescription(t *testing.T) {
	out := t.TempDir()
	file := filepath.Join(out, "openapi.json")
	long := time.Now().Add(-time.Hour)
	for _, c := range []struct {
		says  string
		newer bool
	}{{"one", true}, {"one", false}, {"two", true}} {
		atRoot(t, "make", "-s", "GO="+insteadOfGo(t, "echo "+c.says), "OUT="+out, file)
		info, err := os.Stat(file)
		if err != nil {
			t.Fatal(err)
		}
		if newer := info.ModTime().After(long.Add(time.Minute)); newer != c.newer {
			t.Errorf("it says %s, newer is %v, want %v", c.says, newer, c.newer)
		}
		if data, err := os.ReadFile(file); err != nil || strings.TrimSpace(string(data)) != c.says {
			t.Errorf("%q, %v; want %s", data, err, c.says)
		}
		if err := os.Chtimes(file, long, long); err != nil {
			t.Fatal(err)
		}
	}
}

// TestFuzzRunsEveryTarget: each target of each package is run alone and by its whole
// name.
func TestFuzzRunsEveryTarget(t *testing.T) {
	got := atRoot(t, "sh", "tools/fuzz.sh", insteadOfGo(t, `case "$*" in
list*) echo a; echo b;;
*-list*a) echo FuzzOne; echo FuzzOneMore; echo "ok a";;
*-list*b) echo "ok b";;
*) echo "ran $*";;
esac
`), "5s")
	want := "a FuzzOne\nran test -run ^$ -fuzz ^FuzzOne$ -fuzztime 5s -fuzzminimizetime 20x a\n" +
		"a FuzzOneMore\nran test -run ^$ -fuzz ^FuzzOneMore$ -fuzztime 5s -fuzzminimizetime 20x a\n"
	if got != want {
		t.Errorf("it runs\n%s\nwant\n%s", got, want)
	}
}
