package store

import (
	"errors"
	"os"

	"golang.org/x/sys/windows"
)

// What the system says when there is no room, and no right to write.
var (
	fullErrors    = []error{windows.ERROR_DISK_FULL, windows.ERROR_HANDLE_DISK_FULL}
	readOnlyCodes = []error{windows.ERROR_WRITE_PROTECT}
)

// lockedAt is the byte that is locked, far behind the text that others may read.
const lockedAt = 1 << 30

// tryLock locks an open file for this process, or says false when another holds
// it. The lock ends with the file or the process.
func tryLock(f *os.File) (bool, error) {
	at := &windows.Overlapped{Offset: lockedAt}
	err := windows.LockFileEx(windows.Handle(f.Fd()), windows.LOCKFILE_EXCLUSIVE_LOCK|windows.LOCKFILE_FAIL_IMMEDIATELY, 0, 1, 0, at)
	if errors.Is(err, windows.ERROR_LOCK_VIOLATION) || errors.Is(err, windows.ERROR_IO_PENDING) {
		return false, nil
	}
	return err == nil, err
}

// syncFolder does nothing: NTFS journals names by itself.
func syncFolder(string) error { return nil }
