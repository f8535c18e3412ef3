package store

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"waterkey/desk"
)

// lockFolder takes the folder for this program until the file is closed.
func lockFolder(folder string) (*os.File, error) {
	f, err := os.OpenFile(filepath.Join(folder, lockName), os.O_RDWR|os.O_CREATE, fileMode)
	if err != nil {
		return nil, explain(err, "open the folder "+folder)
	}
	free, err := tryLock(f)
	if err == nil && !free {
		err = inUse(folder, f)
	}
	if err != nil {
		f.Close()
		return nil, explain(err, "lock the folder "+folder)
	}
	// Who holds it, for the message above; the lock itself does not need it.
	if err := f.Truncate(0); err == nil {
		_, _ = fmt.Fprintf(io.NewOffsetWriter(f, 0), "%d\n", os.Getpid())
	}
	return f, nil
}

// inUse names the process that wrote its number into the lock file.
func inUse(folder string, f *os.File) error {
	by := "another program"
	line := make([]byte, 20)
	if n, _ := f.ReadAt(line, 0); n > 0 {
		by = "process " + strings.TrimSpace(string(line[:n]))
	}
	return &desk.SeasonError{Is: desk.ErrInUse, Text: fmt.Sprintf(
		"the folder %s is open in %s; use the window that it opened, or end it first, or choose another folder", folder, by)}
}
