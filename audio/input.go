package audio

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
)

// input is the beginning of a recording whose kind is still being found out.
type input struct {
	r       io.Reader
	br      *bufio.Reader // over counted
	counted counter
	path    string // "" for a stream
	start   int64  // where r stood, if it seeks
	seeks   bool
}

// counter counts the bytes read through it.
type counter struct {
	r io.Reader
	n int64
}

func (c *counter) Read(p []byte) (int, error) {
	n, err := c.r.Read(p)
	c.n += int64(n)
	return n, err
}

// position is where r stands, and whether it can go back there.
func position(r io.Reader) (int64, bool) {
	s, ok := r.(io.Seeker)
	if !ok {
		return 0, false
	}
	at, err := s.Seek(0, io.SeekCurrent)
	return at, err == nil
}

// maxForeign bounds the files handed to an outside program, in bytes: a day of
// 320 kb/s (estimate).
const maxForeign = 4 << 30

// file is a path with the whole recording, and what frees it after use.
func (in *input) file() (path string, free func() error, err error) {
	if in.path != "" {
		if info, err := os.Stat(in.path); err == nil && info.Size() > maxForeign {
			return "", nil, errTooLarge()
		}
		return in.path, func() error { return nil }, nil
	}
	whole, err := in.rewound()
	if err != nil {
		return "", nil, err
	}
	f, err := os.CreateTemp("", "recording-*")
	if err != nil {
		return "", nil, err
	}
	free = func() error { return os.Remove(f.Name()) }
	n, err := io.Copy(f, io.LimitReader(whole, maxForeign+1))
	if err = errors.Join(err, f.Close()); err == nil && n > maxForeign {
		err = errTooLarge()
	}
	if err != nil {
		return "", nil, errors.Join(err, free())
	}
	return f.Name(), free, nil
}

// rewound is the recording from its beginning.
func (in *input) rewound() (io.Reader, error) {
	if in.seeks {
		_, err := in.r.(io.Seeker).Seek(in.start, io.SeekStart)
		return in.r, err
	}
	if in.counted.n > int64(in.br.Buffered()) {
		return nil, errors.New("it came as a stream that cannot be read again; give it as a file")
	}
	return in.br, nil
}

func errTooLarge() error {
	return fmt.Errorf("the file is larger than %d GB; cut it to the excerpt", maxForeign>>30)
}
