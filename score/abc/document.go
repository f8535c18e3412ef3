package abc

import (
	"fmt"
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
	data, err := score.ReadFile(path, maxFileBytes)
	if err != nil {
		return nil, err
	}
	return Parse(path, data)
}

// Parse reads a file of tunes from memory; name stands in errors. Every error
// is a [*score.ReadError].
func Parse(name string, data []byte) (*Document, error) {
	d := &Document{file: filepath.Base(name)}
	if err := d.parse(data); err != nil {
		return nil, score.InFile(d.file, err)
	}
	return d, nil
}

func (d *Document) parse(data []byte) error {
	if err := score.CheckSize(int64(len(data)), maxFileBytes); err != nil {
		return err
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
