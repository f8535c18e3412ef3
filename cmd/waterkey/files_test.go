package main

import (
	"bytes"
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
	take := []byte("a take that is never opened")
	if err := os.WriteFile(at("take.wav"), take, 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		args []string
		says []string
	}{
		{[]string{"play", "page.musicxml", "-o", "page.musicxml"}, []string{"--out", "written over", "page.musicxml"}},
		{[]string{"mark", "page.musicxml", "--svg", "link.svg"}, []string{"--svg", "link.svg", "written over"}},
		{[]string{"hear", "page.musicxml", "take.wav", "--svg", "take.wav"}, []string{"written over", "take.wav"}},
		{[]string{"plan", "page.musicxml", "--by", "2099-01-01", "--takes", "take.wav", "--ics", "take.wav"}, []string{"--ics", "take.wav"}},
		{[]string{"play", "page.musicxml", "-o", "a.wav", "--midi", "a.wav"}, []string{"one file", "--midi"}},
		{[]string{"play", "page.musicxml", "-o", "."}, []string{"is a folder"}},
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
	if _, err := os.Stat(at("a.wav")); err == nil {
		t.Error("a.wav was written")
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
