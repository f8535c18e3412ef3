package store

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"waterkey/desk"
)

// TestTabsAtOnce: many tabs raise the same number. Each success must have been
// seen by all that follow, so that none is lost.
func TestTabsAtOnce(t *testing.T) {
	s := openNew(t)
	commit(t, s, desk.Sheet{}, aPart("harbor", addText(t, s, "<score/>")))
	const tabs, tries = 8, 25
	var kept, refused atomic.Int64
	var wait sync.WaitGroup
	for range tabs {
		wait.Go(func() {
			for range tries {
				p, err := s.Part(ctx, "harbor")
				if err != nil {
					t.Error(err)
					return
				}
				p.Place++
				switch _, err := s.Commit(ctx, desk.Change{Edits: []desk.Edit{desk.Put(p)}}); {
				case err == nil:
					kept.Add(1)
				case errors.Is(err, desk.ErrConflict):
					refused.Add(1)
				default:
					t.Error(err)
				}
			}
		})
	}
	wait.Wait()
	p := must(s.Part(ctx, "harbor"))(t)
	if int64(p.Place) != kept.Load() || p.Revision != desk.Revision(kept.Load()+1) {
		t.Errorf("counted to %d at revision %d with %d kept", p.Place, p.Revision, kept.Load())
	}
	if refused.Load() == 0 {
		t.Error("no tab was refused: they did not meet")
	}
	checkLog(t, s)
}

// TestEverythingAtOnce writes, undoes, exports and cleans up together. The clock
// leaps by more than the time of grace at every look, so that a file can be
// collected the moment after it was added; still no record may lack its file.
func TestEverythingAtOnce(t *testing.T) {
	var looks atomic.Int64
	leap := func() time.Time { return time.Unix(1e9, 0).Add(2 * graceTime * time.Duration(looks.Add(1))) }
	s := openAt(t, t.TempDir(), Options{Unsynced: true, Now: leap})
	sheet := furnish(t, s)
	var takers, wait sync.WaitGroup
	for worker := range 4 {
		takers.Go(func() {
			for i := range 15 {
				addTake(t, s, sheet, desk.ID(fmt.Sprintf("t-%d-%d", worker, i)))
			}
		})
	}
	takers.Go(func() {
		for range 15 {
			// The oldest take was measured: it cannot go while that stands.
			if _, err := s.Undo(ctx, sheet, "coach"); err != nil && !errors.Is(err, desk.ErrNoChange) && !errors.Is(err, desk.ErrInUse) {
				t.Error(err)
			}
		}
	})
	takers.Go(func() {
		for range 5 {
			var archive bytes.Buffer
			if e, err := s.Export(ctx, &archive); err != nil || len(e.Lost) > 0 {
				t.Errorf("export: %+v, %v", e, err)
			}
		}
	})
	done := make(chan struct{})
	wait.Go(func() { cleanUp(t, s, done) })
	takers.Wait()
	close(done)
	wait.Wait()
	checkLog(t, s)
	if found := must(s.Check(ctx))(t); len(found) > 0 {
		t.Error(found)
	}
}

// addTake adds a file and the record that needs it, again when the file was
// collected in between.
func addTake(t *testing.T, s *Season, sheet desk.Sheet, id desk.ID) {
	for {
		b, err := s.AddBlob(ctx, strings.NewReader("take "+string(id)), 100)
		if err != nil {
			t.Error(err)
			return
		}
		take := aTake(id, sheet.Part, sheet.Player, b.Hash, time.Unix(1e9, 0))
		_, err = s.Commit(ctx, desk.Change{Sheet: sheet, Edits: []desk.Edit{desk.Put(take)}})
		if errors.Is(err, desk.ErrNotFound) {
			continue
		}
		if err != nil {
			t.Error(err)
		}
		return
	}
}

// TestCommitWhileCollecting needs files at the moment when all of them are being
// removed: a change comes in time, or it is told that its file is gone.
func TestCommitWhileCollecting(t *testing.T) {
	c := newClock()
	s := openAt(t, t.TempDir(), Options{Unsynced: true, Now: c.Now})
	sheet := furnish(t, s)
	const files = 400
	var hashes []desk.Hash
	for i := range files {
		hashes = append(hashes, addText(t, s, fmt.Sprint("file ", i)))
	}
	c.now = c.now.Add(graceTime)
	var wait sync.WaitGroup
	wait.Go(func() { must(s.Collect(ctx, time.Time{}))(t) })
	kept := 0
	for i, h := range hashes {
		take := aTake(desk.ID(fmt.Sprint("t-", i)), sheet.Part, sheet.Player, h, c.now)
		switch _, err := s.Commit(ctx, desk.Change{Edits: []desk.Edit{desk.Put(take)}}); {
		case err == nil:
			kept++
		case !errors.Is(err, desk.ErrNotFound):
			t.Error(err)
		}
	}
	wait.Wait()
	if found := must(s.Check(ctx))(t); len(found) > 0 {
		t.Errorf("of %d takes kept: %v", kept, found)
	}
}

// cleanUp collects until it is told to end.
func cleanUp(t *testing.T, s *Season, done <-chan struct{}) {
	for {
		select {
		case <-done:
			return
		default:
		}
		if _, err := s.Collect(ctx, time.Time{}); err != nil && !errors.Is(err, desk.ErrInUse) {
			t.Error(err)
		}
		time.Sleep(time.Millisecond) // let the others have the folder
	}
}
