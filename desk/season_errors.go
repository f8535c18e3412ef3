package desk

import (
	"errors"
	"fmt"
)

// What can go wrong with a season, to be told apart with errors.Is. The texts
// around them are for people.
var (
	ErrNotFound   = errors.New("not found")
	ErrConflict   = errors.New("changed elsewhere")
	ErrInvalid    = errors.New("not accepted")
	ErrNoChange   = errors.New("nothing to do")
	ErrInUse      = errors.New("in use")     // by another program, or by other records
	ErrDamaged    = errors.New("damaged")    // bytes on disk, or in an archive, are not what was written
	ErrNewer      = errors.New("too new")    // written by a later version of the program
	ErrFull       = errors.New("disk full")  // nothing of the write was kept
	ErrReadOnly   = errors.New("read-only")  // the folder cannot be written
	ErrTooLarge   = errors.New("too large")  // more bytes than the caller allowed
	ErrIncomplete = errors.New("incomplete") // chunks of an upload are missing
)

// NotFoundError names what is missing. It is an ErrNotFound.
type NotFoundError struct{ Ref Ref }

// Error names the record.
func (e *NotFoundError) Error() string { return fmt.Sprintf("there is no %s", e.Ref) }

// Is makes it an ErrNotFound.
func (e *NotFoundError) Is(target error) bool { return target == ErrNotFound }

// ConflictError says that a record is no longer what the caller saw: another tab
// changed it first. It is an ErrConflict. Read it again, and decide again.
type ConflictError struct {
	Ref   Ref
	Yours Revision // what the caller had seen; 0 nothing
	Now   Revision // what is stored; 0 nothing
}

// Error says what happened and what to do.
func (e *ConflictError) Error() string {
	switch {
	case e.Now == 0:
		return fmt.Sprintf("%s was deleted elsewhere since you opened it (revision %d)", e.Ref, e.Yours)
	case e.Yours == 0:
		return fmt.Sprintf("%s exists already (revision %d); open it and change that one", e.Ref, e.Now)
	}
	return fmt.Sprintf("%s was changed elsewhere since you opened it (yours is revision %d, now it is %d); open it again", e.Ref, e.Yours, e.Now)
}

// Is makes it an ErrConflict.
func (e *ConflictError) Is(target error) bool { return target == ErrConflict }

// SeasonError is a text for people under one of the errors above.
type SeasonError struct {
	Text  string
	Is    error // one of the errors above
	Cause error // what the system said; nil for nothing
}

// Error is the text, with the cause behind it.
func (e *SeasonError) Error() string {
	if e.Cause == nil {
		return e.Text
	}
	return e.Text + " (" + e.Cause.Error() + ")"
}

// Unwrap lets errors.Is find both.
func (e *SeasonError) Unwrap() []error {
	if e.Cause == nil {
		return []error{e.Is}
	}
	return []error{e.Is, e.Cause}
}

// invalid is an ErrInvalid with a text of its own.
func invalid(format string, args ...any) error {
	return &SeasonError{Text: fmt.Sprintf(format, args...), Is: ErrInvalid}
}
