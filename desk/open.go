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

// format is a kind of file that can be read.
type format int

const (
	formatXML format = iota
	formatABC
	formatMIDI
)

// open reads a file in the format that its content shows, whatever its name.
func open(path string) (source, error) {
	name := filepath.Base(path)
	head, err := readHead(path)
	if err != nil {
		return nil, &score.ReadError{File: name, Err: cause(err)}
	}
	f, err := formatOf(name, head)
	switch {
	case err != nil:
		return nil, err
	case f == formatMIDI:
		return asSource(midi.Open(path))
	case f == formatABC:
		return asSource(abc.Open(path))
	}
	return asSource(musicxml.Open(path))
}

// parse reads the bytes of a file, as open does.
func parse(name string, data []byte) (source, error) {
	f, err := formatOf(name, data[:min(len(data), sniffed)])
	switch {
	case err != nil:
		return nil, err
	case f == formatMIDI:
		return asSource(midi.Parse(name, data))
	case f == formatABC:
		return asSource(abc.Parse(name, data))
	}
	return asSource(musicxml.Parse(name, data))
}

// formatOf tells a format by how a file starts.
func formatOf(name string, head []byte) (format, error) {
	switch {
	case bytes.HasPrefix(head, []byte("MThd")):
		return formatMIDI, nil
	case isXML(head), bytes.HasPrefix(head, []byte("PK\x03\x04")):
		return formatXML, nil
	case isABC(head):
		return formatABC, nil
	case len(head) == 0:
		return 0, &score.ReadError{File: name, Msg: "the file is empty"}
	}
	return 0, &score.ReadError{File: name, Msg: "neither MusicXML (.musicxml, .xml, .mxl), ABC (.abc) nor a Standard MIDI File (.mid)"}
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
