package sound

import (
	"errors"
	"io"
)

// File is the WAV of a list of tones, made as it is read: a reader has the first
// samples before the last are computed. Reading from an earlier place makes it
// anew. It serves one goroutine.
type File struct {
	tones []Tone
	o     Options
	size  int64
	at    int64     // where the next Read is
	body  io.Reader // stands at made; nil before the first Read
	made  int64
}

// NewFile prepares the WAV of tones, in any order.
func NewFile(tones []Tone, o Options) *File {
	return &File{tones: tones, o: o, size: NewStream(tones, o).WAVLen()}
}

// Size is the number of bytes in all.
func (f *File) Size() int64 { return f.size }

// Seek sets where the next Read is. Nothing is made before that.
func (f *File) Seek(offset int64, whence int) (int64, error) {
	switch whence {
	case io.SeekCurrent:
		offset += f.at
	case io.SeekEnd:
		offset += f.size
	}
	if offset < 0 {
		return 0, errors.New("a place before the start of the file")
	}
	f.at = offset
	return offset, nil
}

// Read is that of the whole file.
func (f *File) Read(b []byte) (int, error) {
	if f.body == nil || f.made > f.at {
		f.body, f.made = NewStream(f.tones, f.o).WAV(), 0
	}
	if f.made < f.at {
		n, err := io.CopyN(io.Discard, f.body, f.at-f.made)
		f.made += n
		if err != nil {
			return 0, err
		}
	}
	n, err := f.body.Read(b)
	f.made += int64(n)
	f.at = f.made
	return n, err
}
