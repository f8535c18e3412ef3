package prose

import (
	"strings"
	"testing"
)

func TestWrap(t *testing.T) {
	for _, c := range []struct {
		text  string
		width int
		want  string
	}{
		{"one two three", 7, "one two|three"}, {"one two three", 8, "one two|three"},
		{"unbreakable", 4, "unbreakable"}, {"", 9, ""}, {"♭♭ ♯♯", 5, "♭♭ ♯♯"},
	} {
		if got := strings.Join(Wrap(c.text, c.width), "|"); got != c.want {
			t.Errorf("%q at %d: %q, want %q", c.text, c.width, got, c.want)
		}
	}
}
