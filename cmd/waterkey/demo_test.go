package main

import (
	"bytes"
	"context"
	"errors"
	"io/fs"
	"math/rand/v2"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"waterkey/audio"
	"waterkey/demo"
	"waterkey/desk"
	"waterkey/store"
)

// demoDesk is a desk with the demo season, and its folder.
func demoDesk(t *testing.T) (*desk.Desk, string) {
	t.Helper()
	folder := t.TempDir()
	season, err := store.Open(t.Context(), folder, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { season.Close() })
	d := desk.New(season)
	if err := fillDemo(t.Context(), d); err != nil {
		t.Fatal(err)
	}
	return d, folder
}

// hiss stands for a recording: a second of noise that is the same each time.
func hiss(r *demo.Recording) (*demo.Sung, error) {
	random := rand.New(rand.NewPCG(uint64(len(r.File)), uint64(r.DaysAgo)))
	x := make([]float64, 8000)
	for i := range x {
		x[i] = 0.1 * random.NormFloat64()
	}
	return &demo.Sung{Clip: &audio.Clip{Rate: 8000, Channels: [][]float64{x}}, Starts: map[int]float64{30: 41.5}}, nil
}

// notesHere stands for the recorded notes, which hiss does not need.
var notesHere = fstest.MapFS{"F3.mp3": &fstest.MapFile{}}

func maker(folder string, notes fs.FS, out *bytes.Buffer) *takeMaker {
	return &takeMaker{notes: notes, folder: &folder, stderr: out, sing: hiss}
}

func takesOf(t *testing.T, d *desk.Desk) []*desk.Take {
	t.Helper()
	takes, err := d.Takes(t.Context(), desk.TakeQuery{})
	if err != nil {
		t.Fatal(err)
	}
	return takes
}

// An interrupted start is gone on with: every take once, what the coach said of them,
// and one chosen for each sheet that has one.
func TestDemoTakesGoOnAfterAnInterruption(t *testing.T) {
	d, folder := demoDesk(t)
	var out bytes.Buffer
	ctx, stop := context.WithCancel(t.Context())
	n := 0
	err := maker(folder, notesHere, &out).makeAll(ctx, d, func(desk.ID) {
		if n++; n == 3 {
			stop()
		}
	})
	if !errors.Is(err, context.Canceled) || len(takesOf(t, d)) != 3 {
		t.Fatalf("%v, %d takes; want the 3 before the interruption", err, len(takesOf(t, d)))
	}
	var measured []desk.ID
	if err := maker(folder, notesHere, &out).makeAll(t.Context(), d, func(id desk.ID) { measured = append(measured, id) }); err != nil {
		t.Fatal(err)
	}
	takes := takesOf(t, d)
	all := len(demo.Recordings())
	if len(takes) != all || len(measured) != all-3 {
		t.Fatalf("%d takes, %d of them now; want %d and %d", len(takes), len(measured), all, all-3)
	}
	chosen := 0
	for _, take := range takes {
		if take.Chosen {
			chosen++
		}
		if hour := take.Recorded.Hour(); hour < 17 || hour > 21 || time.Since(take.Recorded) > 23*24*time.Hour || time.Since(take.Recorded) < 0 {
			t.Errorf("%s was recorded %v, want an evening of the last three weeks", take.ID, take.Recorded)
		}
	}
	marks, err := d.Marks(t.Context(), desk.Sheet{Part: takes[0].Part})
	if err != nil {
		t.Fatal(err)
	}
	if chosen != 1 || len(marks) != 1 || marks[0].Remark == nil || marks[0].Remark.AtS != 41.5 {
		t.Errorf("%d chosen, marks %+v; want one of each, the remark at 41.5 s", chosen, marks)
	}
}

// A take that was removed stays away, and a folder with takes of its own is left
// alone.
func TestDemoTakesAreMadeOnce(t *testing.T) {
	d, folder := demoDesk(t)
	var out bytes.Buffer
	make := func(folder string) {
		t.Helper()
		if err := maker(folder, notesHere, &out).makeAll(t.Context(), d, func(desk.ID) {}); err != nil {
			t.Fatal(err)
		}
	}
	make(folder)
	takes := takesOf(t, d)
	if err := d.DropTake(t.Context(), takes[0].ID, takes[0].Revision); err != nil {
		t.Fatal(err)
	}
	make(folder)
	make(t.TempDir()) // without the note: takes are there, so they are somebody's own
	if got := takesOf(t, d); len(got) != len(takes)-1 {
		t.Errorf("%d takes after one of %d was removed", len(got), len(takes))
	}
}

func TestDemoWithoutNotesSaysSo(t *testing.T) {
	d, folder := demoDesk(t)
	var out bytes.Buffer
	if err := maker(folder, nil, &out).makeAll(t.Context(), d, func(desk.ID) {}); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(out.String(), "without its front end") || len(takesOf(t, d)) != 0 {
		t.Errorf("%q and %d takes; want a word about it and none", out.String(), len(takesOf(t, d)))
	}
}

// Every recording has a sheet and terms of practice on the desk.
func TestDemoSheetsHaveTerms(t *testing.T) {
	d, _ := demoDesk(t)
	sheets, err := demoSheets(t.Context(), d)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range demo.Recordings() {
		s, ok := sheets[r.ID]
		if !ok {
			t.Errorf("no sheet for %s", r.ID)
			continue
		}
		p, err := d.Practice(t.Context(), s)
		if err != nil || p.Plan == nil {
			t.Errorf("%s: no plan of practice: %v, %+v", r.ID, err, p)
		}
	}
}
