package desk

import (
	"encoding/json"
	"time"
)

// Change is something a user did, kept whole or not at all. Its edits are made in
// order; undoing it makes their inverses in reverse order.
type Change struct {
	Sheet         // whose undo it belongs to
	Author string // who did it
	Says   string // what was done, for the list and the undo button
	// Lasting keeps it from being undone: a take that was recorded, a result
	// that was computed. Neither does it end what could be redone. (Undo stops
	// at the making of a record that a lasting change has come to need.)
	Lasting bool
	Edits   []Edit
}

// Edit puts or deletes one record. The record's revision says which state the
// caller saw, 0 that it is new; the edit is refused when another is stored.
type Edit struct {
	Record Record
	Delete bool
}

// Put stores a record, new or changed.
func Put(r Record) Edit { return Edit{Record: r} }

// Delete removes a record.
func Delete(r Record) Edit { return Edit{Record: r, Delete: true} }

// Act is what an entry of the log does.
type Act string

// The acts.
const (
	ActDo   Act = "do"
	ActUndo Act = "undo"
	ActRedo Act = "redo"
)

// Entry is one line of the log of changes, which is only ever added to. Undoing
// adds an entry too.
type Entry struct {
	Revision Revision `json:"revision"`
	Sheet
	Act     Act       `json:"act"`
	Of      Revision  `json:"of,omitempty"` // the entry undone or redone
	Lasting bool      `json:"lasting,omitempty"`
	Author  string    `json:"author,omitempty"`
	Says    string    `json:"says,omitempty"`
	At      time.Time `json:"at"`
	Edits   []Logged  `json:"edits"`
}

// Logged is an edit as it was made: the record before and after, absent for none.
type Logged struct {
	Ref
	Before json.RawMessage `json:"before,omitempty"`
	After  json.RawMessage `json:"after,omitempty"`
}

// Validate checks a change without looking at what is stored.
func (c *Change) Validate() error {
	if len(c.Edits) == 0 {
		return invalid("the change holds no edit")
	}
	seen := map[Ref]bool{}
	for _, e := range c.Edits {
		if e.Record == nil {
			return invalid("an edit holds no record")
		}
		ref := RefOf(e.Record)
		if ref.ID != "" && seen[ref] {
			return invalid("the change edits %s twice; make one edit of it", ref)
		}
		seen[ref] = true
		if e.Delete {
			continue
		}
		if err := e.Record.Validate(); err != nil {
			return err
		}
	}
	return firstError(checkText("author", c.Author), checkText("description", c.Says))
}
