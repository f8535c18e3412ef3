package store

import (
	"context"
	"crypto/rand"
	"database/sql"
	"encoding/base32"
	"encoding/json"
	"fmt"
	"strings"
	"time"

	"waterkey/desk"
)

// newID is 80 random bits in base32: no two alike in any number of seasons.
func newID() desk.ID {
	var b [10]byte
	rand.Read(b[:])
	return desk.ID(strings.ToLower(base32.StdEncoding.EncodeToString(b[:])))
}

// maxEntry bounds an entry of the log in bytes, so that every archive can be read
// back with bounded memory (estimate: some hundred times the largest use).
const maxEntry = 16 << 20

// write runs f in the one writing transaction: all of it is kept, or nothing.
func (s *Season) write(ctx context.Context, doing string, f func(*sql.Tx) error) error {
	tx, err := s.writer.BeginTx(ctx, nil)
	if err != nil {
		return explain(err, doing)
	}
	defer func() { _ = tx.Rollback() }() // does nothing after a commit
	if err := f(tx); err != nil {
		return explain(err, doing)
	}
	return explain(tx.Commit(), doing)
}

// Commit implements desk.Log.
func (s *Season) Commit(ctx context.Context, c desk.Change) (*desk.Entry, error) {
	if err := c.Validate(); err != nil {
		return nil, err
	}
	// No garbage collection between looking for the files and needing them.
	s.blobs.guard.RLock()
	defer s.blobs.guard.RUnlock()
	e := &desk.Entry{Sheet: c.Sheet, Act: desk.ActDo, Lasting: c.Lasting, Author: c.Author, Says: c.Says}
	stored := make([]desk.Record, len(c.Edits))
	err := s.write(ctx, "keep the change", func(tx *sql.Tx) error {
		if err := s.next(ctx, tx, e); err != nil {
			return err
		}
		for i, edit := range c.Edits {
			var err error
			if stored[i], err = s.edit(ctx, tx, e, edit); err != nil {
				return err
			}
		}
		return enter(ctx, tx, e)
	})
	if err != nil {
		return nil, err
	}
	for i, edit := range c.Edits {
		if !edit.Delete {
			*edit.Record.Header() = *stored[i].Header()
		}
	}
	return e, nil
}

// next gives an entry its revision and time.
func (s *Season) next(ctx context.Context, tx *sql.Tx, e *desk.Entry) error {
	last, err := lastRevision(ctx, tx)
	e.Revision, e.At = last+1, s.options.Now().UTC().Truncate(time.Millisecond)
	return err
}

// lastRevision is the highest ever given.
func lastRevision(ctx context.Context, q querier) (desk.Revision, error) {
	var last desk.Revision
	err := q.QueryRowContext(ctx, "SELECT coalesce(max(seq), 0) FROM sqlite_sequence WHERE name = 'changes'").Scan(&last)
	return last, explain(err, "read the log")
}

// edit makes one edit that the caller asked for, and notes it in the entry. It
// returns the record as it was stored.
func (s *Season) edit(ctx context.Context, tx *sql.Tx, e *desk.Entry, edit desk.Edit) (desk.Record, error) {
	after, err := clone(edit.Record, e.Revision)
	if err != nil {
		return nil, err
	}
	if after.Header().ID == "" && !edit.Delete {
		after.Header().ID = newID()
	}
	ref := desk.RefOf(after)
	if err := ref.ID.Validate(); err != nil {
		return nil, err
	}
	before, err := get(ctx, tx, ref)
	if err != nil {
		return nil, err
	}
	if now, yours := revisionOf(before), edit.Record.Header().Revision; now != yours {
		return nil, &desk.ConflictError{Ref: ref, Yours: yours, Now: now}
	}
	if edit.Delete {
		if before == nil {
			return nil, &desk.NotFoundError{Ref: ref}
		}
		after = nil
	}
	return after, s.replace(ctx, tx, e, ref, before, after)
}

// revisionOf is 0 for no record.
func revisionOf(r desk.Record) desk.Revision {
	if r == nil {
		return 0
	}
	return r.Header().Revision
}

// replace puts one record in the place of another, either of which may be nil,
// and notes it in the entry.
func (s *Season) replace(ctx context.Context, tx *sql.Tx, e *desk.Entry, ref desk.Ref, before, after desk.Record) error {
	l := desk.Logged{Ref: ref}
	var err error
	if before != nil {
		if l.Before, err = encode(before); err != nil {
			return err
		}
	}
	if after == nil {
		e.Edits = append(e.Edits, l)
		return remove(ctx, tx, ref)
	}
	for _, h := range after.Blobs() {
		if !s.blobs.has(h) {
			return &desk.SeasonError{Is: desk.ErrNotFound, Text: fmt.Sprintf("%s needs the file %s, which is not here; add it again", ref, h)}
		}
	}
	if l.After, err = encode(after); err != nil {
		return err
	}
	e.Edits = append(e.Edits, l)
	return put(ctx, tx, after, l.After)
}

// enter adds an entry to the log.
func enter(ctx context.Context, q querier, e *desk.Entry) error {
	doc, err := json.Marshal(e)
	if err != nil {
		return err
	}
	if len(doc) > maxEntry {
		return &desk.SeasonError{Is: desk.ErrTooLarge, Text: fmt.Sprintf("the change has %d bytes; at most %d are kept at once", len(doc), maxEntry)}
	}
	_, err = q.ExecContext(ctx, `INSERT INTO changes (revision, part_id, player_id, act, act_of, lasting, at_ms, doc)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?)`, e.Revision, e.Part, e.Player, e.Act, e.Of, e.Lasting, milliseconds(e.At), string(doc))
	return err
}
