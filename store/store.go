// Package store keeps a season in one folder: records and their log in an
// embedded SQLite database, documents and recordings as files named by what they
// contain. It implements the interfaces of desk/season_store.go.
//
//	waterkey.db      records and the log of changes (WAL: -wal and -shm beside it)
//	waterkey.lock    held by the program that has the folder open
//	blobs/ab/cdef…   files by SHA-256, never overwritten
//	blobs/new/       files being written; emptied at every start
//	uploads/u-ID/    chunks of recordings that still arrive
//
// # What survives
//
// A call that returned without error is on disk: the database runs with
// synchronous=FULL, which syncs the write-ahead log before a commit returns, and
// files are synced before and their folder after they get their name. So an
// answered write survives a killed program and, as far as the disk honors a sync,
// a loss of power too (with synchronous=NORMAL it would survive the first only).
// A write that was not answered is there whole or not at all.
//
// # One program at a time
//
// The folder is locked by the operating system (flock, LockFileEx) while it is
// open; a second program is refused with ErrInUse. The lock goes with the
// process, however it ends. It is not to be trusted on network file systems, and
// neither is SQLite's write-ahead log: keep the folder on a local disk.
//
// All methods may be called from several goroutines. One write runs at a time;
// reads see the last committed state and do not wait for it.
package store

import (
	"context"
	"database/sql"
	"errors"
	"os"
	"path/filepath"
	"sync"
	"time"

	"waterkey/desk"
)

// Names inside a season's folder.
const (
	databaseName = "waterkey.db"
	lockName     = "waterkey.lock"
	blobsName    = "blobs"
	newName      = "new"
	uploadsName  = "uploads"
)

// The folder is for its owner alone: it holds recordings of people.
const (
	folderMode = 0o700
	fileMode   = 0o600
)

// Options are for tests and demos; the zero value is what a user wants.
type Options struct {
	Now func() time.Time // the clock; nil the system's
	// Unsynced leaves syncing to the operating system: faster, and a loss of
	// power may damage the folder. For seasons that can be made again.
	Unsynced bool
}

// Season is an open folder.
type Season struct {
	folder    string
	options   Options
	lock      *os.File
	writer    *sql.DB // one connection
	reader    *sql.DB
	blobs     *blobs
	finishing sync.Mutex   // joins the chunks of one upload at a time
	exporting sync.RWMutex // read-locked by an export, which garbage collection must not disturb
}

// Every interface that the use cases need.
var (
	_ desk.Book    = (*Season)(nil)
	_ desk.Log     = (*Season)(nil)
	_ desk.Blobs   = (*Season)(nil)
	_ desk.Uploads = (*Season)(nil)
	_ desk.Keeper  = (*Season)(nil)
)

// Open opens a season's folder, or makes it, and brings an older database up to
// date. Errors: ErrInUse, ErrReadOnly, ErrFull, ErrNewer, and ErrDamaged, with
// which nothing was changed. Close it.
func Open(ctx context.Context, folder string, o Options) (*Season, error) {
	if o.Now == nil {
		o.Now = time.Now
	}
	folder, err := filepath.Abs(folder)
	if err != nil {
		return nil, err
	}
	s := &Season{folder: folder, options: o}
	if err := s.open(ctx); err != nil {
		s.Close()
		return nil, err
	}
	return s, nil
}

func (s *Season) open(ctx context.Context) error {
	if err := os.MkdirAll(s.folder, folderMode); err != nil {
		return explain(err, "make the folder "+s.folder)
	}
	var err error
	if s.lock, err = lockFolder(s.folder); err != nil {
		return err
	}
	if err := refuseLost(s.folder); err != nil {
		return err
	}
	if s.blobs, err = openBlobs(filepath.Join(s.folder, blobsName), s.options); err != nil {
		return err
	}
	if err := s.openDatabase(ctx); err != nil {
		return err
	}
	return s.tidyUploads(ctx)
}

// Close ends all work and frees the folder. What was answered is on disk whether
// or not it is called.
func (s *Season) Close() error {
	var errs []error
	if s.reader != nil {
		errs = append(errs, s.reader.Close())
	}
	if s.writer != nil {
		errs = append(errs, s.writer.Close())
	}
	if s.lock != nil {
		errs = append(errs, s.lock.Close())
	}
	return errors.Join(errs...)
}
