package store

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"sync"
	"time"

	"waterkey/desk"
)

// blobs keeps files by SHA-256 under one folder.
type blobs struct {
	folder  string
	options Options
	// guard is read-locked while a file gets its name or a record comes to need
	// it, and locked while garbage is taken away.
	guard    sync.RWMutex
	verified sync.Map // hash to the stamp it was last verified under
}

// stamp is what changes when a file is written by somebody else.
type stamp struct {
	size     int64
	modified time.Time
}

// openBlobs makes the folders and empties that of unfinished files.
func openBlobs(folder string, o Options) (*blobs, error) {
	unfinished := filepath.Join(folder, newName)
	if err := os.RemoveAll(unfinished); err != nil {
		return nil, explain(err, "empty the folder "+unfinished)
	}
	if err := os.MkdirAll(unfinished, folderMode); err != nil {
		return nil, explain(err, "make the folder "+unfinished)
	}
	return &blobs{folder: folder, options: o}, nil
}

// path is where a file of a valid hash lies.
func (b *blobs) path(h desk.Hash) string {
	return filepath.Join(b.folder, string(h[:2]), string(h[2:]))
}

// has says whether a file is there, without reading it.
func (b *blobs) has(h desk.Hash) bool {
	if h.Validate() != nil {
		return false
	}
	_, err := os.Stat(b.path(h))
	return err == nil
}

// AddBlob implements desk.Blobs.
func (s *Season) AddBlob(ctx context.Context, r io.Reader, limit int64) (desk.Blob, error) {
	return s.blobs.add(ctx, r, limit)
}

// OpenBlob implements desk.Blobs. A file is read whole and verified the first
// time, and again whenever its size or time has changed.
func (s *Season) OpenBlob(ctx context.Context, h desk.Hash) (desk.BlobReader, error) {
	f, size, err := s.blobs.open(ctx, h)
	if err != nil {
		return nil, err
	}
	return &blobReader{f, size}, nil
}

type blobReader struct {
	*os.File
	size int64
}

// Size is in bytes.
func (r *blobReader) Size() int64 { return r.size }

// add keeps whatever r gives, up to limit bytes.
func (b *blobs) add(ctx context.Context, r io.Reader, limit int64) (desk.Blob, error) {
	return b.keep(ctx, r, limit, func(desk.Blob) error { return nil })
}

// addAs keeps what r gives if it is the blob that was announced.
func (b *blobs) addAs(ctx context.Context, r io.Reader, want desk.Blob) error {
	_, err := b.keep(ctx, r, want.Size, func(got desk.Blob) error {
		if got != want {
			return &desk.SeasonError{Is: desk.ErrDamaged, Text: fmt.Sprintf("%d bytes with hash %s", got.Size, got.Hash)}
		}
		return nil
	})
	return err
}

// keep writes a file beside the others, syncs it and gives it its name, unless
// accept refuses it.
func (b *blobs) keep(ctx context.Context, r io.Reader, limit int64, accept func(desk.Blob) error) (desk.Blob, error) {
	const doing = "keep the file"
	f, err := os.CreateTemp(filepath.Join(b.folder, newName), "*")
	if err != nil {
		return desk.Blob{}, explain(err, doing)
	}
	defer os.Remove(f.Name()) // gone already when all went well
	defer f.Close()
	blob, err := copyHashed(ctx, f, r, limit)
	if err == nil {
		err = accept(blob)
	}
	if err != nil {
		return desk.Blob{}, explain(err, doing)
	}
	if err := b.sync(f); err != nil {
		return desk.Blob{}, explain(err, doing)
	}
	if err := f.Close(); err != nil {
		return desk.Blob{}, explain(err, doing)
	}
	return blob, explain(b.name(ctx, f.Name(), blob), doing)
}

// sync writes a file through to the disk.
func (b *blobs) sync(f *os.File) error {
	if b.options.Unsynced {
		return nil
	}
	return f.Sync()
}

// copyHashed copies at most limit bytes.
func copyHashed(ctx context.Context, w io.Writer, r io.Reader, limit int64) (desk.Blob, error) {
	limit = min(limit, math.MaxInt64-1) // one more is read, to tell
	hash := sha256.New()
	n, err := io.Copy(io.MultiWriter(w, hash), io.LimitReader(&contextReader{ctx, r}, limit+1))
	if err != nil {
		return desk.Blob{}, err
	}
	if n > limit {
		return desk.Blob{}, &desk.SeasonError{Is: desk.ErrTooLarge, Text: fmt.Sprintf("the file is larger than the %d bytes that are accepted here", limit)}
	}
	return desk.Blob{Hash: desk.Hash(hex.EncodeToString(hash.Sum(nil))), Size: n}, nil
}

// contextReader ends a long copy when nobody waits for it any more.
type contextReader struct {
	ctx context.Context
	r   io.Reader
}

func (c *contextReader) Read(p []byte) (int, error) {
	if err := c.ctx.Err(); err != nil {
		return 0, err
	}
	return c.r.Read(p)
}

// name moves a written file to its place. A sound file that is there already
// stays, and counts as just added; a damaged one is replaced.
func (b *blobs) name(ctx context.Context, written string, blob desk.Blob) error {
	b.guard.RLock()
	defer b.guard.RUnlock()
	path, now := b.path(blob.Hash), b.options.Now()
	if f, _, err := b.open(ctx, blob.Hash); err == nil {
		f.Close()
		if err := os.Chtimes(path, now, now); err != nil {
			return err
		}
		return b.syncName(path)
	}
	const readable = 0o400 // nobody should write into it
	if err := errors.Join(os.Chmod(written, readable), os.Chtimes(written, now, now)); err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Dir(path), folderMode); err != nil {
		return err
	}
	if err := os.Rename(written, path); err != nil {
		return err
	}
	return b.syncName(path)
}

// syncName makes a file's name durable, and that of its folder.
func (b *blobs) syncName(path string) error {
	if b.options.Unsynced {
		return nil
	}
	return errors.Join(syncFolder(filepath.Dir(path)), syncFolder(b.folder))
}

// open gives a verified file, at its start.
func (b *blobs) open(ctx context.Context, h desk.Hash) (*os.File, int64, error) {
	if err := h.Validate(); err != nil {
		return nil, 0, err
	}
	f, err := os.Open(b.path(h))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, 0, &desk.SeasonError{Is: desk.ErrNotFound, Text: fmt.Sprintf("there is no file %s; put it back from a backup or an export", h)}
	}
	if err != nil {
		return nil, 0, explain(err, "read the file "+string(h))
	}
	size, err := b.verify(ctx, f, h)
	if err != nil {
		f.Close()
		return nil, 0, explain(err, "read the file "+string(h))
	}
	return f, size, nil
}

// verify holds a file to its name.
func (b *blobs) verify(ctx context.Context, f *os.File, h desk.Hash) (size int64, err error) {
	info, err := f.Stat()
	if err != nil {
		return 0, err
	}
	now := stamp{info.Size(), info.ModTime()}
	if last, ok := b.verified.Load(h); ok && last == now {
		return now.size, nil
	}
	found, err := copyHashed(ctx, io.Discard, f, info.Size())
	if err != nil {
		return 0, err
	}
	if found.Hash != h {
		return 0, &desk.SeasonError{Is: desk.ErrDamaged, Text: fmt.Sprintf(
			"the file %s was altered on disk (its bytes are now those of %s). Nothing was changed; put it back from a backup or an export, or add it again", f.Name(), found.Hash)}
	}
	b.verified.Store(h, now)
	_, err = f.Seek(0, io.SeekStart)
	return now.size, err
}
