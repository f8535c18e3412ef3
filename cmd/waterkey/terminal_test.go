package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode"
)

// TestNothingSteersTheTerminal: control characters of a page and of a file's name reach
// neither output.
func TestNothingSteersTheTerminal(t *testing.T) {
	page := filepath.Join(t.TempDir(), "odd\x1b[31m.abc")
	text := "X:1\nT:Small\x1b]0;owned\a \u009b31mTune\nM:4/4\nL:1/4\nQ:\"Slow\x1b[2J\" 1/4=90\nK:F clef=bass\nF,A,!wob\x1bble!CF|FCA,F,|]\n"
	if err := os.WriteFile(page, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{
		{"read", page}, {"read", page, "--json"}, {"mark", page}, {"play", page, "-o", page + ".wav"},
		{"read", page + ".gone"}, {"hear", page, page}, {"plan", page, "--from", "2026-11-25", "--by", "2026-12-16", "--markdown"},
	} {
		var out, complaint bytes.Buffer
		run(args, &out, &complaint)
		shown := out.String() + complaint.String()
		if shown == "" {
			t.Errorf("%q says nothing", args)
		}
		if i := strings.IndexFunc(shown, func(r rune) bool { return unicode.IsControl(r) && r != '\n' }); i >= 0 {
			t.Errorf("%q says %q", args, shown[i:min(i+40, len(shown))])
		}
	}
}

// TestTerminalKeepsSigns: a sign of several bytes stays whole however it is written.
func TestTerminalKeepsSigns(t *testing.T) {
	const text = "B♭3 über ▂ 𝄢\tend\n"
	var out bytes.Buffer
	to := &terminal{w: &out}
	for i := range len(text) {
		if n, err := to.Write([]byte{text[i]}); n != 1 || err != nil {
			t.Fatalf("%d bytes, %v", n, err)
		}
	}
	if out.String() != text {
		t.Errorf("%q became %q", text, out.String())
	}
}
