package store

import (
	"errors"
	"fmt"
	"io/fs"

	"modernc.org/sqlite"
	lib "modernc.org/sqlite/lib"

	"waterkey/desk"
)

// sqliteCode is the extended and the primary result code of an error of the
// database (published: sqlite.org, Result and Error Codes); 0 for others.
func sqliteCode(err error) (extended, primary int) {
	var e *sqlite.Error
	if !errors.As(err, &e) {
		return 0, 0
	}
	return e.Code(), e.Code() & 0xff
}

// explain says what could not be done, and what to do about it where the system
// tells. An error that is the season's own already stays as it is.
func explain(err error, doing string) error {
	var known *desk.SeasonError
	switch {
	case err == nil, errors.As(err, &known), errors.Is(err, desk.ErrNotFound), errors.Is(err, desk.ErrConflict):
		return err
	}
	_, code := sqliteCode(err)
	switch {
	case code == lib.SQLITE_FULL, isAny(err, fullErrors):
		return &desk.SeasonError{Is: desk.ErrFull, Cause: err,
			Text: fmt.Sprintf("cannot %s: the disk is full. Nothing of it was kept; make room and try again", doing)}
	case code == lib.SQLITE_READONLY, code == lib.SQLITE_PERM, code == lib.SQLITE_CANTOPEN, isAny(err, readOnlyErrors):
		return &desk.SeasonError{Is: desk.ErrReadOnly, Cause: err,
			Text: fmt.Sprintf("cannot %s: the folder cannot be written. Give yourself the right to write there, or choose another folder", doing)}
	case code == lib.SQLITE_CORRUPT, code == lib.SQLITE_NOTADB:
		return damaged(databaseName, err)
	}
	return fmt.Errorf("cannot %s: %w", doing, err)
}

// readOnlyErrors are the system's words for a place that cannot be written.
var readOnlyErrors = append([]error{fs.ErrPermission}, readOnlyCodes...)

func isAny(err error, targets []error) bool {
	for _, t := range targets {
		if errors.Is(err, t) {
			return true
		}
	}
	return false
}

// damaged names a database that cannot be used.
func damaged(path string, cause error) error {
	return &desk.SeasonError{Is: desk.ErrDamaged, Cause: cause,
		Text: fmt.Sprintf("the database %s is damaged. %s", path, advice)}
}

// damagedOr explains an error met while looking at a database.
func damagedOr(err error, path string) error {
	if _, code := sqliteCode(err); code == lib.SQLITE_CORRUPT || code == lib.SQLITE_NOTADB {
		return damaged(path, err)
	}
	return explain(err, "open "+path)
}

// refused turns a broken constraint into what it means for a record.
func (t *table) refused(err error, ref desk.Ref) error {
	code, _ := sqliteCode(err)
	switch {
	case isForeignKey(err):
		return &desk.SeasonError{Is: desk.ErrNotFound, Text: fmt.Sprintf("%s names a %s that is not there; it may have been deleted elsewhere", ref, t.refers)}
	case code == lib.SQLITE_CONSTRAINT_UNIQUE:
		return &desk.SeasonError{Is: desk.ErrConflict, Text: fmt.Sprintf("%s: %s", ref, t.unique)}
	}
	return explain(err, "store "+ref.String())
}

func isForeignKey(err error) bool {
	code, _ := sqliteCode(err)
	return code == lib.SQLITE_CONSTRAINT_FOREIGNKEY
}
