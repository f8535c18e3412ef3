package main

import (
	"os"
	"os/exec"
	"regexp"
	"strings"
	"testing"
)

// floors are the packages of CONTRIBUTING.md from the top of the house down: the
// packages that a line names are on one floor.
func floors(t *testing.T) map[string]int {
	t.Helper()
	text, err := os.ReadFile("../../CONTRIBUTING.md")
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]int{}
	for i, line := range strings.Split(string(text), "\n") {
		cells := strings.Split(line, "|")
		if len(cells) < 3 {
			continue
		}
		for _, name := range regexp.MustCompile("`([a-z/]+)`").FindAllStringSubmatch(cells[1], -1) {
			out[name[1]] = i
		}
	}
	return out
}

// floor is that of a package, or of the nearest one above it in the tree.
func floor(of map[string]int, path string) (int, bool) {
	for name := path; name != ""; {
		if f, ok := of[name]; ok {
			return f, true
		}
		i := strings.LastIndex(name, "/")
		if i < 0 {
			break
		}
		name = name[:i]
	}
	return 0, false
}

// TestHouse: every package stands in the house, and imports what stands below it alone.
func TestHouse(t *testing.T) {
	list, err := exec.Command("go", "list", "-f", "{{.ImportPath}} {{join .Imports \" \"}}", "waterkey/...").Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	of, seen := floors(t), 0
	for _, line := range strings.Split(strings.TrimSpace(string(list)), "\n") {
		fields := strings.Fields(line)
		from := strings.TrimPrefix(fields[0], "waterkey/")
		here, ok := floor(of, from)
		if !ok {
			t.Errorf("CONTRIBUTING.md has no line for %s", from)
		}
		for _, to := range fields[1:] {
			name, own := strings.CutPrefix(to, "waterkey/")
			if !own {
				continue
			}
			seen++
			if there, ok := floor(of, name); ok && there < here {
				t.Errorf("%s imports %s, which stands above it", from, name)
			}
		}
	}
	if seen < 50 {
		t.Errorf("%d imports were looked at; the house has more", seen)
	}
}
