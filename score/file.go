package score

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
)

// ReadFile reads a whole file of at most most bytes from disk. Every error is a
// [*ReadError].
func ReadFile(path string, most int64) ([]byte, error) {
	info, err := os.Stat(path)
	if err == nil {
		err = CheckSize(info.Size(), most)
	}
	var data []byte
	if err == nil {
		data, err = os.ReadFile(path)
	}
	if err != nil {
		return nil, &ReadError{File: filepath.Base(path), Err: err}
	}
	return data, nil
}

// CheckSize says that a file of size bytes is more than most.
func CheckSize(size, most int64) error {
	if size > most {
		return fmt.Errorf("the file has %d bytes; at most %d are read", size, most)
	}
	return nil
}

// InFile makes a [*ReadError] that names the file of any error.
func InFile(file string, err error) error {
	var e *ReadError
	if !errors.As(err, &e) {
		return &ReadError{File: file, Err: err}
	}
	if e.File == "" {
		e.File = file
	}
	return e
}
