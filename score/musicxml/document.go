package musicxml

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"waterkey/score"
)

// Document is a score as it was read, with its original bytes. It is not
// changed after it was made and may be used by several goroutines.
type Document struct {
	file  string // base name, for errors
	data  []byte // as on disk
	entry string // the score's name in a compressed container, "" otherwise
	src   *source
	root  *element
	parts []*partSource
	ids   map[string]int32 // where the first note with an id of its own stands
}

// Open reads a score from disk. Every error is an [*score.ReadError].
func Open(path string) (*Document, error) {
	name := filepath.Base(path)
	info, err := os.Stat(path)
	if err == nil && info.Size() > maxFileBytes {
		err = fmt.Errorf("the file has %d bytes; at most %d are read", info.Size(), maxFileBytes)
	}
	if err != nil {
		return nil, &score.ReadError{File: name, Err: err}
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, &score.ReadError{File: name, Err: err}
	}
	return Parse(name, data)
}

// Parse reads a score from memory; name stands in errors. The data must not be
// changed afterwards. Every error is an [*score.ReadError].
func Parse(name string, data []byte) (*Document, error) {
	d := &Document{file: filepath.Base(name), data: data}
	if err := d.parse(); err != nil {
		return nil, d.locate(err)
	}
	return d, nil
}

// Bytes is the file as it was read. It must not be changed.
func (d *Document) Bytes() []byte { return d.data }

// locate makes an Error that names the file of any error.
func (d *Document) locate(err error) error {
	var e *score.ReadError
	if !errors.As(err, &e) {
		return &score.ReadError{File: d.file, Err: err}
	}
	if e.File == "" {
		e.File = d.file
	}
	return e
}

func (d *Document) parse() error {
	if len(d.data) > maxFileBytes {
		return fmt.Errorf("the file has %d bytes; at most %d are read", len(d.data), maxFileBytes)
	}
	score := d.data
	if isZip(d.data) {
		var err error
		if d.entry, score, err = unpack(d.data); err != nil {
			return err
		}
	}
	var err error
	if d.src, err = decode(score); err != nil {
		return err
	}
	if len(d.src.text) > maxTextBytes {
		return fmt.Errorf("the score has %d bytes of text; at most %d are read", len(d.src.text), maxTextBytes)
	}
	if d.root, d.ids, err = parseOutline(d.src.text); err != nil {
		return err
	}
	d.parts, err = listParts(d.root)
	return err
}
