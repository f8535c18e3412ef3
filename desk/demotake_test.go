package desk

import (
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"testing"

	"waterkey/audio"
	"waterkey/demo"
	"waterkey/finding"
	"waterkey/hear"
)

// TestDemoTake: every planted fault leads to a finding of its kind that touches
// its bars, and no finding speaks of anything else.
func TestDemoTake(t *testing.T) {
	clip, err := demo.Take()
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "take.wav")
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := audio.WriteWAV(f, clip); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	take, err := prepare(t, demoPart(t, demo.TakePart), "tenor-f").Hear(path, hear.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, fault := range demo.Faults() {
		if !slices.ContainsFunc(take.Findings, func(f finding.Finding) bool { return speaksOf(f, fault) }) {
			t.Errorf("not found: %s (%s, bars %v)", fault.What, fault.Kind, fault.Bars)
		}
	}
	for _, f := range take.Findings {
		if !slices.ContainsFunc(demo.Faults(), func(fault demo.Fault) bool { return speaksOf(f, fault) }) {
			t.Errorf("called a fault: %+v", f)
		}
	}
}

// speaksOf says whether a finding is of a fault's stage and kind, with no bar
// outside the fault's first and last.
func speaksOf(f finding.Finding, fault demo.Fault) bool {
	first, errFirst := strconv.Atoi(f.Bars[0])
	last, errLast := strconv.Atoi(f.Bars[len(f.Bars)-1])
	return f.Stage == fault.Stage && f.Kind == fault.Kind && errFirst == nil && errLast == nil &&
		first >= fault.Bars[0] && last <= fault.Bars[len(fault.Bars)-1]
}
