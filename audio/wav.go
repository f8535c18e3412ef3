package audio

import (
	"bufio"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
)

// Format tags of WAVE files.
const (
	tagPCM        = 1
	tagFloat      = 3
	tagExtensible = 0xFFFE
)

// sizeUnknown is what programs that write to a pipe leave as the size of the
// data: everything up to the end (common practice). In RF64 files it says that
// the size stands in the "ds64" part.
const sizeUnknown = math.MaxUint32

// wavReader reads the parts of a RIFF WAVE stream up to its sound.
type wavReader struct {
	r    *bufio.Reader
	src  *source
	pcm  pcm
	long int64 // bytes of sound by the "ds64" part, -1 without one
}

// openWAV reads up to the beginning of the sound.
func openWAV(r *bufio.Reader) (*source, error) {
	w := &wavReader{r: r, long: -1}
	if _, err := r.Discard(12); err != nil {
		return nil, err
	}
	for {
		id, size, err := w.header()
		if err != nil {
			return nil, err
		}
		switch id {
		case "ds64":
			err = w.readLong(size)
		case "fmt ":
			err = w.readFormat(size)
		case "data":
			return w.open(size)
		default:
			err = w.skip(id, int64(size)+int64(size&1))
		}
		if err != nil {
			return nil, err
		}
	}
}

func (w *wavReader) header() (id string, size uint32, err error) {
	var h [8]byte
	if n, err := io.ReadFull(w.r, h[:]); err != nil {
		if n == 0 {
			return "", 0, errors.New("damaged WAV file: it ends without any sound data")
		}
		return "", 0, errors.New("damaged WAV file: it ends inside a part's header")
	}
	return string(h[:4]), binary.LittleEndian.Uint32(h[4:]), nil
}

func (w *wavReader) skip(id string, n int64) error {
	if _, err := io.CopyN(io.Discard, w.r, n); err != nil {
		return fmt.Errorf("damaged WAV file: the %q part ends early", id)
	}
	return nil
}

// longSize is the length of the fixed fields of a "ds64" part.
const longSize = 28

func (w *wavReader) readLong(size uint32) error {
	var b [longSize]byte
	if size < longSize {
		return fmt.Errorf("damaged WAV file: its ds64 part has %d bytes, %d are needed", size, longSize)
	}
	if _, err := io.ReadFull(w.r, b[:]); err != nil {
		return errors.New("damaged WAV file: it ends inside its ds64 part")
	}
	if n := binary.LittleEndian.Uint64(b[8:]); n <= math.MaxInt64 {
		w.long = int64(n)
	}
	return w.skip("ds64", int64(size)-longSize+int64(size&1))
}

// formatSize is the length of the plain format part; the extensible one has
// extensibleSize bytes.
const (
	formatSize     = 16
	extensibleSize = 40
)

func (w *wavReader) readFormat(size uint32) error {
	if size < formatSize || size > 1<<16 {
		return fmt.Errorf("damaged WAV file: its format part claims %d bytes; %d to %d are usual", size, formatSize, extensibleSize)
	}
	b := make([]byte, size+size&1)
	if _, err := io.ReadFull(w.r, b); err != nil {
		return errors.New("damaged WAV file: it ends inside its format part")
	}
	le := binary.LittleEndian
	tag, bits := int(le.Uint16(b)), int(le.Uint16(b[14:]))
	if tag == tagExtensible {
		if size < extensibleSize {
			return fmt.Errorf("damaged WAV file: its extensible format has %d bytes, %d are needed", size, extensibleSize)
		}
		tag = int(le.Uint16(b[24:])) // first field of the sub-format's GUID
	}
	w.src = &source{format: "WAV", channels: int(le.Uint16(b[2:])), rate: int(le.Uint32(b[4:])), wild: tag == tagFloat}
	if err := w.src.check(); err != nil {
		return err
	}
	w.pcm = pcm{channels: w.src.channels, bytes: bits / 8, float: tag == tagFloat, unsigned: bits == 8}
	if !plainWAV(tag, bits) {
		return &foreign{what: fmt.Sprintf("a WAV file with %d-bit samples of format %#x", bits, tag), demuxer: "wav"}
	}
	if align := int(le.Uint16(b[12:])); align != w.pcm.frame() {
		return fmt.Errorf("damaged WAV file: it claims %d bytes for %d samples of %d bits, %d are right", align, w.pcm.channels, bits, w.pcm.frame())
	}
	return nil
}

// plainWAV says whether samples of a format tag and size are decoded here.
func plainWAV(tag, bits int) bool {
	switch tag {
	case tagPCM:
		return bits == 8 || bits == 16 || bits == 24 || bits == 32
	case tagFloat:
		return bits == 32 || bits == 64
	}
	return false
}

// open makes the source for size bytes of sound.
func (w *wavReader) open(size uint32) (*source, error) {
	if w.src == nil {
		return nil, errors.New("damaged WAV file: sound data stands before its format")
	}
	n := int64(size)
	if size == sizeUnknown {
		n = w.long
	}
	if n >= 0 {
		w.src.promised = n / int64(w.pcm.frame())
	}
	w.src.next = w.pcm.blocks(w.r, n)
	return w.src, nil
}
