package store

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"slices"

	"waterkey/desk"
)

// An archive is a ZIP file without compression, so that equal seasons give equal
// bytes and no archive unpacks to more than its own size. In this order:
//
//	season.json            the manifest below, one JSON document
//	players.jsonl ...      the records of each kind (players, parts, assignments,
//	                       takes, marks, measures, and days since version 2): one JSON
//	                       document a line, by id
//	changes.jsonl          the log, by revision
//	blobs/ab/cdef…         the files, by hash
//
// Unfinished uploads are not in it. Import restores every record, revision and
// entry of the log as it was.
const (
	archiveFormat  = "waterkey season"
	archiveVersion = 2
	manifestName   = "season.json"
	changesName    = "changes.jsonl"
	recordsSuffix  = ".jsonl"
)

// maxManifest bounds the manifest in bytes: room for 300,000 files (estimate).
const maxManifest = 32 << 20

// manifest says what an archive holds, so that a part of it is not taken for all.
type manifest struct {
	Format   string         `json:"format"`
	Version  int            `json:"version"`
	Revision desk.Revision  `json:"revision"` // the last ever given
	Records  map[string]int `json:"records"`  // lines by name of the document
	Blobs    []desk.Blob    `json:"blobs"`    // by hash
	Lost     []desk.Hash    `json:"lost"`     // needed, but missing or damaged where it was written
}

// document is where the records of a kind stand.
func document(k desk.Kind) string { return tables[k].name + recordsSuffix }

// keptSince is the version of the archive from which it holds a kind, where that is
// not the first.
var keptSince = map[desk.Kind]int{desk.KindDay: 2}

// kinds are those that an archive of a version holds, in order.
func kinds(version int) []desk.Kind {
	return slices.DeleteFunc(desk.Kinds(), func(k desk.Kind) bool { return keptSince[k] > version })
}

// documents are all of an archive of a version, in order.
func documents(version int) []string {
	var out []string
	for _, k := range kinds(version) {
		out = append(out, document(k))
	}
	return append(out, changesName)
}

// blobEntry is the name of a file in an archive.
func blobEntry(h desk.Hash) string { return "blobs/" + string(h[:2]) + "/" + string(h[2:]) }

// strict decodes one JSON document and refuses fields it does not know: dropping
// them would lose something.
func strict(data []byte, v any) error {
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(v); err != nil {
		return err
	}
	if d.More() {
		return fmt.Errorf("more than one document")
	}
	return nil
}

// decodeEntry reads a stored entry of the log.
func decodeEntry(doc []byte) (*desk.Entry, error) {
	e := new(desk.Entry)
	if err := json.Unmarshal(doc, e); err != nil {
		return nil, &desk.SeasonError{Is: desk.ErrDamaged, Text: "a stored change cannot be read", Cause: err}
	}
	return e, nil
}

func sortedHashes(set map[desk.Hash]bool) []desk.Hash {
	return slices.Sorted(maps.Keys(set))
}

// firstError is the first that is not nil.
func firstError(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
