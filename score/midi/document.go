package midi

import (
	"errors"
	"fmt"
	"path/filepath"
	"strconv"
	"strings"

	"waterkey/score"
)

// Document is a file as it was read. It is not changed after it was made and
// may be used by several goroutines.
type Document struct {
	file     string // base name, for errors
	perWhole int64  // ticks to a whole note
	title    string
	strands  []*strand // those with pitched notes
	meters   []meterEvent
	keys     []keyEvent
	tempos   []tempoEvent
	markers  []marker
	end      int64 // tick of the last end of a track
	remarks  []remark
}

// Open reads a file from disk. Every error is a [*score.ReadError].
func Open(path string) (*Document, error) {
	data, err := score.ReadFile(path, maxFileBytes)
	if err != nil {
		return nil, err
	}
	return Parse(path, data)
}

// Parse reads a file from memory; name stands in errors. Every error is a
// [*score.ReadError]; damage is given with track and byte, both of the file,
// tracks counted from 1 and bytes from 0.
func Parse(name string, data []byte) (*Document, error) {
	d := &Document{file: filepath.Base(name)}
	if err := d.parse(data); err != nil {
		return nil, d.locate(err)
	}
	return d, nil
}

func (d *Document) parse(data []byte) error {
	if err := score.CheckSize(int64(len(data)), maxFileBytes); err != nil {
		return err
	}
	s, err := look(data)
	if err != nil {
		return err
	}
	file, err := s.decode()
	if err != nil {
		return err
	}
	d.perWhole = 4 * int64(s.division)
	for _, r := range s.remarks {
		d.remarks = append(d.remarks, remark{tick: nowhere, text: r})
	}
	d.collect(file)
	return nil
}

// locate makes an error that names the file, and the track where there is one.
func (d *Document) locate(err error) error {
	e := &score.ReadError{File: d.file, Err: err}
	var f *fault
	if errors.As(err, &f) {
		e.Part = f.name
	}
	return e
}

// Parts lists the tracks that have pitched notes, or the channels of a file of
// format 0, in the order of the file.
func (d *Document) Parts() []score.PartInfo {
	out := make([]score.PartInfo, len(d.strands))
	for i, s := range d.strands {
		out[i] = score.PartInfo{ID: s.id, Name: s.name, Notes: len(s.notes)}
	}
	return out
}

// Part reads one line of one part on the [DefaultGrid]. What was passed over
// or rounded stands in its Skipped list. Every error is a [*score.ReadError],
// and comes with a nil Part.
func (d *Document) Part(sel score.Selection) (*score.Part, error) {
	return d.PartOn(sel, DefaultGrid)
}

// PartOn is Part on a grid of the caller's.
func (d *Document) PartOn(sel score.Selection, g Grid) (*score.Part, error) {
	s, err := d.pick(sel.Part)
	if err == nil {
		err = g.check()
	}
	if err == nil && len(s.notes) > maxNotes {
		err = fmt.Errorf("the part has %d notes; at most %d are read", len(s.notes), maxNotes)
	}
	if err != nil {
		return nil, d.locate(err)
	}
	return newReader(d, s, g, sel.Line).read()
}

// pick finds the selected part: by id, then name, number, start of a name.
func (d *Document) pick(want string) (*strand, error) {
	if len(d.strands) == 0 {
		return nil, errors.New("the file has no pitched notes")
	}
	if want == "" {
		return d.strands[0], nil
	}
	for _, test := range []func(s *strand) bool{
		func(s *strand) bool { return s.id == want },
		func(s *strand) bool { return strings.EqualFold(s.name, want) },
	} {
		if found := d.matching(test); len(found) > 0 {
			return found[0], nil
		}
	}
	if n, err := strconv.Atoi(want); err == nil && n >= 1 && n <= len(d.strands) {
		return d.strands[n-1], nil
	}
	found := d.matching(func(s *strand) bool {
		return len(s.name) >= len(want) && strings.EqualFold(s.name[:len(want)], want)
	})
	if len(found) == 1 {
		return found[0], nil
	}
	return nil, d.noSuchPart(want, found)
}

func (d *Document) matching(test func(s *strand) bool) []*strand {
	var out []*strand
	for _, s := range d.strands {
		if test(s) {
			out = append(out, s)
		}
	}
	return out
}

func (d *Document) noSuchPart(want string, found []*strand) error {
	e := &score.PartError{Want: want, Several: len(found) > 1}
	if !e.Several {
		found = d.strands
	}
	for _, s := range found {
		e.Names = append(e.Names, s.name)
	}
	return e
}
