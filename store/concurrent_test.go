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

// TestEverythingAtOnce writes, reads, undoes, exports and cleans up together.
// Nothing may fail but for a reason, and no record may lack its file.
func TestEverythingAtOnce(t *testing.T) {
	c := newClock()
	s := openAt(t, t.TempDir(), Options{Unsynced: true, Now: c.Now})
	sheet := furnish(t, s)
	var wait sync.WaitGroup
	for worker := range 4 {
		wait.Go(func() {
			for i := range 15 {
				addTake(t, s, sheet, desk.ID(fmt.Sprintf("t-%d-%d", worker, i)))
			}
		})
	}
	wait.Go(func() {
		for range 15 {
			if _, err := s.Undo(ctx, sheet, "coach"); err != nil && !errors.Is(err, desk.ErrNoChange) {
				t.Error(err)
			}
		}
	})
	wait.Go(func() {
		for range 5 {
			var archive bytes.Buffer
			if e, err := s.Export(ctx, &archive); err != nil || len(e.Lost) > 0 {
				t.Errorf("export: %+v, %v", e, err)
			}
		}
	})
	wait.Go(func() {
		for range 10 {
			if _, err := s.Collect(ctx, time.Time{}); err != nil && !errors.Is(err, desk.ErrInUse) {
				t.Error(err)
			}
		}
	})
	wait.Wait()
	checkLog(t, s)
	if found := must(s.Check(ctx))(t); len(found) > 0 {
		t.Error(found)
	}
}

func addTake(t *testing.T, s *Season, sheet desk.Sheet, id desk.ID) {
	b, err := s.AddBlob(ctx, strings.NewReader("take "+string(id)), 100)
	if err != nil {
		t.Error(err)
		return
	}
	take := aTake(id, sheet.Part, sheet.Player, b.Hash, time.Unix(1e9, 0))
	if _, err := s.Commit(ctx, desk.Change{Sheet: sheet, Edits: []desk.Edit{desk.Put(take)}}); err != nil {
		t.Error(err)
	}
}
