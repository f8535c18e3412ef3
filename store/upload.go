package store

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"waterkey/desk"
)

const (
	// maxChunk bounds a chunk in bytes: two minutes of stereo at 96 kHz and 24
	// bits (estimate; a page sends one every few seconds).
	maxChunk = 64 << 20
	// maxChunks bounds an upload: a day of one chunk a second (estimate).
	maxChunks = 24 * 60 * 60
)

// chunkFolder is where the chunks of an upload lie.
func (s *Season) chunkFolder(id desk.ID) string {
	return filepath.Join(s.folder, uploadsName, "u-"+string(id))
}

// chunkPath names a chunk by its hash too, so that two senders of one sequence
// cannot overwrite each other.
func (s *Season) chunkPath(id desk.ID, c desk.Chunk) string {
	return filepath.Join(s.chunkFolder(id), fmt.Sprintf("%05d-%s", c.Sequence, c.Hash))
}

// StartUpload implements desk.Uploads.
func (s *Season) StartUpload(ctx context.Context, u desk.Upload) (*desk.Upload, error) {
	if u.ID == "" {
		u.ID = newID()
	}
	if err := u.Validate(); err != nil {
		return nil, err
	}
	if u.Started.IsZero() {
		u.Started = s.options.Now()
	}
	u.Chunks, u.Recording = nil, ""
	doc, err := json.Marshal(u)
	if err != nil {
		return nil, err
	}
	var open *desk.Upload
	err = s.write(ctx, "start the upload", func(tx *sql.Tx) error {
		if _, err := tx.ExecContext(ctx, `INSERT INTO uploads (id, started_ms, recording, size, doc) VALUES (?, ?, '', 0, ?)
			ON CONFLICT (id) DO NOTHING`, u.ID, milliseconds(u.Started), string(doc)); err != nil {
			return err
		}
		open, err = upload(ctx, tx, u.ID)
		return err
	})
	if err != nil {
		return nil, err
	}
	if open.Sheet != u.Sheet {
		return nil, &desk.SeasonError{Is: desk.ErrConflict, Text: fmt.Sprintf("upload %s is of another part or player; choose another id", u.ID)}
	}
	return open, nil
}

// Upload implements desk.Uploads.
func (s *Season) Upload(ctx context.Context, id desk.ID) (*desk.Upload, error) {
	return upload(ctx, s.reader, id)
}

// Uploads implements desk.Uploads.
func (s *Season) Uploads(ctx context.Context) ([]*desk.Upload, error) {
	open, err := list[desk.Upload](ctx, s.reader, "SELECT doc FROM uploads WHERE recording = '' ORDER BY started_ms, id")
	for i := 0; err == nil && i < len(open); i++ {
		open[i].Chunks, err = chunks(ctx, s.reader, open[i].ID)
	}
	return open, err
}

// upload reads an upload with its chunks.
func upload(ctx context.Context, q querier, id desk.ID) (*desk.Upload, error) {
	var doc []byte
	var recording desk.Hash
	err := q.QueryRowContext(ctx, "SELECT doc, recording FROM uploads WHERE id = ?", id).Scan(&doc, &recording)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, &desk.SeasonError{Is: desk.ErrNotFound, Text: fmt.Sprintf("there is no upload %q; start it first", id)}
	}
	if err != nil {
		return nil, explain(err, "read the upload")
	}
	u := new(desk.Upload)
	if err := json.Unmarshal(doc, u); err != nil {
		return nil, &desk.SeasonError{Is: desk.ErrDamaged, Text: fmt.Sprintf("upload %s cannot be read", id), Cause: err}
	}
	u.Recording = recording
	u.Chunks, err = chunks(ctx, q, id)
	return u, err
}

func chunks(ctx context.Context, q querier, id desk.ID) ([]desk.Chunk, error) {
	rows, err := q.QueryContext(ctx, "SELECT sequence, hash, size FROM chunks WHERE upload_id = ? ORDER BY sequence", id)
	if err != nil {
		return nil, explain(err, "read the upload")
	}
	defer rows.Close()
	out := []desk.Chunk{}
	for rows.Next() {
		var c desk.Chunk
		if err := rows.Scan(&c.Sequence, &c.Hash, &c.Size); err != nil {
			return nil, explain(err, "read the upload")
		}
		out = append(out, c)
	}
	return out, explain(rows.Err(), "read the upload")
}

// AddChunk implements desk.Uploads: first the file, then the row that answers for
// it.
func (s *Season) AddChunk(ctx context.Context, id desk.ID, c desk.Chunk, r io.Reader) error {
	if err := checkChunk(c); err != nil {
		return err
	}
	u, err := s.Upload(ctx, id)
	if err != nil {
		return err
	}
	if held, err := alreadyHeld(u, c); held || err != nil {
		return err
	}
	if err := s.writeChunk(ctx, id, c, r); err != nil {
		return explain(err, fmt.Sprintf("keep chunk %d", c.Sequence))
	}
	return s.write(ctx, fmt.Sprintf("keep chunk %d", c.Sequence), func(tx *sql.Tx) error {
		u, err := upload(ctx, tx, id)
		if err != nil {
			return err
		}
		if held, err := alreadyHeld(u, c); held || err != nil {
			return err
		}
		_, err = tx.ExecContext(ctx, "INSERT INTO chunks (upload_id, sequence, hash, size) VALUES (?, ?, ?, ?)", id, c.Sequence, c.Hash, c.Size)
		return err
	})
}

func checkChunk(c desk.Chunk) error {
	switch {
	case c.Sequence < 0 || c.Sequence >= maxChunks:
		return &desk.SeasonError{Is: desk.ErrInvalid, Text: fmt.Sprintf("chunk %d: want 0 to %d", c.Sequence, maxChunks-1)}
	case c.Size <= 0 || c.Size > maxChunk:
		return &desk.SeasonError{Is: desk.ErrTooLarge, Text: fmt.Sprintf("a chunk of %d bytes: want 1 to %d; send smaller pieces", c.Size, maxChunk)}
	}
	return c.Hash.Validate()
}

// alreadyHeld says whether a chunk came before. Another one in its place is an
// error, and so is a new one after the end.
func alreadyHeld(u *desk.Upload, c desk.Chunk) (bool, error) {
	for _, held := range u.Chunks {
		if held == c {
			return true, nil
		}
		if held.Sequence == c.Sequence {
			return false, &desk.SeasonError{Is: desk.ErrConflict, Text: fmt.Sprintf(
				"chunk %d of upload %s is here already with other bytes; start another upload", c.Sequence, u.ID)}
		}
	}
	if u.Recording != "" {
		return false, &desk.SeasonError{Is: desk.ErrConflict, Text: fmt.Sprintf("upload %s is finished; start another", u.ID)}
	}
	return false, nil
}

// writeChunk puts a chunk's file in its place.
func (s *Season) writeChunk(ctx context.Context, id desk.ID, c desk.Chunk, r io.Reader) error {
	folder := s.chunkFolder(id)
	if err := os.MkdirAll(folder, folderMode); err != nil {
		return err
	}
	f, err := os.CreateTemp(folder, "new-*")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name()) // gone already when all went well
	defer f.Close()
	got, err := copyHashed(ctx, f, r, c.Size)
	if err != nil {
		return err
	}
	if got != (desk.Blob{Hash: c.Hash, Size: c.Size}) {
		return &desk.SeasonError{Is: desk.ErrDamaged, Text: fmt.Sprintf(
			"chunk %d arrived with %d bytes and hash %s, but %d bytes and %s were announced; send it again", c.Sequence, got.Size, got.Hash, c.Size, c.Hash)}
	}
	if err := errors.Join(s.blobs.sync(f), f.Close()); err != nil {
		return err
	}
	if err := os.Rename(f.Name(), s.chunkPath(id, c)); err != nil {
		return err
	}
	if s.options.Unsynced {
		return nil
	}
	return errors.Join(syncFolder(folder), syncFolder(filepath.Dir(folder)), syncFolder(s.folder))
}

// FinishUpload implements desk.Uploads.
func (s *Season) FinishUpload(ctx context.Context, id desk.ID, count int) (desk.Blob, error) {
	s.finishing.Lock()
	defer s.finishing.Unlock()
	u, err := s.Upload(ctx, id)
	if err != nil {
		return desk.Blob{}, err
	}
	if err := complete(u, count); err != nil {
		return desk.Blob{}, err
	}
	size := int64(0)
	for _, c := range u.Chunks {
		size += c.Size
	}
	if u.Recording != "" {
		return desk.Blob{Hash: u.Recording, Size: size}, nil
	}
	blob, err := s.blobs.add(ctx, &joined{s: s, u: u}, size)
	if err != nil {
		return desk.Blob{}, err
	}
	err = s.write(ctx, "finish the upload", func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, "UPDATE uploads SET recording = ?, size = ? WHERE id = ?", blob.Hash, blob.Size, id)
		return err
	})
	if err != nil {
		return desk.Blob{}, err
	}
	_ = os.RemoveAll(s.chunkFolder(id)) // what stays is removed at the next start
	return blob, nil
}

// complete wants chunks 0 to count-1 and no others.
func complete(u *desk.Upload, count int) error {
	if count < 1 || count > maxChunks {
		return &desk.SeasonError{Is: desk.ErrInvalid, Text: fmt.Sprintf("an upload of %d chunks: want 1 to %d", count, maxChunks)}
	}
	held := map[int]bool{}
	for _, c := range u.Chunks {
		if c.Sequence >= count {
			return &desk.SeasonError{Is: desk.ErrInvalid, Text: fmt.Sprintf("upload %s has a chunk %d, but only %d were announced", u.ID, c.Sequence, count)}
		}
		held[c.Sequence] = true
	}
	var missing []int
	for i := range count {
		if !held[i] {
			missing = append(missing, i)
		}
	}
	if len(missing) > 0 {
		return &desk.SeasonError{Is: desk.ErrIncomplete, Text: fmt.Sprintf("upload %s lacks %d of %d chunks, from number %d on; send those and finish again",
			u.ID, len(missing), count, missing[0])}
	}
	return nil
}

// joined reads the chunks of an upload one after the other, each verified before
// any of it is passed on.
type joined struct {
	s    *Season
	u    *desk.Upload
	next int
	rest bytes.Reader
}

// Read implements io.Reader.
func (j *joined) Read(p []byte) (int, error) {
	for j.rest.Len() == 0 {
		if j.next == len(j.u.Chunks) {
			return 0, io.EOF
		}
		data, err := j.s.chunk(j.u.ID, j.u.Chunks[j.next])
		if err != nil {
			return 0, err
		}
		j.rest.Reset(data)
		j.next++
	}
	return j.rest.Read(p)
}

// chunk reads one chunk from disk.
func (s *Season) chunk(id desk.ID, c desk.Chunk) ([]byte, error) {
	f, err := os.Open(s.chunkPath(id, c))
	if err != nil {
		return nil, err
	}
	defer f.Close()
	var data bytes.Buffer
	got, err := copyHashed(context.Background(), &data, f, c.Size)
	if err == nil && got.Hash != c.Hash {
		err = &desk.SeasonError{Is: desk.ErrDamaged, Text: fmt.Sprintf("chunk %d of upload %s was altered on disk; send the recording again", c.Sequence, id)}
	}
	return data.Bytes(), err
}

// DropUpload implements desk.Uploads.
func (s *Season) DropUpload(ctx context.Context, id desk.ID) error {
	err := s.write(ctx, "drop the upload", func(tx *sql.Tx) error {
		if _, err := upload(ctx, tx, id); err != nil {
			return err
		}
		_, err := tx.ExecContext(ctx, "DELETE FROM uploads WHERE id = ?", id)
		return err
	})
	if err != nil {
		return err
	}
	return explain(os.RemoveAll(s.chunkFolder(id)), "remove the chunks")
}

// tidyUploads removes what a killed program left of uploads that are finished or
// dropped.
func (s *Season) tidyUploads(ctx context.Context) error {
	open, err := s.Uploads(ctx)
	if err != nil {
		return err
	}
	keep := map[string]bool{}
	for _, u := range open {
		keep[s.chunkFolder(u.ID)] = true
	}
	found, err := filepath.Glob(filepath.Join(s.folder, uploadsName, "u-*"))
	if err != nil {
		return err
	}
	for _, folder := range found {
		if keep[folder] {
			continue
		}
		if err := os.RemoveAll(folder); err != nil {
			return explain(err, "remove the chunks of a finished upload")
		}
	}
	return nil
}
