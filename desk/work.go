package desk

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"waterkey/brass"
	"waterkey/player"
	"waterkey/score"
)

// Season is where a season is kept.
type Season interface {
	Book
	Log
	Blobs
	Uploads
	Keeper
}

// Desk is the coach's desk over one season.
type Desk struct {
	Season
	TakeLimit int64            // bytes of a recording at most; 0 for MaxTakeBytes
	Now       func() time.Time // the clock, in the zone of the people at the desk; nil for the system's
	prepared  cache
	heard     heardCache
	ticking   sync.Mutex
}

// New is a desk over a season.
func New(s Season) *Desk { return &Desk{Season: s} }

// MaxDocumentBytes bounds a dropped page: what the readers take at most.
const MaxDocumentBytes = 64 << 20

// Dropped is what a coach drops on the desk.
type Dropped struct {
	FileName string
	Data     []byte
	Line     string // of several parts in the file: id, name or number; "" the first with notes
	Due      string // day, as 2026-12-01
	Author   string
}

// AddPart reads a dropped page and keeps it. Nothing is kept of a page that does
// not read: the error is the reader's, with file, bar and line.
func (d *Desk) AddPart(ctx context.Context, in Dropped) (*Part, error) {
	if len(in.Data) > MaxDocumentBytes {
		return nil, &SeasonError{Text: fmt.Sprintf("%s has %d bytes; at most %d are read", in.FileName, len(in.Data), MaxDocumentBytes), Is: ErrTooLarge}
	}
	horn, err := brass.Named(brass.Default)
	if err != nil {
		return nil, err
	}
	page, err := Prepare(Request{Path: in.FileName, Data: in.Data, Part: in.Line, Horn: horn})
	if err != nil {
		return nil, err
	}
	blob, err := d.AddBlob(ctx, bytes.NewReader(in.Data), MaxDocumentBytes)
	if err != nil {
		return nil, err
	}
	part := &Part{Title: partTitle(page.Part, in.FileName), Document: blob.Hash, FileName: filepath.Base(in.FileName), Line: in.Line, Due: in.Due}
	_, err = d.Commit(ctx, Change{Author: in.Author, Says: "added " + part.Title, Lasting: true, Edits: []Edit{Put(part)}})
	if err != nil {
		return nil, err
	}
	return part, nil
}

// partTitle is what the page calls itself, or the file.
func partTitle(p *score.Part, file string) string {
	title := p.Title
	if title == "" {
		base := filepath.Base(file)
		title = strings.TrimSuffix(base, filepath.Ext(base))
	}
	if title = strings.TrimSpace(title); title == "" {
		return "Untitled"
	}
	return title
}

// SheetQuery asks for a part as one player has it before them. What is left empty
// is the player's own, the assignment's, or the part's.
type SheetQuery struct {
	Sheet
	Instrument string
	BPM        float64
	Level      int
	ReachCM    float64
	Terms      score.Terms
}

// Opened is a sheet with everything computed.
type Opened struct {
	Part     *Part
	Player   *Player // nil for nobody in particular
	Marks    []*Mark
	Prepared *Computed
}

// Open computes a sheet. An error that a mark on it causes names the mark.
func (d *Desk) Open(ctx context.Context, q SheetQuery) (*Opened, error) {
	o := &Opened{}
	var err error
	if o.Part, err = d.Part(ctx, q.Sheet.Part); err != nil {
		return nil, err
	}
	if q.Player != "" {
		if o.Player, err = d.Player(ctx, q.Player); err != nil {
			return nil, err
		}
	}
	if o.Marks, err = d.Marks(ctx, q.Sheet); err != nil {
		return nil, err
	}
	for _, m := range o.Marks {
		if err := d.placeRemark(ctx, m.Remark); err != nil {
			return nil, err
		}
	}
	r, err := d.request(ctx, q, o)
	if err != nil {
		return nil, err
	}
	o.Prepared, err = d.prepare(ctx, r, o.Part.Document)
	return o, err
}

// request gathers what a sheet is computed from: what was asked for goes before
// the assignment, the assignment before player and part.
func (d *Desk) request(ctx context.Context, q SheetQuery, o *Opened) (Request, error) {
	r := Request{Path: o.Part.FileName, Part: o.Part.Line, Bottom: o.Part.Bottom, BPM: o.Part.BPM, Terms: q.Terms, Level: player.DefaultLevel}
	name := brass.Default
	if p := o.Player; p != nil {
		name, r.Level, r.A4 = p.Instrument, p.Level, p.A4
		as, err := d.Assignments(ctx, q.Sheet)
		if err != nil {
			return r, err
		}
		for _, a := range as {
			name, r.BPM, r.A4 = orString(a.Instrument, name), orFloat(a.BPM, r.BPM), orFloat(a.A4, r.A4)
		}
	}
	name, r.BPM, r.ReachCM = orString(q.Instrument, name), orFloat(q.BPM, r.BPM), q.ReachCM
	if q.Level != 0 {
		level, err := player.ParseLevel(q.Level)
		if err != nil {
			return r, invalid("%v", err)
		}
		r.Level = level
	}
	var err error
	if r.Horn, err = o.Player.horn(name); err != nil {
		return r, err
	}
	if r.ReachCM == 0 && o.Player != nil {
		if r.ReachCM, err = o.Player.reach(name); err != nil {
			return r, err
		}
	}
	if r.Lungs, err = o.Player.lungs(r.Level, r.Horn); err != nil {
		return r, err
	}
	for _, m := range o.Marks {
		switch {
		case m.Position != nil:
			r.Fixes = append(r.Fixes, m.Position.Fix())
		case m.Breath != nil:
			r.Breaths = append(r.Breaths, m.Breath.Fix())
		}
	}
	return r, nil
}

func orString(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

func orFloat(a, b float64) float64 {
	if a != 0 {
		return a
	}
	return b
}

// preparedKey tells one computation from another.
func preparedKey(r Request, document Hash) (string, error) {
	key, err := json.Marshal(struct {
		Request
		Document Hash
	}{r, document})
	return string(key), err
}

// prepare reads the document and computes, or takes what was computed before.
func (d *Desk) prepare(ctx context.Context, r Request, document Hash) (*Computed, error) {
	key, err := preparedKey(r, document)
	if err != nil {
		return nil, err
	}
	return d.prepared.get(key, func() (*Prepared, error) {
		data, err := d.document(context.WithoutCancel(ctx), document) // others may wait for it
		if err != nil {
			return nil, err
		}
		r.Data = data
		return Prepare(r)
	})
}

func (d *Desk) document(ctx context.Context, h Hash) ([]byte, error) {
	f, err := d.OpenBlob(ctx, h)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(f)
}

// SetMark puts a mark on a sheet, in place of one that says something about the
// same thing, after trying it: a position that cannot be played, or a breath where
// none is possible, is refused with the reason and nothing is kept.
func (d *Desk) SetMark(ctx context.Context, m *Mark, q SheetQuery) (*Entry, error) {
	q.Sheet = m.Sheet
	marks, err := d.Marks(ctx, m.Sheet)
	if err != nil {
		return nil, err
	}
	for _, old := range marks {
		if m.ID == "" && m.Remark == nil && old.Sheet == m.Sheet && old.Key() == m.Key() {
			m.Head = old.Head
		}
	}
	if err := m.Validate(); err != nil {
		return nil, err
	}
	if err := d.placeRemark(ctx, m.Remark); err != nil {
		return nil, err
	}
	if err := d.try(ctx, m, q); err != nil {
		return nil, err
	}
	return d.Commit(ctx, Change{Sheet: m.Sheet, Author: m.Author, Says: d.says(ctx, m, q), Edits: []Edit{Put(m)}})
}

// says names a mark for the list of changes and the undo button: its note by what
// it is on the page instead of by its id.
func (d *Desk) says(ctx context.Context, m *Mark, q SheetQuery) string {
	id := ""
	switch {
	case m.Position != nil:
		id = m.Position.Where
	case m.Breath != nil:
		id = m.Breath.After
	}
	o, err := d.Open(ctx, q)
	if err != nil || id == "" {
		return m.String()
	}
	for _, n := range o.Prepared.Part.Notes {
		if n.ID == id {
			return strings.Replace(m.String(), id, fmt.Sprintf("%s in bar %s", n.Written.Text(), o.Prepared.barNumber(n.Bar)), 1)
		}
	}
	return m.String()
}

// try computes the sheet with one more mark.
func (d *Desk) try(ctx context.Context, m *Mark, q SheetQuery) error {
	if m.Position == nil && m.Breath == nil {
		return nil
	}
	o, err := d.Open(ctx, q)
	if err != nil {
		return err
	}
	r, err := d.request(ctx, q, o)
	if err != nil {
		return err
	}
	if m.Breath != nil {
		r.Breaths = append(without(r.Breaths, func(f BreathFix) bool { return f.Where == m.Breath.After }), m.Breath.Fix())
	} else {
		fix := m.Position.Fix()
		r.Fixes = append(without(r.Fixes, func(f Fix) bool { return f.Where == fix.Where && f.Avoid == fix.Avoid }), fix)
	}
	if _, err := d.prepare(ctx, r, o.Part.Document); err != nil {
		return &SeasonError{Text: err.Error(), Is: ErrInvalid}
	}
	return nil
}

// without is a list of its own, less those that is holds for.
func without[T any](all []T, is func(T) bool) []T {
	return slices.DeleteFunc(slices.Clone(all), is)
}

// IsReadError says whether an error is a reader's: the page is at fault.
func IsReadError(err error) bool {
	var r *score.ReadError
	return errors.As(err, &r)
}

// PaperName is the name of a file that is handed out of a sheet: what it is, for whom.
func PaperName(o *Opened, what, ending string) string {
	name := o.Part.Title
	if o.Player != nil {
		name += ", " + o.Player.Name
	}
	return safeName(name+", "+what) + "." + ending
}
