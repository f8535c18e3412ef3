package musicxml

import (
	"fmt"
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
	data, err := score.ReadFile(path, maxFileBytes)
	if err != nil {
		return nil, err
	}
	return Parse(path, data)
}

// Parse reads a score from memory; name stands in errors. The data must not be
// changed afterwards. Every error is an [*score.ReadError].
func Parse(name string, data []byte) (*Document, error) {
	d := &Document{file: filepath.Base(name), data: data}
	if err := d.parse(); err != nil {
		return nil, score.InFile(d.file, err)
	}
	return d, nil
}

// Bytes is the file as it was read. It must not be changed.
func (d *Document) Bytes() []byte { return d.data }

func (d *Document) parse() error {
	if err := score.CheckSize(int64(len(d.data)), maxFileBytes); err != nil {
		return err
	}
	text := d.data
	if isZip(d.data) {
		var err error
		if d.entry, text, err = unpack(d.data); err != nil {
			return err
		}
	}
	var err error
	if d.src, err = decode(text); err != nil {
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
