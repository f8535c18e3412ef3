package store

import (
	"os"
	"path/filepath"
	"runtime"
	"testing"
)

// TestDatabaseIsItsOwnersAlone: a folder that was there before may be open to all; the
// season in it is not, be it new or from an earlier program.
func TestDatabaseIsItsOwnersAlone(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("no such modes here")
	}
	folder := filepath.Join(t.TempDir(), "shared")
	if err := os.Mkdir(folder, 0o755); err != nil {
		t.Fatal(err)
	}
	for _, round := range []string{"new", "opened again"} {
		s := openAt(t, folder, Options{Unsynced: true})
		startUpload(t, s) // something is written
		for _, name := range []string{databaseName, databaseName + "-wal", databaseName + "-shm"} {
			info, err := os.Stat(filepath.Join(folder, name))
			if err != nil {
				t.Errorf("%s: %v", round, err)
			} else if mode := info.Mode().Perm(); mode != fileMode {
				t.Errorf("%s: %s has mode %o, want %o", round, name, mode, fileMode)
			}
		}
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
		if err := os.Chmod(filepath.Join(folder, databaseName), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}
