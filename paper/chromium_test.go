package paper

import (
	"errors"
	"strings"
	"testing"
)

// TestFind says what to install where there is no browser, and names a wrong one.
func TestFind(t *testing.T) {
	t.Setenv("PATH", t.TempDir())
	if path, err := Find(""); path == "" && (!errors.Is(err, ErrNoChromium) || !strings.Contains(err.Error(), "apt install chromium")) {
		t.Errorf("without a browser: %v", err)
	}
	if _, err := Find("no-such-program"); err == nil || !strings.Contains(err.Error(), "no-such-program") {
		t.Errorf("with a wrong name: %v", err)
	}
}

// TestOpenWithoutPages refuses a program without its front end.
func TestOpenWithoutPages(t *testing.T) {
	if _, err := Open("chromium", nil); err == nil || !strings.Contains(err.Error(), "make") {
		t.Errorf("got %v", err)
	}
}
