//go:build unix

package store

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// What the system says when there is no room, and no right to write.
var (
	fullErrors    = []error{unix.ENOSPC, unix.EDQUOT}
	readOnlyCodes = []error{unix.EROFS}
)

// tryLock locks an open file for this process, or says false when another holds
// it. The lock ends with the file or the process.
func tryLock(f *os.File) (bool, error) {
	err := unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB)
	if errors.Is(err, unix.EWOULDBLOCK) {
		return false, nil
	}
	return err == nil, err
}

// syncFolder makes a new name in a folder durable.
func syncFolder(path string) error {
	d, err := os.Open(path)
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
}
