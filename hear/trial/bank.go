package trial

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"waterkey/demo/trombone"
)

// Bank holds the recorded notes.
type Bank struct{ *trombone.Bank }

// ErrNoNotes says that there is nothing to render from.
var ErrNoNotes = errors.New("no recorded trombone notes here: run hear/trial/notes.sh, or lay shared data beside the repository")

// CacheFolder is where notes.sh puts the notes of the npm package.
func CacheFolder() string {
	dir, err := os.UserCacheDir()
	if err != nil {
		return ""
	}
	return filepath.Join(dir, "waterkey", "trombone-notes")
}

// LoadBank reads the recorded notes that are there: those of the npm package
// tonejs-instrument-trombone-mp3 1.1.2 (17 notes, B flat 1 to F4, CC BY 3.0)
// in the cache folder, and those of the University of Iowa (33 notes, E2 to C5,
// public domain) in the folder shared. The error is ErrNoNotes, or says what
// cannot be read.
func LoadBank(cache, shared string) (*Bank, error) {
	return newBank(
		trombone.Source{Name: "npm package, 17 notes", Files: os.DirFS(cache), Match: "*.mp3", MIDI: trombone.SharpName},
		trombone.Source{Name: "Iowa, 33 notes", Files: os.DirFS(shared), Match: "*.flac", MIDI: midiName},
	)
}

func newBank(sources ...trombone.Source) (*Bank, error) {
	b, err := trombone.NewBank(sources...)
	if errors.Is(err, trombone.ErrNoNotes) {
		return nil, ErrNoNotes
	}
	if err != nil {
		return nil, err
	}
	return &Bank{b}, nil
}

// midiName reads the number in "TenPos_mf-40-E2".
func midiName(s string) (int, error) {
	fields := strings.Split(s, "-")
	if len(fields) < 2 {
		return 0, fmt.Errorf("%q has no note number", s)
	}
	return strconv.Atoi(fields[1])
}
