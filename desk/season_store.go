package desk

import (
	"context"
	"io"
	"time"
)

// Book reads the records of a season. Lists come in a fixed order and are never
// nil; a single record that is not there is an ErrNotFound.
type Book interface {
	Players(ctx context.Context) ([]*Player, error) // by name
	Player(ctx context.Context, id ID) (*Player, error)
	Parts(ctx context.Context) ([]*Part, error) // by due date, then position and title
	Part(ctx context.Context, id ID) (*Part, error)
	// Assignments are those of a sheet; either half of it, or both, may be empty.
	Assignments(ctx context.Context, s Sheet) ([]*Assignment, error)
	// Marks are those on a part for a player, with those for everybody; without a
	// player all of the part.
	Marks(ctx context.Context, s Sheet) ([]*Mark, error)
	Takes(ctx context.Context, q TakeQuery) ([]*Take, error)
	Take(ctx context.Context, id ID) (*Take, error)
	// Measures are those of the takes that Takes would list, in that order.
	Measures(ctx context.Context, q TakeQuery) ([]*Measure, error)
	Measure(ctx context.Context, take ID) (*Measure, error)
	// PracticeDays are those of a sheet on which something was done, by date; either
	// half of it, or both, may be empty.
	PracticeDays(ctx context.Context, s Sheet) ([]*PracticeDay, error)
}

// TakeQuery selects takes, newest first.
type TakeQuery struct {
	Sheet            // either half, or both, may be empty
	Since  time.Time // recorded then or later; zero for all
	Limit  int       // 0 for all
	Offset int       // how many of the newest to pass over
}

// Log changes a season, and goes back.
type Log interface {
	// Commit makes a change. When it returns without error the change is on disk,
	// and the records put carry their new revision (and ID). Errors: ErrInvalid,
	// ErrConflict, ErrNotFound for something referred to, ErrInUse for a record
	// that others need; with any error nothing was changed.
	Commit(ctx context.Context, c Change) (*Entry, error)
	// Undo takes back the last change of a sheet that is not undone, Redo makes
	// the last undone one again. ErrNoChange when there is none, ErrConflict when
	// its records have since been changed from another sheet.
	Undo(ctx context.Context, s Sheet, author string) (*Entry, error)
	Redo(ctx context.Context, s Sheet, author string) (*Entry, error)
	// Next are the changes that Undo and Redo would act on; nil for none.
	Next(ctx context.Context, s Sheet) (undo, redo *Entry, err error)
	// History lists the entries after a revision, oldest first, of a sheet of
	// which either half, or both, may be empty. A zero limit has no limit.
	History(ctx context.Context, s Sheet, after Revision, limit int) ([]*Entry, error)
	// Revision is the last entry's; 0 for a new season.
	Revision(ctx context.Context) (Revision, error)
}

// Blob is a file by what it contains.
type Blob struct {
	Hash Hash  `json:"hash"`
	Size int64 `json:"size"` // bytes
}

// Blobs keeps documents and recordings.
type Blobs interface {
	// AddBlob reads r to its end, at most limit bytes, and keeps it. When it
	// returns the bytes are on disk. A blob that no record needs may be removed
	// an hour later. Errors: ErrTooLarge, ErrFull, ErrReadOnly, or r's.
	AddBlob(ctx context.Context, r io.Reader, limit int64) (Blob, error)
	// OpenBlob gives bytes that were verified: ErrDamaged when they are not what
	// was added, ErrNotFound when they are not there.
	OpenBlob(ctx context.Context, h Hash) (BlobReader, error)
}

// BlobReader reads a blob from anywhere.
type BlobReader interface {
	io.ReadSeekCloser
	io.ReaderAt
	Size() int64
}

// Upload is a recording that arrives in chunks.
type Upload struct {
	ID        ID        `json:"id"`
	Sheet               // what is recorded
	FileName  string    `json:"file_name"`
	MediaType string    `json:"media_type"`
	Started   time.Time `json:"started"`
	Chunks    []Chunk   `json:"chunks"`              // held, in order of sequence
	Recording Hash      `json:"recording,omitempty"` // once finished
}

// Validate checks what the sender says about an upload.
func (u *Upload) Validate() error {
	return firstError(u.ID.Validate(), u.Part.Validate(), u.Player.Validate(),
		checkText("file name", u.FileName), checkText("media type", u.MediaType))
}

// Chunk is a piece of an upload.
type Chunk struct {
	Sequence int   `json:"sequence"` // from 0
	Hash     Hash  `json:"hash"`
	Size     int64 `json:"size"` // bytes
}

// Uploads receives recordings in pieces that may come twice or out of order. A
// chunk that was answered is never lost, whatever happens to either side.
type Uploads interface {
	// StartUpload opens one; with the ID of one that is open it returns that.
	StartUpload(ctx context.Context, u Upload) (*Upload, error)
	// Upload says what has arrived.
	Upload(ctx context.Context, id ID) (*Upload, error)
	// Uploads lists those that are not finished, oldest first.
	Uploads(ctx context.Context) ([]*Upload, error)
	// AddChunk keeps a chunk whose hash the sender computed. ErrDamaged when the
	// bytes are others, ErrConflict when another chunk has that sequence.
	AddChunk(ctx context.Context, id ID, c Chunk, r io.Reader) error
	// FinishUpload joins chunks 0 to count-1 into one blob; asked again it answers
	// the same. ErrIncomplete names the chunks that are missing.
	FinishUpload(ctx context.Context, id ID, count int) (Blob, error)
	// DropUpload forgets an upload and its chunks.
	DropUpload(ctx context.Context, id ID) error
}

// Keeper looks after a season as a whole.
type Keeper interface {
	// Export writes everything but unfinished uploads as one file: equal bytes for
	// equal content.
	Export(ctx context.Context, w io.Writer) (Exported, error)
	// Import reads what Export wrote into a season that is still empty
	// (ErrConflict otherwise). ErrDamaged, and nothing changed, when the archive
	// is not whole.
	Import(ctx context.Context, r io.ReaderAt, size int64) error
	// Collect removes files that nothing needs any more. Changes made before the
	// given time can no longer be undone; zero keeps them all.
	Collect(ctx context.Context, historyBefore time.Time) (Collected, error)
	// Check reads every byte and lists what is damaged, one sentence each.
	Check(ctx context.Context) ([]string, error)
}

// Exported says what an archive holds.
type Exported struct {
	Records int   // of all kinds
	Changes int   // entries of the log
	Blobs   int   // files
	Bytes   int64 // of the files
	// Lost are files that records need and that are missing or damaged. They are
	// not in the archive, which says so itself.
	Lost []Hash
}

// Collected says what was removed.
type Collected struct {
	Blobs   int   // files
	Bytes   int64 // of the files
	Changes int   // entries of the log
	Uploads int   // finished ones, whose recording stays where a take has it
}
