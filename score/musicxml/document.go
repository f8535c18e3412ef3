package musicxml

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

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
	ids   map[*element]string // of every note element
	notes map[string]*element // by id
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

// countMarkup is how many elements and attributes a text can have at most,
// counted before memory is spent on them.
func countMarkup(text string) int {
	return strings.Count(text, "<") - strings.Count(text, "</") + strings.Count(text, "=")
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
	if countMarkup(d.src.text) > maxElements {
		return fmt.Errorf("the score has more than the %d elements and attributes that are read; save the one part as a file of its own", maxElements)
	}
	if d.root, err = parseTree(d.src.text, maxElements); err != nil {
		return err
	}
	if d.parts, err = listParts(d.root); err != nil {
		return err
	}
	d.nameNotes()
	return nil
}

// nameNotes gives every note element its id: its own, or "b1n2" for the second
// note element of the first bar, with "p2" before it in the second part and so
// on. An id that is taken gets a number behind it.
func (d *Document) nameNotes() {
	d.ids, d.notes = map[*element]string{}, map[string]*element{}
	var nameless []*element
	var wanted []string
	for p, part := range d.parts {
		prefix := ""
		if p > 0 {
			prefix = fmt.Sprintf("p%d", p+1)
		}
		for b, m := range part.measures {
			for n, note := range m.el.all("note") {
				if id := note.attr("id"); id != "" && d.notes[id] == nil {
					d.ids[note], d.notes[id] = id, note
					continue
				}
				nameless = append(nameless, note)
				wanted = append(wanted, fmt.Sprintf("%sb%dn%d", prefix, b+1, n+1))
			}
		}
	}
	for i, note := range nameless {
		id := wanted[i]
		for k := 2; d.notes[id] != nil; k++ {
			id = fmt.Sprintf("%s-%d", wanted[i], k)
		}
		d.ids[note], d.notes[id] = id, note
	}
}
