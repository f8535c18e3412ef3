package store

import (
	"archive/zip"
	"bufio"
	"bytes"
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"

	"waterkey/desk"
)

// Import implements desk.Keeper. Names inside the archive are compared with those
// that must be there and never used as paths. Files are kept first, records last,
// in one transaction; when anything fails the files go again.
func (s *Season) Import(ctx context.Context, r io.ReaderAt, size int64) error {
	s.exporting.RLock() // no file goes away before its record comes
	defer s.exporting.RUnlock()
	a, err := openArchive(r, size)
	if err != nil {
		return err
	}
	var added []desk.Hash
	err = s.write(ctx, "import the archive", func(tx *sql.Tx) error {
		if err := refuseFilled(ctx, tx); err != nil {
			return err
		}
		if err := a.load(ctx, tx); err != nil {
			return err
		}
		added, err = a.keepBlobs(ctx, s.blobs)
		return err
	})
	if err != nil {
		for _, h := range added {
			_ = os.Remove(s.blobs.path(h)) // collected later when it cannot be removed now
		}
	}
	return err
}

// refuseFilled wants a season in which nothing was done yet.
func refuseFilled(ctx context.Context, tx *sql.Tx) error {
	last, err := lastRevision(ctx, tx)
	if err != nil {
		return err
	}
	var uploads int
	if err := tx.QueryRowContext(ctx, "SELECT count(*) FROM uploads").Scan(&uploads); err != nil {
		return err
	}
	if last > 0 || uploads > 0 {
		return &desk.SeasonError{Is: desk.ErrConflict, Text: fmt.Sprintf(
			"this season is not empty (%d changes, %d uploads); open a new folder and import there, so that nothing is mixed or lost", last, uploads)}
	}
	return nil
}

// archive is an opened archive whose list of entries is as it must be.
type archive struct {
	manifest
	entries map[string]*zip.File
}

// broken is an archive that cannot be taken.
func broken(format string, args ...any) error {
	return &desk.SeasonError{Is: desk.ErrDamaged, Text: fmt.Sprintf("the archive cannot be imported: "+format+". Nothing was changed; take another copy of it", args...)}
}

// openArchive checks everything that can be checked without reading the content.
func openArchive(r io.ReaderAt, size int64) (*archive, error) {
	z, err := zip.NewReader(r, size)
	if err != nil {
		return nil, broken("it is no ZIP file, or its end is missing (%v)", err)
	}
	a := &archive{entries: map[string]*zip.File{}}
	total := uint64(0)
	for _, f := range z.File {
		switch total += f.UncompressedSize64; {
		case a.entries[f.Name] != nil:
			return nil, broken("it holds %q twice", f.Name)
		case f.Method != zip.Store || f.UncompressedSize64 != f.CompressedSize64:
			return nil, broken("%q is compressed, which an export never is; was it packed again by another program?", f.Name)
		case f.UncompressedSize64 > uint64(size) || total > uint64(size):
			return nil, broken("it claims to hold more than its own %d bytes", size)
		}
		a.entries[f.Name] = f
	}
	if err := a.readManifest(); err != nil {
		return nil, err
	}
	return a, a.checkEntries()
}

func (a *archive) readManifest() error {
	f := a.entries[manifestName]
	if f == nil {
		return broken("%s is missing; is it an export of a season?", manifestName)
	}
	if f.UncompressedSize64 > maxManifest {
		return broken("%s has %d bytes; at most %d are read", manifestName, f.UncompressedSize64, maxManifest)
	}
	r, err := f.Open()
	if err != nil {
		return broken("%s: %v", manifestName, err)
	}
	defer r.Close()
	data, err := io.ReadAll(r)
	if err != nil {
		return broken("%s: %v", manifestName, err)
	}
	// The version first: a later one may have fields that are not known here.
	head := struct {
		Format  string
		Version int
	}{}
	if err := json.Unmarshal(data, &head); err != nil || head.Format != archiveFormat {
		return broken("%s does not describe a season", manifestName)
	}
	if head.Version > archiveVersion {
		return &desk.SeasonError{Is: desk.ErrNewer, Text: fmt.Sprintf(
			"the archive is of version %d, this program reads up to %d; use the later program. Nothing was changed", head.Version, archiveVersion)}
	}
	if err := strict(data, &a.manifest); err != nil {
		return broken("%s: %v", manifestName, err)
	}
	return nil
}

// checkEntries wants exactly what the manifest lists.
func (a *archive) checkEntries() error {
	want := map[string]bool{manifestName: true}
	for _, name := range documents(a.Version) {
		want[name] = true
	}
	for _, b := range a.Blobs {
		if b.Hash.Validate() != nil {
			return broken("it lists a file %q, which is no hash", b.Hash)
		}
		name := blobEntry(b.Hash)
		if f := a.entries[name]; f != nil && f.UncompressedSize64 != uint64(b.Size) {
			return broken("%s has %d bytes instead of %d", name, f.UncompressedSize64, b.Size)
		}
		want[name] = true
	}
	for name := range want {
		if a.entries[name] == nil {
			return broken("%s is missing", name)
		}
	}
	for name := range a.entries {
		if !want[name] {
			return broken("it holds %q, which does not belong there", name)
		}
	}
	return nil
}

// load puts all records and the log into an empty database.
func (a *archive) load(ctx context.Context, tx *sql.Tx) error {
	known := map[desk.Hash]bool{}
	for _, b := range a.Blobs {
		known[b.Hash] = true
	}
	for _, h := range a.Lost {
		known[h] = true
	}
	for _, k := range kinds(a.Version) {
		if err := a.lines(ctx, document(k), func(line []byte) error { return a.loadRecord(ctx, tx, k, line, known) }); err != nil {
			return err
		}
	}
	last := desk.Revision(0)
	err := a.lines(ctx, changesName, func(line []byte) error {
		e := new(desk.Entry)
		if err := strict(line, e); err != nil {
			return err
		}
		if e.Revision <= last || e.Revision > a.Revision {
			return fmt.Errorf("revision %d after %d, of %d in all", e.Revision, last, a.Revision)
		}
		last = e.Revision
		return firstError(checkLogged(e), enter(ctx, tx, e))
	})
	if err != nil {
		return err
	}
	// Revisions go on where they stood, even if the log's end was cut off.
	_, err = tx.ExecContext(ctx, "DELETE FROM sqlite_sequence WHERE name = 'changes'")
	if err == nil {
		_, err = tx.ExecContext(ctx, "INSERT INTO sqlite_sequence (name, seq) VALUES ('changes', ?)", a.Revision)
	}
	return err
}

// loadRecord puts one record.
func (a *archive) loadRecord(ctx context.Context, tx *sql.Tx, k desk.Kind, line []byte, known map[desk.Hash]bool) error {
	r := desk.NewRecord(k)
	if err := firstError(strict(line, r), r.Header().ID.Validate(), r.Validate()); err != nil {
		return err
	}
	if h := r.Header(); h.Revision < 1 || h.Revision > a.Revision {
		return fmt.Errorf("%s has revision %d of %d", desk.RefOf(r), h.Revision, a.Revision)
	}
	for _, h := range r.Blobs() {
		if !known[h] {
			return fmt.Errorf("%s needs the file %s, which is not listed", desk.RefOf(r), h)
		}
	}
	if there, err := get(ctx, tx, desk.RefOf(r)); err != nil || there != nil {
		return errors.Join(err, fmt.Errorf("%s stands there twice", desk.RefOf(r)))
	}
	doc, err := encode(r)
	if err != nil {
		return err
	}
	return put(ctx, tx, r, doc)
}

// checkLogged makes sure that undo can read an entry.
func checkLogged(e *desk.Entry) error {
	for _, l := range e.Edits {
		if desk.NewRecord(l.Kind) == nil {
			return fmt.Errorf("change %d is about a %q", e.Revision, l.Kind)
		}
		for _, doc := range [][]byte{l.Before, l.After} {
			if doc == nil {
				continue
			}
			r := desk.NewRecord(l.Kind)
			if err := firstError(strict(doc, r), r.Validate()); err != nil {
				return fmt.Errorf("change %d: %w", e.Revision, err)
			}
			if desk.RefOf(r) != l.Ref {
				return fmt.Errorf("change %d calls %s %s", e.Revision, desk.RefOf(r), l.Ref)
			}
		}
	}
	return nil
}

// lines reads a document line by line, as many as the manifest says.
func (a *archive) lines(ctx context.Context, name string, f func([]byte) error) error {
	r, err := a.entries[name].Open()
	if err != nil {
		return broken("%s: %v", name, err)
	}
	defer r.Close()
	in := bufio.NewScanner(r)
	in.Buffer(nil, maxEntry+1)
	n := 0
	for in.Scan() {
		n++
		if err := firstError(ctx.Err(), f(bytes.Clone(in.Bytes()))); err != nil {
			return lineError(err, name, n)
		}
	}
	if err := in.Err(); err != nil {
		return broken("%s after line %d: %v", name, n, err)
	}
	if n != a.Records[name] {
		return broken("%s has %d lines instead of %d", name, n, a.Records[name])
	}
	return nil
}

// lineError blames the archive, unless the disk or the caller is the cause.
func lineError(err error, name string, line int) error {
	for _, is := range []error{desk.ErrFull, desk.ErrReadOnly, context.Canceled, context.DeadlineExceeded} {
		if errors.Is(err, is) {
			return err
		}
	}
	return broken("%s line %d: %v", name, line, err)
}

// keepBlobs keeps all files and returns those that were not there before.
func (a *archive) keepBlobs(ctx context.Context, b *blobs) (added []desk.Hash, err error) {
	for _, blob := range a.Blobs {
		if !b.has(blob.Hash) {
			added = append(added, blob.Hash)
		}
		if err := a.keepBlob(ctx, b, blob); err != nil {
			return added, err
		}
	}
	return added, nil
}

func (a *archive) keepBlob(ctx context.Context, b *blobs, blob desk.Blob) error {
	name := blobEntry(blob.Hash)
	r, err := a.entries[name].Open()
	if err != nil {
		return broken("%s: %v", name, err)
	}
	defer r.Close()
	err = b.addAs(ctx, r, blob)
	if errors.Is(err, zip.ErrChecksum) || errors.Is(err, zip.ErrFormat) || errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, desk.ErrDamaged) {
		return broken("%s is damaged (%v)", name, err)
	}
	return err
}
