package store

import (
	"errors"
	"io"
	"os"
	"strings"
	"testing"
	"time"

	"waterkey/desk"
)

func startUpload(t *testing.T, s *Season) *desk.Upload {
	t.Helper()
	return must(s.StartUpload(ctx, desk.Upload{Sheet: desk.Sheet{Part: "harbor", Player: "anna"}, FileName: "take.wav", MediaType: "audio/wav"}))(t)
}

func addChunk(s *Season, id desk.ID, sequence int, data string) error {
	return s.AddChunk(ctx, id, chunkOf(sequence, data), strings.NewReader(data))
}

func TestChunksComeInAnyOrderAndTwice(t *testing.T) {
	folder := t.TempDir()
	s := openAt(t, folder, Options{})
	u := startUpload(t, s)
	for _, i := range []int{2, 0, 2} {
		if err := addChunk(s, u.ID, i, []string{"RIFF", "....", "WAVE"}[i]); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := s.FinishUpload(ctx, u.ID, 3); !errors.Is(err, desk.ErrIncomplete) || !strings.Contains(err.Error(), "lacks 1 of 3") {
		t.Errorf("chunk 1 is missing: %v", err)
	}
	// The program ends and starts again between two chunks.
	s.Close()
	s = openAt(t, folder, Options{})
	if open := must(s.Uploads(ctx))(t); len(open) != 1 || len(open[0].Chunks) != 2 {
		t.Fatalf("open uploads: %+v, want one with two chunks", open)
	}
	if err := addChunk(s, u.ID, 1, "...."); err != nil {
		t.Fatal(err)
	}
	b := must(s.FinishUpload(ctx, u.ID, 3))(t)
	r := must(s.OpenBlob(ctx, b.Hash))(t)
	defer r.Close()
	if data := must(io.ReadAll(r))(t); string(data) != "RIFF....WAVE" || b.Size != 12 {
		t.Errorf("joined: %q, %+v", data, b)
	}
	same(t, b, must(s.FinishUpload(ctx, u.ID, 3))(t))
	if err := addChunk(s, u.ID, 1, "...."); err != nil {
		t.Errorf("a chunk sent again after the end: %v", err)
	}
	if open := must(s.Uploads(ctx))(t); len(open) != 0 {
		t.Errorf("open uploads: %+v", open)
	}
	if _, err := os.Stat(s.chunkFolder(u.ID)); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("the chunks are still there: %v", err)
	}
}

func TestUploadRefusals(t *testing.T) {
	s := openNew(t)
	u := startUpload(t, s)
	if err := addChunk(s, u.ID, 0, "RIFF"); err != nil {
		t.Fatal(err)
	}
	wrong := chunkOf(1, "WAVE")
	for name, c := range map[string]struct {
		err  error
		want error
	}{
		"other bytes":    {addChunk(s, u.ID, 0, "XXXX"), desk.ErrConflict},
		"damaged on way": {s.AddChunk(ctx, u.ID, wrong, strings.NewReader("WAVe")), desk.ErrDamaged},
		"too few bytes":  {s.AddChunk(ctx, u.ID, wrong, strings.NewReader("WAV")), desk.ErrDamaged},
		"too many bytes": {s.AddChunk(ctx, u.ID, wrong, strings.NewReader("WAVES")), desk.ErrTooLarge},
		"negative":       {addChunk(s, u.ID, -1, "x"), desk.ErrInvalid},
		"empty":          {addChunk(s, u.ID, 1, ""), desk.ErrTooLarge},
		"unknown":        {addChunk(s, "nobody", 0, "x"), desk.ErrNotFound},
		"climbing":       {addChunk(s, "../x", 0, "x"), desk.ErrNotFound},
	} {
		if !errors.Is(c.err, c.want) {
			t.Errorf("%s: %v, want %v", name, c.err, c.want)
		}
	}
	if _, err := s.StartUpload(ctx, desk.Upload{ID: "../x", Sheet: u.Sheet}); !errors.Is(err, desk.ErrInvalid) {
		t.Errorf("an id that climbs: %v", err)
	}
	if _, err := s.StartUpload(ctx, desk.Upload{ID: u.ID, Sheet: desk.Sheet{Part: "other", Player: "anna"}}); !errors.Is(err, desk.ErrConflict) {
		t.Errorf("an id of another sheet: %v", err)
	}
	if _, err := s.FinishUpload(ctx, u.ID, 0); !errors.Is(err, desk.ErrInvalid) {
		t.Errorf("finished with no chunk: %v", err)
	}
	if got := must(s.Upload(ctx, u.ID))(t); len(got.Chunks) != 1 {
		t.Errorf("chunks %+v, want the first alone", got.Chunks)
	}
	must(s.FinishUpload(ctx, u.ID, 1))(t)
	if err := addChunk(s, u.ID, 1, "WAVE"); !errors.Is(err, desk.ErrConflict) {
		t.Errorf("a new chunk after the end: %v", err)
	}
}

func TestDamagedChunkIsNotJoined(t *testing.T) {
	s := openNew(t)
	u := startUpload(t, s)
	if err := addChunk(s, u.ID, 0, "RIFF"); err != nil {
		t.Fatal(err)
	}
	damage(t, s.chunkPath(u.ID, chunkOf(0, "RIFF")), func(data []byte) []byte { data[0] = 'X'; return data })
	if _, err := s.FinishUpload(ctx, u.ID, 1); !errors.Is(err, desk.ErrDamaged) {
		t.Errorf("a damaged chunk: %v", err)
	}
}

func TestDroppedAndFinishedUploadsGo(t *testing.T) {
	c := newClock()
	s := openAt(t, t.TempDir(), Options{Unsynced: true, Now: c.Now})
	dropped, finished, open := startUpload(t, s), startUpload(t, s), startUpload(t, s)
	for _, u := range []*desk.Upload{dropped, finished, open} {
		if err := addChunk(s, u.ID, 0, string(u.ID)); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.DropUpload(ctx, dropped.ID); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Upload(ctx, dropped.ID); !errors.Is(err, desk.ErrNotFound) {
		t.Errorf("a dropped upload: %v", err)
	}
	b := must(s.FinishUpload(ctx, finished.ID, 1))(t)
	c.now = c.now.Add(answerTime - time.Minute)
	if got := must(s.Collect(ctx, time.Time{}))(t); got.Blobs != 0 || !s.blobs.has(b.Hash) {
		t.Errorf("a recording no take needs yet: %+v", got)
	}
	c.now = c.now.Add(2 * time.Minute)
	if got := must(s.Collect(ctx, time.Time{}))(t); got.Uploads != 1 || got.Blobs != 1 {
		t.Errorf("a day later: %+v, want the upload and its file gone", got)
	}
	if left := must(s.Uploads(ctx))(t); len(left) != 1 || left[0].ID != open.ID {
		t.Errorf("uploads %+v: an unfinished one is never dropped by itself", left)
	}
}
