package paper

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
)

// names of the program on the systems it is packaged for.
var names = []string{"chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "/Applications/Chromium.app/Contents/MacOS/Chromium"}

// ErrNoChromium says that there is no Chromium to print with.
var ErrNoChromium = errors.New("no Chromium found, which engraves and prints; install it (Debian's package is chromium: apt install chromium)")

// Find is the path of a Chromium: the one named, or the first found where it is
// usual.
func Find(named string) (string, error) {
	if named != "" {
		if info, err := os.Stat(named); err != nil || info.IsDir() {
			return "", fmt.Errorf("%s is no Chromium, there is no such program: %w", named, ErrNoChromium)
		}
		return named, nil
	}
	for _, name := range names {
		if path, err := exec.LookPath(name); err == nil {
			return path, nil
		}
	}
	return "", ErrNoChromium
}
