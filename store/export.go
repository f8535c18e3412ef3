package store

import (
	"archive/zip"
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"io"

	"waterkey/desk"
)

// Export implements desk.Keeper: one state of the season, whatever is written
// meanwhile.
func (s *Season) Export(ctx context.Context, w io.Writer) (desk.Exported, error) {
	const doing = "export the season"
	s.exporting.RLock() // no file goes away meanwhile
	defer s.exporting.RUnlock()
	tx, err := s.reader.BeginTx(ctx, &sql.TxOptions{ReadOnly: true})
	if err != nil {
		return desk.Exported{}, explain(err, doing)
	}
	defer func() { _ = tx.Rollback() }() // nothing was written
	m, err := s.describe(ctx, tx)
	if err != nil {
		return desk.Exported{}, explain(err, doing)
	}
	z := &archiveWriter{ctx: ctx, zip: zip.NewWriter(w)}
	z.manifest(m)
	for _, k := range desk.Kinds() {
		z.rows(tx, document(k), "SELECT doc FROM "+tables[k].name+" ORDER BY id")
	}
	z.rows(tx, changesName, "SELECT doc FROM changes ORDER BY revision")
	for _, blob := range m.Blobs {
		z.blob(s.blobs, blob)
	}
	if z.err == nil {
		z.err = z.zip.Close()
	}
	return exported(m), explain(z.err, doing)
}

// describe makes the manifest, reading every file once.
func (s *Season) describe(ctx context.Context, tx *sql.Tx) (*manifest, error) {
	m := &manifest{Format: archiveFormat, Version: archiveVersion, Records: map[string]int{}, Blobs: []desk.Blob{}, Lost: []desk.Hash{}}
	var err error
	if m.Revision, err = lastRevision(ctx, tx); err != nil {
		return nil, err
	}
	count := func(name, table string) {
		var n int
		if err == nil {
			err = tx.QueryRowContext(ctx, "SELECT count(*) FROM "+table).Scan(&n)
		}
		m.Records[name] = n
	}
	for _, k := range desk.Kinds() {
		count(document(k), tables[k].name)
	}
	count(changesName, "changes")
	if err != nil {
		return nil, err
	}
	needed, err := neededBlobs(ctx, tx)
	if err != nil {
		return nil, err
	}
	for _, h := range sortedHashes(needed) {
		f, size, err := s.blobs.open(ctx, h)
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		if err != nil {
			m.Lost = append(m.Lost, h)
			continue
		}
		f.Close()
		m.Blobs = append(m.Blobs, desk.Blob{Hash: h, Size: size})
	}
	return m, nil
}

func exported(m *manifest) desk.Exported {
	e := desk.Exported{Changes: m.Records[changesName], Blobs: len(m.Blobs), Lost: m.Lost}
	for _, k := range desk.Kinds() {
		e.Records += m.Records[document(k)]
	}
	for _, b := range m.Blobs {
		e.Bytes += b.Size
	}
	return e
}

// archiveWriter writes entries until the first error.
type archiveWriter struct {
	ctx context.Context
	zip *zip.Writer
	err error
}

// entry starts one; nil after an error. It carries neither time nor mode, so that
// nothing but the content decides about the bytes.
func (z *archiveWriter) entry(name string) io.Writer {
	if z.err != nil {
		return nil
	}
	var w io.Writer
	w, z.err = z.zip.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Store})
	return w
}

func (z *archiveWriter) manifest(m *manifest) {
	doc, err := json.MarshalIndent(m, "", "  ")
	if err == nil && len(doc) > maxManifest {
		err = fmt.Errorf("its list of %d files has %d bytes; at most %d can be read back", len(m.Blobs), len(doc), maxManifest)
	}
	if err != nil {
		z.err = err
		return
	}
	if w := z.entry(manifestName); w != nil {
		_, z.err = w.Write(append(doc, '\n'))
	}
}

func (z *archiveWriter) rows(q querier, name, query string) {
	w := z.entry(name)
	if w == nil {
		return
	}
	z.err = eachRow(z.ctx, q, query, func(doc []byte) error {
		_, err := w.Write(append(doc[:len(doc):len(doc)], '\n'))
		return err
	})
}

func (z *archiveWriter) blob(b *blobs, blob desk.Blob) {
	if z.err != nil {
		return
	}
	f, _, err := b.open(z.ctx, blob.Hash)
	if err != nil {
		z.err = err
		return
	}
	defer f.Close()
	if w := z.entry(blobEntry(blob.Hash)); w != nil {
		_, z.err = io.Copy(w, &contextReader{z.ctx, f})
	}
}
