package main

import (
	"io"
	"strings"
	"testing"
)

// endless is a document that never ends; it counts what is read of it.
type endless struct{ read int64 }

func (e *endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = ' '
	}
	e.read += int64(len(p))
	return len(p), nil
}

// TestDocumentIsBounded: no more of a document is read than one can be long.
func TestDocumentIsBounded(t *testing.T) {
	rest := &endless{}
	_, err := readHeard(io.MultiReader(strings.NewReader("{"), rest))
	if err == nil || !strings.Contains(err.Error(), "longer than 64 MB") {
		t.Errorf("error %v", err)
	}
	if rest.read > mostDocument+1<<20 {
		t.Errorf("%d bytes were read", rest.read)
	}
}
