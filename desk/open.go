package desk

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"waterkey/score"
	"waterkey/score/abc"
	"waterkey/score/midi"
	"waterkey/score/musicxml"
)

// source is a file of any format that can be read.
type source interface {
	Parts() []score.PartInfo
	Part(score.Selection) (*score.Part, error)
}

// sniffed is how many bytes decide on a format: enough for an ABC file that
// opens with a page of free text.
const sniffed = 64 << 10

// open reads a file in the format that its content shows, whatever its name.
func open(path string) (source, error) {
	head, err := readHead(path)
	if err != nil {
		return nil, &score.ReadError{File: filepath.Base(path), Err: cause(err)}
	}
	switch {
	case bytes.HasPrefix(head, []byte("MThd")):
		return asSource(midi.Open(path))
	case isXML(head), bytes.HasPrefix(head, []byte("PK\x03\x04")):
		return asSource(musicxml.Open(path))
	case isABC(head):
		return asSource(abc.Open(path))
	case len(head) == 0:
		return nil, &score.ReadError{File: filepath.Base(path), Msg: "the file is empty"}
	}
	return nil, &score.ReadError{File: filepath.Base(path),
		Msg: "neither MusicXML (.musicxml, .xml, .mxl), ABC (.abc) nor a Standard MIDI File (.mid)"}
}

// asSource keeps a nil document from becoming a source that is not nil.
func asSource[D source](d D, err error) (source, error) {
	if err != nil {
		return nil, err
	}
	return d, nil
}

func readHead(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && info.IsDir() {
		return nil, errors.New("this is a folder; name a file in it")
	}
	return io.ReadAll(io.LimitReader(f, sniffed))
}

// cause drops the path from an error of the file system, as the file stands in
// front of it already.
func cause(err error) error {
	var p *os.PathError
	if errors.As(err, &p) {
		return fmt.Errorf("cannot %s it: %w", p.Op, p.Err)
	}
	return err
}

// isXML says whether text starts like XML, in UTF-8 or UTF-16, with or without a
// byte order mark.
func isXML(head []byte) bool {
	for _, bom := range []string{"\xef\xbb\xbf", "\xff\xfe", "\xfe\xff"} {
		head = bytes.TrimPrefix(head, []byte(bom))
	}
	head = bytes.TrimLeft(head, "\x00 \t\r\n")
	return bytes.HasPrefix(head, []byte("<"))
}

// isABC looks for the marks of ABC: the version line, or a tune's number.
func isABC(head []byte) bool {
	head = bytes.TrimPrefix(head, []byte("\xef\xbb\xbf"))
	if bytes.HasPrefix(head, []byte("%abc")) {
		return true
	}
	for line := range bytes.Lines(head) {
		if bytes.HasPrefix(line, []byte("X:")) {
			return true
		}
	}
	return false
}
