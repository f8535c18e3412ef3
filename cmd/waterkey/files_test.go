package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestFilesAreNotWrittenOver: what is read is never written over, nor two things to one
// place, and a link keeps leading where it led.
func TestFilesAreNotWrittenOver(t *testing.T) {
	dir := t.TempDir()
	page, err := os.ReadFile("../../demo/season/lantern-song.musicxml")
	if err != nil {
		t.Fatal(err)
	}
	at := func(name string) string { return filepath.Join(dir, name) }
	if err := os.WriteFile(at("page.musicxml"), page, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink("page.musicxml", at("link.svg")); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink("not-yet.wav", at("dangling.wav")); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(at("part.pdf"), page, 0o600); err != nil {
		t.Fatal(err)
	}
	take := []byte("a take that is never opened")
	if err := os.WriteFile(at("take.wav"), take, 0o600); err != nil {
		t.Fatal(err)
	}
	t.Chdir(dir)
	for _, c := range []struct {
		args []string
		says []string
	}{
		{[]string{"play", "page.musicxml", "-o", "page.musicxml"}, []string{"--out", "written over", "page.musicxml"}},
		{[]string{"mark", "page.musicxml", "--svg", "link.svg"}, []string{"--svg", "link.svg", "written over"}},
		{[]string{"hear", "page.musicxml", "take.wav", "--svg", "take.wav"}, []string{"written over", "take.wav"}},
		{[]string{"plan", "page.musicxml", "--by", "2099-01-01", "--takes", "take.wav", "--ics", "take.wav"}, []string{"--ics", "take.wav"}},
		{[]string{"play", "page.musicxml", "-o", "a.wav", "--midi", "a.wav"}, []string{"one file", "--midi"}},
		{[]string{"play", "page.musicxml", "-o", "not-yet.wav", "--midi", "dangling.wav"}, []string{"--midi"}},
		{[]string{"play", "page.musicxml", "-o", "."}, []string{"is a folder"}},
		{[]string{"hear", "page.musicxml", "take.wav", "--svg", "no/such/x.svg"}, []string{"--svg", "there is no folder"}},
		{[]string{"print", "part.pdf"}, []string{"part.pdf", "over the part itself"}},
		{[]string{"mark", "page.musicxml", "-o", "x.abc"}, []string{"x.abc", ".musicxml"}},
		{[]string{"play", "page.musicxml", "-o", "x.mp3"}, []string{"x.mp3", "x.wav"}},
		{[]string{"mark", "page.musicxml", "-o", "-"}, []string{"--out -", "name a file"}},
	} {
		args := []string{}
		for _, a := range c.args {
			if strings.Contains(a, ".") {
				a = at(a)
			}
			args = append(args, a)
		}
		var out, complaint bytes.Buffer
		if code := run(args, &out, &complaint); code != 2 {
			t.Errorf("%v: exit code %d, want 2: %s", c.args, code, complaint.String())
		}
		for _, says := range c.says {
			if !strings.Contains(complaint.String(), says) {
				t.Errorf("%v: %q does not say %q", c.args, complaint.String(), says)
			}
		}
	}
	for name, want := range map[string][]byte{"page.musicxml": page, "take.wav": take} {
		if got, err := os.ReadFile(at(name)); err != nil || !bytes.Equal(got, want) {
			t.Errorf("%s is no longer what it was (%v)", name, err)
		}
	}
	for _, name := range []string{"a.wav", "not-yet.wav", "x.abc", "x.mp3", "-"} {
		if _, err := os.Stat(at(name)); err == nil {
			t.Errorf("%s was written", name)
		}
	}
}

// TestMarkOntoThePage: a marked part may take its page's place; through a link the page
// itself is written, and the link stays.
func TestMarkOntoThePage(t *testing.T) {
	dir := t.TempDir()
	page, err := os.ReadFile("../../demo/season/lantern-song.musicxml")
	if err != nil {
		t.Fatal(err)
	}
	name, link := filepath.Join(dir, "page.musicxml"), filepath.Join(dir, "link.musicxml")
	if err := os.WriteFile(name, page, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink("page.musicxml", link); err != nil {
		t.Fatal(err)
	}
	var out, complaint bytes.Buffer
	if code := run([]string{"mark", name, "-o", link}, &out, &complaint); code != 0 {
		t.Fatalf("exit code %d: %s", code, complaint.String())
	}
	if info, err := os.Lstat(link); err != nil || info.Mode()&os.ModeSymlink == 0 {
		t.Errorf("the link is gone: %v", err)
	}
	if got, err := os.ReadFile(name); err != nil || bytes.Equal(got, page) || !bytes.Contains(got, []byte("<fingering")) && len(got) <= len(page) {
		t.Errorf("the page is not marked: %d bytes of %d, %v", len(got), len(page), err)
	}
}

// TestLinkToNothingYet: the file is made where the link leads, and the link stays.
func TestLinkToNothingYet(t *testing.T) {
	dir := t.TempDir()
	if err := os.Symlink("made.svg", filepath.Join(dir, "link.svg")); err != nil {
		t.Fatal(err)
	}
	var out, complaint bytes.Buffer
	if code := run([]string{"chart", "--svg", filepath.Join(dir, "link.svg")}, &out, &complaint); code != 0 {
		t.Fatalf("exit code %d: %s", code, complaint.String())
	}
	if info, err := os.Lstat(filepath.Join(dir, "made.svg")); err != nil || !info.Mode().IsRegular() {
		t.Errorf("nothing stands where the link leads: %v", err)
	}
}

// TestPipe: what is no file is written to as it is, also through a link that leads to no
// name, as /dev/stdout does behind a pipe.
func TestPipe(t *testing.T) {
	r, w, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	name := fmt.Sprintf("/dev/fd/%d", w.Fd())
	if _, err := os.Stat(name); err != nil {
		t.Skipf("no open files by name here: %v", err)
	}
	read := make(chan []byte)
	go func() {
		data, _ := io.ReadAll(r)
		read <- data
	}()
	var out, complaint bytes.Buffer
	code := run([]string{"chart", "--svg", name}, &out, &complaint)
	w.Close()
	if data := <-read; code != 0 || !bytes.Contains(data, []byte("<svg")) {
		t.Errorf("exit code %d, %d bytes: %s", code, len(data), complaint.String())
	}
}
