package store

import (
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	"waterkey/desk"
)

// abcHash is the SHA-256 of "abc". Reference: NIST, FIPS 180-2, appendix B.1.
const abcHash = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"

func TestBlobsAreNamedByContent(t *testing.T) {
	folder := t.TempDir()
	s := openAt(t, folder, Options{})
	b := must(s.AddBlob(ctx, strings.NewReader("abc"), 3))(t)
	same(t, desk.Blob{Hash: abcHash, Size: 3}, b)
	path := filepath.Join(folder, "blobs", "ba", abcHash[2:])
	first := must(os.Stat(path))(t)
	must(s.AddBlob(ctx, strings.NewReader("abc"), 3))(t)
	if again := must(os.Stat(path))(t); !os.SameFile(first, again) {
		t.Error("the same content was written again")
	}
	r := must(s.OpenBlob(ctx, abcHash))(t)
	defer r.Close()
	if data := must(io.ReadAll(r))(t); string(data) != "abc" || r.Size() != 3 {
		t.Errorf("%q of %d bytes came back", data, r.Size())
	}
	if left := unfinished(t, folder); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}

// unfinished lists files that are still being written.
func unfinished(t *testing.T, folder string) []string {
	t.Helper()
	return must(filepath.Glob(filepath.Join(folder, "blobs", "new", "*")))(t)
}

func TestBlobRefusals(t *testing.T) {
	folder := t.TempDir()
	s := openAt(t, folder, Options{Unsynced: true})
	if _, err := s.AddBlob(ctx, strings.NewReader("abcd"), 3); !errors.Is(err, desk.ErrTooLarge) {
		t.Errorf("one byte too many: %v", err)
	}
	dropped := errors.New("connection dropped")
	if _, err := s.AddBlob(ctx, io.MultiReader(strings.NewReader("abc"), iotest.ErrReader(dropped)), 10); !errors.Is(err, dropped) {
		t.Errorf("a reader that fails: %v", err)
	}
	if _, err := s.OpenBlob(ctx, abcHash); !errors.Is(err, desk.ErrNotFound) {
		t.Errorf("a file that is not there: %v", err)
	}
	for _, h := range []desk.Hash{"", "ab", "../../etc/passwd", desk.Hash(strings.ToUpper(abcHash))} {
		if _, err := s.OpenBlob(ctx, h); !errors.Is(err, desk.ErrInvalid) {
			t.Errorf("%q: %v", h, err)
		}
	}
	if left := unfinished(t, folder); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}

func TestDamagedBlobIsNoticedAndMendedByAddingItAgain(t *testing.T) {
	folder := t.TempDir()
	s := openAt(t, folder, Options{Unsynced: true})
	must(s.AddBlob(ctx, strings.NewReader("abc"), 3))(t)
	must(s.OpenBlob(ctx, abcHash))(t).Close()
	damage(t, filepath.Join(folder, "blobs", "ba", abcHash[2:]), func(data []byte) []byte { data[1] ^= 1; return data })
	if _, err := s.OpenBlob(ctx, abcHash); !errors.Is(err, desk.ErrDamaged) || !strings.Contains(err.Error(), "backup") {
		t.Errorf("a flipped bit: %v", err)
	}
	must(s.AddBlob(ctx, strings.NewReader("abc"), 3))(t)
	r := must(s.OpenBlob(ctx, abcHash))(t)
	defer r.Close()
	if data := must(io.ReadAll(r))(t); !bytes.Equal(data, []byte("abc")) {
		t.Errorf("%q after adding it again", data)
	}
}

// damage rewrites a file in place.
func damage(t *testing.T, path string, f func([]byte) []byte) {
	t.Helper()
	data := must(os.ReadFile(path))(t)
	if err := errors.Join(os.Chmod(path, 0o600), os.WriteFile(path, f(data), 0o600)); err != nil {
		t.Fatal(err)
	}
}

func TestCollectKeepsWhatIsNeeded(t *testing.T) {
	c := newClock()
	folder := t.TempDir()
	s := openAt(t, folder, Options{Unsynced: true, Now: c.Now})
	sheet := furnish(t, s)
	// A take that was undone can come back; another file was never needed.
	undone, stray, again := addText(t, s, "undone"), addText(t, s, "stray"), addText(t, s, "again")
	commit(t, s, sheet, aTake("t2", "harbor", "anna", undone, c.now))
	must(s.Undo(ctx, sheet, "coach"))(t)
	if got := must(s.Collect(ctx, time.Time{}))(t); got != (desk.Collected{}) {
		t.Errorf("within the hour: %+v", got)
	}
	c.now = c.now.Add(graceTime)
	addText(t, s, "again") // counts as new
	if got := must(s.Collect(ctx, time.Time{}))(t); got != (desk.Collected{Blobs: 1, Bytes: 5}) || s.blobs.has(stray) || !s.blobs.has(undone) || !s.blobs.has(again) {
		t.Errorf("after the hour: %+v, want the stray file gone alone", got)
	}
	must(s.Redo(ctx, sheet, "coach"))(t)
	must(s.Undo(ctx, sheet, "coach"))(t)
	c.now = c.now.Add(graceTime)
	before := withoutRevisions(records(t, s))
	got := must(s.Collect(ctx, c.now))(t)
	if got.Blobs != 2 || s.blobs.has(undone) || got.Changes != 9 {
		t.Errorf("without history: %+v, want the undone take's file, the other and nine entries gone", got)
	}
	same(t, before, withoutRevisions(records(t, s)))
	if found := must(s.Check(ctx))(t); len(found) > 0 {
		t.Error(found)
	}
	if e := commit(t, s, sheet, aPlayer("zoe")); e.Revision != 10 {
		t.Errorf("the next change has revision %d, want 10 though the log is empty", e.Revision)
	}
	must(s.Undo(ctx, sheet, "coach"))(t)
	if _, err := s.Undo(ctx, sheet, "coach"); !errors.Is(err, desk.ErrNoChange) {
		t.Errorf("undo beyond what was kept: %v", err)
	}
}

func TestStrayTemporaryFilesGoAtTheNextStart(t *testing.T) {
	folder := t.TempDir()
	openAt(t, folder, Options{}).Close()
	left := filepath.Join(folder, "blobs", "new", "half")
	if err := os.WriteFile(left, []byte("ab"), 0o600); err != nil {
		t.Fatal(err)
	}
	openAt(t, folder, Options{})
	if _, err := os.Stat(left); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("half a file is still there: %v", err)
	}
}
