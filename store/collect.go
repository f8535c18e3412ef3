package store

import (
	"context"
	"database/sql"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"waterkey/desk"
)

const (
	// graceTime is how long a file is kept that no record needs yet: a page adds
	// the file first and the record right after (estimate, with much room).
	graceTime = time.Hour
	// answerTime is how long a finished upload can still be asked about by a
	// sender that missed the answer (estimate).
	answerTime = 24 * time.Hour
)

// busyExporting says that an archive is being written or read.
var busyExporting = &desk.SeasonError{Is: desk.ErrInUse, Text: "an export or import is running; clean up when it is done"}

// Collect implements desk.Keeper.
func (s *Season) Collect(ctx context.Context, historyBefore time.Time) (desk.Collected, error) {
	var done desk.Collected
	if !s.exporting.TryLock() {
		return done, busyExporting
	}
	defer s.exporting.Unlock()
	s.blobs.guard.Lock()
	defer s.blobs.guard.Unlock()
	needed := map[desk.Hash]bool{}
	err := s.write(ctx, "clean up", func(tx *sql.Tx) error {
		var err error
		if done.Changes, err = affected(tx.ExecContext(ctx, "DELETE FROM changes WHERE at_ms < ?", milliseconds(historyBefore))); err != nil {
			return err
		}
		if done.Uploads, err = affected(tx.ExecContext(ctx, "DELETE FROM uploads WHERE recording <> '' AND started_ms < ?",
			s.options.Now().Add(-answerTime).UnixMilli())); err != nil {
			return err
		}
		needed, err = neededBlobs(ctx, tx)
		return err
	})
	if err != nil {
		return desk.Collected{}, err
	}
	return done, s.blobs.removeOthers(ctx, needed, s.options.Now().Add(-graceTime), &done)
}

func affected(r sql.Result, err error) (int, error) {
	if err != nil {
		return 0, err
	}
	n, err := r.RowsAffected()
	return int(n), err
}

// neededBlobs are the files of all records, of all states of records that undo
// can bring back, and of finished uploads.
func neededBlobs(ctx context.Context, q querier) (map[desk.Hash]bool, error) {
	needed := map[desk.Hash]bool{}
	note := func(k desk.Kind, doc []byte) error {
		if len(doc) == 0 {
			return nil
		}
		r, err := decode(k, doc)
		if err != nil {
			return err
		}
		for _, h := range r.Blobs() {
			needed[h] = true
		}
		return nil
	}
	for _, k := range desk.Kinds() {
		if err := eachRow(ctx, q, "SELECT doc FROM "+tables[k].name, func(doc []byte) error { return note(k, doc) }); err != nil {
			return nil, err
		}
	}
	err := eachRow(ctx, q, "SELECT doc FROM changes", func(doc []byte) error {
		e, err := decodeEntry(doc)
		if err != nil {
			return err
		}
		for _, l := range e.Edits {
			if err := firstError(note(l.Kind, l.Before), note(l.Kind, l.After)); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	return needed, eachRow(ctx, q, "SELECT recording FROM uploads WHERE recording <> ''", func(hash []byte) error {
		needed[desk.Hash(hash)] = true
		return nil
	})
}

// eachRow hands on the only column of every row; the bytes are valid during the
// call.
func eachRow(ctx context.Context, q querier, query string, f func([]byte) error) error {
	rows, err := q.QueryContext(ctx, query)
	if err != nil {
		return explain(err, "read the season")
	}
	defer rows.Close()
	for rows.Next() {
		var value sql.RawBytes
		if err := rows.Scan(&value); err != nil {
			return explain(err, "read the season")
		}
		if err := f(value); err != nil {
			return err
		}
	}
	return explain(rows.Err(), "read the season")
}

// each calls f for every file, in order of hash.
func (b *blobs) each(f func(h desk.Hash, path string) error) error {
	paths, err := filepath.Glob(filepath.Join(b.folder, "??", "*"))
	if err != nil {
		return err
	}
	for _, path := range paths { // Glob sorts within sorted folders
		h := desk.Hash(filepath.Base(filepath.Dir(path)) + filepath.Base(path))
		if h.Validate() != nil {
			continue // not ours: leave it
		}
		if err := f(h, path); err != nil {
			return err
		}
	}
	return nil
}

// removeOthers removes the files that are not needed and were not added after a
// moment. The caller holds the guard.
func (b *blobs) removeOthers(ctx context.Context, needed map[desk.Hash]bool, after time.Time, done *desk.Collected) error {
	return b.each(func(h desk.Hash, path string) error {
		info, err := os.Stat(path)
		if err != nil || needed[h] || info.ModTime().After(after) {
			return explain(err, "look at the file "+path)
		}
		if err := firstError(ctx.Err(), os.Remove(path)); err != nil {
			return explain(err, "remove the file "+path)
		}
		b.verified.Delete(h)
		done.Blobs++
		done.Bytes += info.Size()
		return nil
	})
}

// Check implements desk.Keeper.
func (s *Season) Check(ctx context.Context) ([]string, error) {
	found, err := inspect(ctx, s.reader, "integrity_check")
	if err != nil {
		return nil, damagedOr(err, databaseName)
	}
	for i, line := range found {
		found[i] = "database: " + line
	}
	lost, err := s.lostBlobs(ctx)
	for _, h := range lost {
		found = append(found, fmt.Sprintf("the file %s is missing or was altered on disk", h))
	}
	return found, err
}

// lostBlobs are the files that are needed and cannot be read, in order. Every
// byte is read again.
func (s *Season) lostBlobs(ctx context.Context) ([]desk.Hash, error) {
	needed, err := neededBlobs(ctx, s.reader)
	if err != nil {
		return nil, err
	}
	var lost []desk.Hash
	for _, h := range sortedHashes(needed) {
		s.blobs.verified.Delete(h)
		switch f, _, err := s.blobs.open(ctx, h); {
		case err == nil:
			f.Close()
		case ctx.Err() != nil:
			return nil, ctx.Err()
		default:
			lost = append(lost, h)
		}
	}
	return lost, nil
}
