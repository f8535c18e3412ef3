package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"time"

	"waterkey/demo"
	"waterkey/desk"
)

// takeMaker fills the desk with the demo season: players and parts at once, the
// takes while it is open. What was made already is noted in the season's folder, so
// that an interrupted start is gone on with and a take that was removed stays away.
type takeMaker struct {
	notes  fs.FS   // the recorded notes; nil when the program has none
	folder *string // of the season
	bare   bool    // no takes are wanted
	stderr io.Writer
	sing   func(r *demo.Recording) (*demo.Sung, error) // nil for the real thing
}

// madeTakes is what the folder notes.
type madeTakes struct {
	Day  string   `json:"day"`  // of the first start, from which the takes are dated
	Made []string `json:"made"` // takes that were put on the desk
}

func (m *takeMaker) notePath() string { return filepath.Join(*m.folder, "demo-takes.json") }

// fill puts players and parts on an empty desk.
func (m *takeMaker) fill(ctx context.Context, d *desk.Desk) error { return fillDemo(ctx, d) }

// goOn makes the takes that are wanting.
func (m *takeMaker) goOn(ctx context.Context, d *desk.Desk, measure func(desk.ID)) {
	if m.bare {
		return
	}
	if err := m.makeAll(ctx, d, measure); err != nil && ctx.Err() == nil {
		fmt.Fprintln(m.stderr, "waterkey: the demo's takes:", err)
	}
}

func (m *takeMaker) makeAll(ctx context.Context, d *desk.Desk, measure func(desk.ID)) error {
	made, err := m.begun(ctx, d)
	if made == nil || err != nil {
		return err
	}
	sheets, err := demoSheets(ctx, d)
	if err != nil {
		return err
	}
	var todo []demo.Recording
	for _, r := range slices.Backward(demo.Recordings()) { // the newest first: they are looked at first
		if sheets[r.ID].Part != "" && !slices.Contains(made.Made, r.ID) {
			todo = append(todo, r)
		}
	}
	switch {
	case len(todo) == 0:
		return nil
	case m.notes == nil:
		fmt.Fprintln(m.stderr, "This program was built without its front end and the recorded notes in it: the demo's takes are left out.")
		return nil
	}
	fmt.Fprintf(m.stderr, "%d takes are coming onto the desk, %s; those for euphonium by the program's own synthesis.\n", len(todo), demo.Credit)
	return m.make(ctx, d, measure, todo, sheets, made)
}

// begun reads what was made before; nil when this season is not to be filled.
func (m *takeMaker) begun(ctx context.Context, d *desk.Desk) (*madeTakes, error) {
	data, err := os.ReadFile(m.notePath())
	if errors.Is(err, fs.ErrNotExist) {
		takes, err := d.Takes(ctx, desk.TakeQuery{Limit: 1})
		if len(takes) > 0 || err != nil {
			return nil, err // somebody's own
		}
		return &madeTakes{Day: time.Now().Format(time.DateOnly)}, nil
	}
	if err != nil {
		return nil, err
	}
	made := &madeTakes{}
	if err := json.Unmarshal(data, made); err != nil {
		return nil, fmt.Errorf("%s: %w; without the file the takes are made anew on a desk that has none", m.notePath(), err)
	}
	return made, nil
}

// note keeps what was made.
func (m *takeMaker) note(made *madeTakes) error {
	return writeFile(m.notePath(), func(w io.Writer) error { return json.NewEncoder(w).Encode(made) })
}

// make records takes and puts them on the desk one by one.
func (m *takeMaker) make(ctx context.Context, d *desk.Desk, measure func(desk.ID), todo []demo.Recording, sheets map[string]desk.Sheet, made *madeTakes) error {
	today, err := time.ParseInLocation(time.DateOnly, made.Day, time.Local)
	if err != nil {
		return err
	}
	if err := m.note(made); err != nil { // the day counts from the start on
		return err
	}
	began, size := time.Now(), int64(0)
	step, done := progress(m.stderr, "recording the demo's takes")
	defer done()
	sing := m.singer()
	for i := range todo {
		r := &todo[i]
		sung, file, err := m.record(ctx, sing, r)
		if err != nil {
			return err
		}
		if err := putTake(ctx, d, r, sheets[r.ID], today, sung, file); err != nil {
			return err
		}
		made.Made = append(made.Made, r.ID)
		if err := m.note(made); err != nil {
			return err
		}
		measure(desk.ID(r.ID))
		size += int64(len(file))
		step(float64(i+1) / float64(len(todo)))
	}
	done()
	const megabyte = 1e6
	fmt.Fprintf(m.stderr, "%d takes are on the desk, %.1f MB, after %.0f s.\n", len(todo), float64(size)/megabyte, time.Since(began).Seconds())
	return nil
}

// singer sings recordings; the bank is read when the first needs it.
func (m *takeMaker) singer() func(r *demo.Recording) (*demo.Sung, error) {
	if m.sing != nil {
		return m.sing
	}
	bank := sync.OnceValues(func() (*demo.Bank, error) { return demo.NewBank(m.notes) })
	return func(r *demo.Recording) (*demo.Sung, error) {
		b, err := bank()
		if err != nil {
			return nil, err
		}
		return r.Sing(b)
	}
}

// record sings a recording and packs it. It does not wait for that when the context
// ends: the computing has touched nothing.
func (m *takeMaker) record(ctx context.Context, sing func(r *demo.Recording) (*demo.Sung, error), r *demo.Recording) (*demo.Sung, []byte, error) {
	type packed struct {
		sung *demo.Sung
		file []byte
		err  error
	}
	out := make(chan packed, 1)
	go func() {
		var p packed
		if p.sung, p.err = sing(r); p.err == nil {
			p.file, p.err = p.sung.FLAC()
		}
		out <- p
	}()
	select {
	case p := <-out:
		return p.sung, p.file, p.err
	case <-ctx.Done():
		return nil, nil, ctx.Err()
	}
}

// putTake puts a recording on the desk with what the coach has to say about it. Done
// again it changes nothing.
func putTake(ctx context.Context, d *desk.Desk, r *demo.Recording, sheet desk.Sheet, today time.Time, sung *demo.Sung, file []byte) error {
	blob, err := d.AddBlob(ctx, bytes.NewReader(file), int64(len(file)))
	if err != nil {
		return err
	}
	t, err := d.AddTake(ctx, &desk.Take{Head: desk.Head{ID: desk.ID(r.ID)}, Sheet: sheet, Recorded: r.Moment(today), Recording: blob.Hash,
		FileName: r.File, MediaType: "audio/flac", Note: r.Note})
	if err != nil {
		return err
	}
	if r.Chosen {
		if _, err := d.ChooseTake(ctx, t.ID, t.Revision, ""); err != nil && !errors.Is(err, desk.ErrConflict) {
			return err
		}
	}
	if r.Remark == nil {
		return nil
	}
	const after = 25 * time.Minute // the coach listened the same evening
	mark := &desk.Mark{Head: desk.Head{ID: desk.ID(r.ID + "-remark")}, Sheet: sheet, Written: t.Recorded.Add(after),
		Remark: &desk.Remark{Where: fmt.Sprint(r.Remark.Bar), Take: t.ID, AtS: sung.Starts[r.Remark.Bar], Text: r.Remark.Text}}
	_, err = d.Commit(ctx, desk.Change{Sheet: sheet, Says: "a remark", Lasting: true, Edits: []desk.Edit{desk.Put(mark)}})
	if errors.Is(err, desk.ErrConflict) {
		return nil // there from an earlier start
	}
	return err
}
