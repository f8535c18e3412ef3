package desk

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"sync"

	"waterkey/hear"
	"waterkey/hear/align"
)

// heardOf reads the document of a measure: what was heard, to be left as it is, or
// why nothing was.
func (d *Desk) heardOf(ctx context.Context, m *Measure) (heard *hear.Take, failure, err error) {
	if t := d.heard.look(m.Document); t != nil {
		return t, nil, nil
	}
	data, err := d.document(ctx, m.Document)
	if err != nil {
		return nil, nil, err
	}
	if bytes.HasPrefix(data, []byte(`{"failed"`)) {
		var f FailedTake
		if err := json.Unmarshal(data, &f); err != nil {
			return nil, nil, damagedMeasure(m.ID, err)
		}
		if f.Unlike {
			return nil, unlike{errors.New(f.Failed)}, nil
		}
		return nil, errors.New(f.Failed), nil
	}
	heard = &hear.Take{}
	if err := json.Unmarshal(data, heard); err != nil {
		return nil, nil, damagedMeasure(m.ID, err)
	}
	d.heard.keep(m.Document, heard)
	return heard, nil, nil
}

// unlike is a stored failure of a take that is not the part.
type unlike struct{ error }

// Unwrap makes it an [align.ErrUnlike].
func (unlike) Unwrap() error { return align.ErrUnlike }

// cachedTakes is how many documents of takes are kept read: those of a lesson with a
// few players (estimate; each takes some hundred kB).
const cachedTakes = 64

// heardCache keeps documents that were read; they never change. It may be used from
// several goroutines.
type heardCache struct {
	mu    sync.Mutex
	takes map[Hash]*hear.Take
}

// look is a document that was read; nil for none.
func (c *heardCache) look(h Hash) *hear.Take {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.takes[h]
}

// keep keeps a document, in place of any other when there are too many.
func (c *heardCache) keep(h Hash, t *hear.Take) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.takes == nil {
		c.takes = map[Hash]*hear.Take{}
	}
	for old := range c.takes {
		if len(c.takes) < cachedTakes {
			break
		}
		delete(c.takes, old)
	}
	c.takes[h] = t
}
