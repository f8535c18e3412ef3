package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"waterkey/desk"
	"waterkey/hear"
	"waterkey/hear/align"
)

// mostDocument is how long a document of hear --json may be, in bytes: a note of it has
// about 1 kB, so this holds more notes than anybody plays (estimate).
const mostDocument = 64 << 20

// hearTake hears a recording; its errors name the file, and the page where the two do not
// belong together.
func hearTake(c *cobra.Command, p *desk.Prepared, path string, o hear.Options) (*hear.Take, error) {
	step, done := progress(c.ErrOrStderr(), "listening")
	defer done()
	o.Progress = step
	take, err := p.Hear(path, o)
	switch name := filepath.Base(path); {
	case errors.Is(err, align.ErrUnlike):
		err = fmt.Errorf("%s against %s: %w", name, filepath.Base(c.Flags().Arg(0)), err)
	case err != nil && !strings.Contains(err.Error(), name):
		err = fmt.Errorf("%s: %w", name, err)
	}
	return take, err
}

// hearOrRead listens to a take, or reads what was heard of it before.
func hearOrRead(c *cobra.Command, p *desk.Prepared, path string) (*hear.Take, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("cannot open the take: %w", err)
	}
	defer file.Close()
	head := make([]byte, 1)
	n, _ := io.ReadFull(file, head)
	if n == 0 || !bytes.Equal(head, []byte("{")) {
		return hearTake(c, p, path, hear.Options{})
	}
	take, err := readHeard(io.MultiReader(bytes.NewReader(head), file))
	if err == nil {
		err = ofThisPart(p, take)
	}
	if err != nil {
		return nil, fmt.Errorf("%s %w", filepath.Base(path), err)
	}
	return take, nil
}

// readHeard reads a document of hear --json.
func readHeard(r io.Reader) (*hear.Take, error) {
	data, err := io.ReadAll(io.LimitReader(r, mostDocument+1))
	if err != nil {
		return nil, fmt.Errorf("cannot be read: %w", err)
	}
	if len(data) > mostDocument {
		return nil, fmt.Errorf("is longer than %d MB, which no document of hear --json is; give the recording itself", mostDocument>>20)
	}
	take := &hear.Take{}
	if err := json.Unmarshal(data, take); err != nil {
		return nil, fmt.Errorf("is no document of hear --json: %w", err)
	}
	if len(take.Notes) == 0 {
		return nil, errors.New("has no notes; a document that hear --json printed has")
	}
	return take, nil
}

// ofThisPart compares what was heard with the page, note by note: what was measured on
// another page would be put down to bars of this one.
func ofThisPart(p *desk.Prepared, take *hear.Take) error {
	pitch := map[string]string{}
	for i := range p.Part.Notes {
		pitch[p.Part.Notes[i].ID] = p.Part.Notes[i].Pitch.String()
	}
	for _, n := range take.Notes {
		has := ""
		switch on, ok := pitch[n.ID]; {
		case !ok:
			has = "no such note"
		case n.Pitch != "" && n.Pitch != on:
			has = "a " + on + " there"
		default:
			continue
		}
		return fmt.Errorf("was heard of another part than %s, or of another state of it: it has a %s in bar %s (%s), the page has %s; give a take of this part, or the recording itself to hear it anew",
			heading(p.Part.Title, p.Part.Name), n.Pitch, n.Bar, n.ID, has)
	}
	return nil
}
