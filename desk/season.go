package desk

import (
	"bytes"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"regexp"
	"time"
	"unicode/utf8"
)

// A season is one coach's work: players, parts, what is marked on them, takes.
// The types of this and the neighboring files are its records, free of SQL; the
// interfaces in season_store.go are what the use cases need to keep them.

// ID names a record: 1 to 40 lower-case letters, digits and hyphens. The store
// makes one when a new record has none; a caller that may have to send the same
// thing twice chooses its own.
type ID string

var idForm = regexp.MustCompile(`^[a-z0-9][a-z0-9-]{0,39}$`)

// Validate says what an ID looks like when this is none.
func (id ID) Validate() error {
	if !idForm.MatchString(string(id)) {
		return invalid("%q is no id: want 1 to 40 of a-z, 0-9 and hyphens, such as anna-2", clip(string(id)))
	}
	return nil
}

// Revision counts the changes of a season from 1. A record carries that of the
// change that last wrote it, so no two states of a record ever share one; 0 is a
// record that is not stored yet.
type Revision int64

// Hash is the SHA-256 of a file's bytes in lower-case hexadecimal; "" for none.
type Hash string

// hashDigits is the length of a SHA-256 in hexadecimal (published: FIPS 180-4).
const hashDigits = 64

// Validate says what a hash looks like when this is none.
func (h Hash) Validate() error {
	if _, err := hex.DecodeString(string(h)); err != nil || len(h) != hashDigits || bytes.ContainsAny([]byte(h), "ABCDEF") {
		return invalid("%q is no SHA-256: want %d hexadecimal digits in lower case", clip(string(h)), hashDigits)
	}
	return nil
}

// Kind is a kind of record.
type Kind string

// The kinds, each kept after those it refers to.
const (
	KindPlayer     Kind = "player"
	KindPart       Kind = "part"
	KindAssignment Kind = "assignment"
	KindTake       Kind = "take"
	KindMark       Kind = "mark"
	KindMeasure    Kind = "measure"
	KindDay        Kind = "day"
)

// Kinds lists all kinds in the order above.
func Kinds() []Kind {
	return []Kind{KindPlayer, KindPart, KindAssignment, KindTake, KindMark, KindMeasure, KindDay}
}

// Ref points at a record.
type Ref struct {
	Kind Kind `json:"kind"`
	ID   ID   `json:"id"`
}

// String is "take x1".
func (r Ref) String() string { return string(r.Kind) + " " + string(r.ID) }

// Head is what every record starts with.
type Head struct {
	ID       ID       `json:"id"`
	Revision Revision `json:"revision"`
}

// Header gives access to the head of any record.
func (h *Head) Header() *Head { return h }

// Record is one of *Player, *Part, *Assignment, *Take, *Mark, *Measure and *PracticeDay.
type Record interface {
	Header() *Head
	Kind() Kind
	// Validate checks a record by itself, not what it refers to.
	Validate() error
	// Blobs are the files the record needs.
	Blobs() []Hash
}

// RefOf points at a record.
func RefOf(r Record) Ref { return Ref{r.Kind(), r.Header().ID} }

// NewRecord is an empty record of a kind, to decode into; nil for an unknown one.
func NewRecord(k Kind) Record {
	switch k {
	case KindPlayer:
		return &Player{}
	case KindPart:
		return &Part{}
	case KindAssignment:
		return &Assignment{}
	case KindTake:
		return &Take{}
	case KindMark:
		return &Mark{}
	case KindMeasure:
		return &Measure{}
	case KindDay:
		return &PracticeDay{}
	}
	return nil
}

// Sheet is one part before one player. With one of the two left empty it is the
// part for everybody, or the player whatever the part.
type Sheet struct {
	Part   ID `json:"part,omitempty"`
	Player ID `json:"player,omitempty"`
}

// maxText bounds what a person types into one field, in bytes: some ten pages
// (estimate); anything larger is a file.
const maxText = 64 << 10

// checkText holds a typed text to its bound, and to text that is kept as it is.
func checkText(field, text string) error {
	if !utf8.ValidString(text) {
		return invalid("the %s %q is not UTF-8 text", field, clip(text))
	}
	if len(text) > maxText {
		return invalid("the %s has %d bytes; at most %d are kept, about ten pages", field, len(text), maxText)
	}
	return nil
}

// maxJSON bounds a JSON document inside a record, in bytes (estimate); a larger
// one belongs into a file.
const maxJSON = 1 << 20

// checkJSON lets a document be absent, or one JSON value within its bound.
func checkJSON(field string, doc json.RawMessage) error {
	switch {
	case len(doc) > maxJSON:
		return invalid("the %s has %d bytes; at most %d are kept in a record", field, len(doc), maxJSON)
	case len(doc) > 0 && !json.Valid(doc):
		return invalid("the %s is not JSON: %q", field, clip(string(doc)))
	}
	return nil
}

// checkDate lets a date be empty, or a day as 2026-11-25.
func checkDate(field, day string) error {
	if day == "" {
		return nil
	}
	if _, err := time.Parse(time.DateOnly, day); err != nil {
		return invalid("the %s %q is no date: write it as 2026-11-25", field, clip(day))
	}
	return nil
}

// clip shortens what an error quotes.
func clip(text string) string {
	const shown = 40
	if len(text) > shown {
		return fmt.Sprintf("%s... (%d bytes)", text[:shown], len(text))
	}
	return text
}
