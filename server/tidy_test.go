package server

import (
	"context"
	"errors"
	"log/slog"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"waterkey/desk"
	"waterkey/store"
)

// A server removes what nothing needs when it starts and again while it runs, and
// leaves what a record needs.
func TestTidy(t *testing.T) {
	var late atomic.Int64 // hours
	now := func() time.Time { return time.Now().Add(time.Duration(late.Load()) * time.Hour) }
	season, err := store.Open(t.Context(), t.TempDir(), store.Options{Now: now})
	if err != nil {
		t.Fatal(err)
	}
	defer season.Close()
	d := desk.New(season)
	keep := func(text string) desk.Hash {
		blob, err := d.AddBlob(t.Context(), strings.NewReader(text), 1<<10)
		if err != nil {
			t.Fatal(err)
		}
		late.Add(3) // it is an old file now
		return blob.Hash
	}
	gone := func(h desk.Hash) bool {
		f, err := d.OpenBlob(t.Context(), h)
		if err == nil {
			f.Close()
		}
		return errors.Is(err, desk.ErrNotFound)
	}
	until := func(h desk.Hash) {
		t.Helper()
		for end := time.Now().Add(10 * time.Second); !gone(h); time.Sleep(10 * time.Millisecond) {
			if time.Now().After(end) {
				t.Fatal("a file that nothing needs is still there")
			}
		}
	}
	needed := keep("<score/>")
	part := &desk.Part{Title: "Harbor Parade", Document: needed, FileName: "a.musicxml"}
	if _, err := d.Commit(t.Context(), desk.Change{Says: "added", Edits: []desk.Edit{desk.Put(part)}}); err != nil {
		t.Fatal(err)
	}
	stray := keep("broken off")
	server := New(Config{Desk: d, Token: token})
	until(stray)
	server.Close()

	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan struct{})
	go func() { defer close(done); tidy(ctx, d, slog.New(slog.DiscardHandler), 20*time.Millisecond) }()
	until(keep("first")) // at the start, or soon after
	until(keep("second"))
	cancel()
	<-done
	if gone(needed) {
		t.Error("the page of a part is gone")
	}
}
