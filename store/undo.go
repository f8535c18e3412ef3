package store

import (
	"bytes"
	"context"
	"database/sql"
	"fmt"
	"slices"

	"waterkey/desk"
)

// What can be undone and redone follows from the log alone. An entry's state is
// that of the last entry about it: undone after an undo, done after a redo or
// none. Undo takes the last done one. Redo takes the one undone last, unless
// something new was done since. (That act_of is positive lets the partial index
// serve.)
const (
	lastAct = `ifnull((SELECT act FROM changes AS about WHERE about.act_of = done.revision AND about.act_of > 0 ORDER BY about.revision DESC LIMIT 1), 'redo')`

	nextUndo = `SELECT doc FROM changes AS done
		WHERE part_id = ? AND player_id = ? AND act = 'do' AND NOT lasting AND ` + lastAct + ` = 'redo'
		ORDER BY revision DESC LIMIT 1`

	nextRedo = `SELECT done.doc FROM changes AS undone JOIN changes AS done ON done.revision = undone.act_of
		WHERE undone.part_id = ?1 AND undone.player_id = ?2 AND undone.act = 'undo' AND ` + lastAct + ` = 'undo'
		AND undone.revision > ifnull((SELECT revision FROM changes
			WHERE part_id = ?1 AND player_id = ?2 AND act = 'do' AND NOT lasting ORDER BY revision DESC LIMIT 1), 0)
		ORDER BY undone.revision DESC LIMIT 1`
)

// Undo implements desk.Log.
func (s *Season) Undo(ctx context.Context, sheet desk.Sheet, author string) (*desk.Entry, error) {
	return s.turn(ctx, sheet, author, desk.ActUndo)
}

// Redo implements desk.Log.
func (s *Season) Redo(ctx context.Context, sheet desk.Sheet, author string) (*desk.Entry, error) {
	return s.turn(ctx, sheet, author, desk.ActRedo)
}

// Next implements desk.Log.
func (s *Season) Next(ctx context.Context, sheet desk.Sheet) (undo, redo *desk.Entry, err error) {
	if undo, err = candidate(ctx, s.reader, sheet, desk.ActUndo); err != nil {
		return nil, nil, err
	}
	redo, err = candidate(ctx, s.reader, sheet, desk.ActRedo)
	return undo, redo, err
}

// candidate is the change that an act would act on; nil for none.
func candidate(ctx context.Context, q querier, sheet desk.Sheet, act desk.Act) (*desk.Entry, error) {
	query := nextUndo
	if act == desk.ActRedo {
		query = nextRedo
	}
	found, err := list[desk.Entry](ctx, q, query, sheet.Part, sheet.Player)
	if err != nil || len(found) == 0 {
		return nil, err
	}
	return found[0], nil
}

// turn undoes or redoes a change.
func (s *Season) turn(ctx context.Context, sheet desk.Sheet, author string, act desk.Act) (*desk.Entry, error) {
	s.blobs.guard.RLock()
	defer s.blobs.guard.RUnlock()
	e := &desk.Entry{Sheet: sheet, Act: act, Author: author}
	err := s.write(ctx, string(act)+" a change", func(tx *sql.Tx) error {
		done, err := candidate(ctx, tx, sheet, act)
		if err != nil {
			return err
		}
		if done == nil {
			return &desk.SeasonError{Is: desk.ErrNoChange, Text: fmt.Sprintf("there is nothing to %s here", act)}
		}
		if err := s.next(ctx, tx, e); err != nil {
			return err
		}
		e.Of, e.Says = done.Revision, done.Says
		for _, l := range turned(done.Edits, act) {
			if err := s.follow(ctx, tx, e, l); err != nil {
				return err
			}
		}
		return enter(ctx, tx, e)
	})
	if err != nil {
		return nil, err
	}
	return e, nil
}

// turned are the edits to make: for an undo the inverses, in reverse order.
func turned(edits []desk.Logged, act desk.Act) []desk.Logged {
	edits = slices.Clone(edits)
	if act == desk.ActRedo {
		return edits
	}
	slices.Reverse(edits)
	for i := range edits {
		edits[i].Before, edits[i].After = edits[i].After, edits[i].Before
	}
	return edits
}

// follow makes a logged edit once more, if the record is still as it was then.
func (s *Season) follow(ctx context.Context, tx *sql.Tx, e *desk.Entry, l desk.Logged) error {
	now, err := get(ctx, tx, l.Ref)
	if err != nil {
		return err
	}
	same, err := sameContent(now, l)
	if err != nil {
		return err
	}
	if !same {
		return &desk.SeasonError{Is: desk.ErrConflict, Text: fmt.Sprintf(
			"cannot %s %q: %s has since been changed from elsewhere; change it by hand", e.Act, e.Says, l.Ref)}
	}
	var after desk.Record
	if l.After != nil {
		if after, err = decode(l.Kind, l.After); err != nil {
			return err
		}
		after.Header().Revision = e.Revision
	}
	return s.replace(ctx, tx, e, l.Ref, now, after)
}

// sameContent compares a record with what a logged edit starts from, whatever
// their revisions.
func sameContent(now desk.Record, l desk.Logged) (bool, error) {
	if now == nil || l.Before == nil {
		return now == nil && l.Before == nil, nil
	}
	then, err := decode(l.Kind, l.Before)
	if err != nil {
		return false, err
	}
	then.Header().Revision = now.Header().Revision
	a, err := encode(now)
	if err != nil {
		return false, err
	}
	b, err := encode(then)
	return bytes.Equal(a, b), err
}

// History implements desk.Log.
func (s *Season) History(ctx context.Context, sheet desk.Sheet, after desk.Revision, limit int) ([]*desk.Entry, error) {
	f := filter{}
	f.sheet(sheet)
	f.add("revision > ?", after)
	if limit <= 0 {
		limit = -1 // SQLite: no limit
	}
	return list[desk.Entry](ctx, s.reader, "SELECT doc FROM changes"+f.where()+" ORDER BY revision LIMIT ?", append(f.args, limit)...)
}

// Revision implements desk.Log.
func (s *Season) Revision(ctx context.Context) (desk.Revision, error) {
	return lastRevision(ctx, s.reader)
}
