package desk

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"

	"waterkey/hear"
)

// listening counts the changes of how takes are listened to: what an earlier
// number measured is measured again.
const listening = 2

// takePage is the page that a take is held against: the player's with all its marks,
// at the tempo of the take's own count-in where there was one.
func (d *Desk) takePage(ctx context.Context, t *Take) (Request, Hash, error) {
	o := &Opened{}
	var err error
	if o.Part, err = d.Part(ctx, t.Part); err != nil {
		return Request{}, "", err
	}
	if o.Player, err = d.Player(ctx, t.Player); err != nil {
		return Request{}, "", err
	}
	if o.Marks, err = d.Marks(ctx, t.Sheet); err != nil {
		return Request{}, "", err
	}
	r, err := d.request(ctx, SheetQuery{Sheet: t.Sheet, BPM: t.BPM}, o)
	return r, o.Part.Document, err
}

// MeasureVersion says by what a take would be measured now: the listening, and the
// page with its marks, which advice about pitch starts from. A measure with another
// version is out of date.
func (d *Desk) MeasureVersion(ctx context.Context, t *Take) (string, error) {
	r, document, err := d.takePage(ctx, t)
	if err != nil {
		return "", err
	}
	key, err := preparedKey(r, document)
	if err != nil {
		return "", err
	}
	sum := sha256.Sum256([]byte(key))
	const told = 8 // bytes of the hash: enough to tell the pages of one take apart
	return fmt.Sprintf("%d-%s", listening, hex.EncodeToString(sum[:told])), nil
}

// WarmSheet prepares the page of a sheet, so that the first take of it need not
// wait. It fails in silence: the measuring says why.
func (d *Desk) WarmSheet(ctx context.Context, s Sheet) {
	r, document, err := d.takePage(ctx, &Take{Sheet: s})
	if err == nil {
		_, _ = d.prepare(ctx, r, document)
	}
}

// Unmeasured are the takes of a sheet, of which either half or both may be empty,
// without a measure of the current version, newest first.
func (d *Desk) Unmeasured(ctx context.Context, s Sheet) ([]ID, error) {
	takes, err := d.Takes(ctx, TakeQuery{Sheet: s})
	if err != nil {
		return nil, err
	}
	measures, err := d.MeasuresByTake(ctx, TakeQuery{Sheet: s})
	if err != nil {
		return nil, err
	}
	var out []ID
	for _, t := range takes {
		version, err := d.MeasureVersion(ctx, t)
		if err != nil {
			return nil, err
		}
		if m := measures[t.ID]; m == nil || m.Version != version {
			out = append(out, t.ID)
		}
	}
	return out, nil
}

// MeasuresByTake are the measures of the takes that a query selects.
func (d *Desk) MeasuresByTake(ctx context.Context, q TakeQuery) (map[ID]*Measure, error) {
	list, err := d.Measures(ctx, q)
	if err != nil {
		return nil, err
	}
	out := make(map[ID]*Measure, len(list))
	for _, m := range list {
		out[m.ID] = m
	}
	return out, nil
}

// MeasureTake listens to a take and keeps what was heard. What is wrong with the
// take is kept too, as a measure that says so; an error means that nothing could be
// found out or kept. Progress is told the share done, 0 to 1.
func (d *Desk) MeasureTake(ctx context.Context, id ID, progress func(share float64)) (*Measure, error) {
	t, err := d.Take(ctx, id)
	if err != nil {
		return nil, err
	}
	version, err := d.MeasureVersion(ctx, t)
	if err != nil {
		return nil, err
	}
	heard, err := d.listenTo(ctx, t, progress)
	if isOurs(err) {
		return nil, err
	}
	m := &Measure{Head: Head{ID: id}, Version: version, Measured: d.Clock().UTC()}
	if err := d.describe(ctx, m, t, heard, err); err != nil {
		return nil, err
	}
	return m, d.keepMeasure(ctx, t, m)
}

// isOurs says whether an error is the program's or the disk's, and not the take's
// or the page's.
func isOurs(err error) bool {
	for _, is := range []error{ErrFull, ErrReadOnly, ErrDamaged, ErrNotFound, context.Canceled, context.DeadlineExceeded} {
		if errors.Is(err, is) {
			return true
		}
	}
	return false
}

// listenTo holds a take against its page.
func (d *Desk) listenTo(ctx context.Context, t *Take, progress func(float64)) (*hear.Take, error) {
	r, document, err := d.takePage(ctx, t)
	if err != nil {
		return nil, err
	}
	p, err := d.prepare(ctx, r, document)
	if err != nil {
		return nil, err
	}
	recording, free, err := d.openTake(ctx, t)
	if err != nil {
		return nil, err
	}
	defer free()
	return hear.ListenTo(p.Played, recording, p.listening(hear.Options{Progress: progress}))
}

// keepMeasure stores a measure over the one before.
func (d *Desk) keepMeasure(ctx context.Context, t *Take, m *Measure) error {
	before, err := d.Measure(ctx, m.ID)
	if err != nil && !errors.Is(err, ErrNotFound) {
		return err
	}
	if before != nil {
		m.Revision = before.Revision
	}
	_, err = d.Commit(ctx, Change{Sheet: t.Sheet, Says: "measured a take", Lasting: true, Edits: []Edit{Put(m)}})
	return err
}

// Heard is the whole result of a take's measuring, as JSON: a [hear.Take], or a
// [FailedTake].
func (d *Desk) Heard(ctx context.Context, id ID) ([]byte, error) {
	m, err := d.Measure(ctx, id)
	if err != nil {
		return nil, err
	}
	f, err := d.OpenBlob(ctx, m.Document)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(f)
}
