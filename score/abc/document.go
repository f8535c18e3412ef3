package abc

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"waterkey/score"
)

// Document is a file of tunes as it was read. It is not changed after it was
// made and may be used by several goroutines.
type Document struct {
	file  string // base name, for errors
	tunes []*tune
	parts []*voice // of all tunes, in the order of the file
}

// Open reads a file of tunes from disk. Every error is a [*score.ReadError].
func Open(path string) (*Document, error) {
	name := filepath.Base(path)
	info, err := os.Stat(path)
	if err == nil && info.Size() > maxFileBytes {
		err = tooLarge(info.Size())
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

// Parse reads a file of tunes from memory; name stands in errors. Every error
// is a [*score.ReadError].
func Parse(name string, data []byte) (*Document, error) {
	d := &Document{file: filepath.Base(name)}
	if err := d.parse(data); err != nil {
		return nil, d.locate(err)
	}
	return d, nil
}

func tooLarge(bytes int64) error {
	return fmt.Errorf("the file has %d bytes; at most %d are read", bytes, maxFileBytes)
}

// locate makes a ReadError that names the file of any error.
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

func (d *Document) parse(data []byte) error {
	if len(data) > maxFileBytes {
		return tooLarge(int64(len(data)))
	}
	text, err := decode(data)
	if err != nil {
		return err
	}
	if d.tunes, err = splitTunes(text); err != nil {
		return err
	}
	for _, t := range d.tunes {
		if err := t.findVoices(); err != nil {
			return err
		}
		if d.parts = append(d.parts, t.voices...); len(d.parts) > maxParts {
			return &score.ReadError{Line: t.line, Msg: fmt.Sprintf("the file has more than %d voices in all; split it", maxParts)}
		}
	}
	d.nameParts()
	return nil
}
