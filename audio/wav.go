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
// data: everything up to the end (common practice).
const sizeUnknown = math.MaxUint32

// wavFormat is the part of the "fmt " chunk that matters here.
type wavFormat struct {
	tag      int
	channels int
	rate     int
	bits     int // of one sample in its container
}

// readWAV reads a RIFF WAVE stream up to the end of its data chunk.
func readWAV(r *bufio.Reader) (*Clip, error) {
	if _, err := r.Discard(12); err != nil {
		return nil, err
	}
	var format *wavFormat
	for {
		id, size, err := chunkHeader(r)
		if err != nil {
			return nil, err
		}
		switch id {
		case "fmt ":
			if format, err = readFormat(r, size); err != nil {
				return nil, err
			}
		case "data":
			if format == nil {
				return nil, errors.New("damaged WAV file: sound data stands before its format")
			}
			return format.readData(r, size)
		default:
			if err := discard(r, int64(size)+int64(size&1)); err != nil {
				return nil, fmt.Errorf("damaged WAV file: the %q part ends early", id)
			}
		}
	}
}

func chunkHeader(r io.Reader) (id string, size uint32, err error) {
	var h [8]byte
	if n, err := io.ReadFull(r, h[:]); err != nil {
		if n == 0 {
			return "", 0, errors.New("damaged WAV file: it ends without any sound data")
		}
		return "", 0, errors.New("damaged WAV file: it ends inside a part's header")
	}
	return string(h[:4]), binary.LittleEndian.Uint32(h[4:]), nil
}

func discard(r io.Reader, n int64) error {
	_, err := io.CopyN(io.Discard, r, n)
	return err
}

// formatSize is the length of the plain format chunk; the extensible one has
// extensibleSize bytes.
const (
	formatSize     = 16
	extensibleSize = 40
)

func readFormat(r io.Reader, size uint32) (*wavFormat, error) {
	if size < formatSize || size > 1<<16 {
		return nil, fmt.Errorf("damaged WAV file: its format part claims %d bytes; %d to %d are usual", size, formatSize, extensibleSize)
	}
	b := make([]byte, size+size&1)
	if _, err := io.ReadFull(r, b); err != nil {
		return nil, errors.New("damaged WAV file: it ends inside its format part")
	}
	f := &wavFormat{
		tag:      int(binary.LittleEndian.Uint16(b)),
		channels: int(binary.LittleEndian.Uint16(b[2:])),
		rate:     int(binary.LittleEndian.Uint32(b[4:])),
		bits:     int(binary.LittleEndian.Uint16(b[14:])),
	}
	if f.tag == tagExtensible {
		if size < extensibleSize {
			return nil, fmt.Errorf("damaged WAV file: its extensible format has %d bytes, %d are needed", size, extensibleSize)
		}
		f.tag = int(binary.LittleEndian.Uint16(b[24:])) // first field of the sub-format's GUID
	}
	if err := checkShape(f.rate, f.channels); err != nil {
		return nil, err
	}
	if f.sample() == nil {
		return nil, fmt.Errorf("WAV with %d-bit samples of format %#x cannot be read; PCM of 8, 16, 24 or 32 bits and float of 32 or 64 bits can", f.bits, f.tag)
	}
	if align := int(binary.LittleEndian.Uint16(b[12:])); align != f.frame() {
		return nil, fmt.Errorf("damaged WAV file: it claims %d bytes for %d samples of %d bits, %d are right", align, f.channels, f.bits, f.frame())
	}
	return f, nil
}

// frame is the number of bytes of one sample in all channels.
func (f *wavFormat) frame() int { return f.channels * f.bits / 8 }

// sample returns the function that decodes one sample, nil for a format that
// is not read.
func (f *wavFormat) sample() func(b []byte) float64 {
	le := binary.LittleEndian
	switch [2]int{f.tag, f.bits} {
	case [2]int{tagPCM, 8}:
		return func(b []byte) float64 { return (float64(b[0]) - 128) / 128 }
	case [2]int{tagPCM, 16}:
		return func(b []byte) float64 { return float64(int16(le.Uint16(b))) / (1 << 15) }
	case [2]int{tagPCM, 24}:
		return func(b []byte) float64 {
			return float64(int32(uint32(b[0])<<8|uint32(b[1])<<16|uint32(b[2])<<24)) / (1 << 31)
		}
	case [2]int{tagPCM, 32}:
		return func(b []byte) float64 { return float64(int32(le.Uint32(b))) / (1 << 31) }
	case [2]int{tagFloat, 32}:
		return func(b []byte) float64 { return float64(math.Float32frombits(le.Uint32(b))) }
	case [2]int{tagFloat, 64}:
		return func(b []byte) float64 { return math.Float64frombits(le.Uint64(b)) }
	}
	return nil
}

// blockFrames is how many frames are read at a time.
const blockFrames = 8192

// maxFloat is the largest float sample taken for sound: float recordings may
// exceed full scale, by 60 dB at most (estimate); more is damage.
const maxFloat = 1000

func (f *wavFormat) readData(r io.Reader, size uint32) (*Clip, error) {
	c := &Clip{Rate: f.rate, Channels: make([][]float64, f.channels)}
	sample, width := f.sample(), f.bits/8
	left := int64(size)
	buf := make([]byte, blockFrames*f.frame())
	for left >= int64(f.frame()) {
		want := min(int64(len(buf)), left-left%int64(f.frame()))
		n, err := io.ReadFull(r, buf[:want])
		for at := 0; at+f.frame() <= n; at += f.frame() {
			for ch := range c.Channels {
				v := sample(buf[at+ch*width:])
				if !(math.Abs(v) <= maxFloat) {
					return nil, fmt.Errorf("damaged WAV file: at %.3f s it holds %g, which is no sample", c.Seconds(), v)
				}
				c.Channels[ch] = append(c.Channels[ch], v)
			}
		}
		if c.Len()*f.channels > maxSamples {
			return nil, errTooLong(f.rate, f.channels)
		}
		if err != nil {
			return f.shortData(c, size, err)
		}
		left -= want
	}
	return f.finish(c)
}

// shortData decides about data that ends before its size.
func (f *wavFormat) shortData(c *Clip, size uint32, err error) (*Clip, error) {
	if !errors.Is(err, io.EOF) && !errors.Is(err, io.ErrUnexpectedEOF) {
		return nil, err
	}
	if size == sizeUnknown {
		return f.finish(c)
	}
	claimed := float64(size) / float64(f.frame()) / float64(f.rate)
	return nil, fmt.Errorf("the WAV file is cut off: its header promises %.3f s and %.3f s are there", claimed, c.Seconds())
}

func (f *wavFormat) finish(c *Clip) (*Clip, error) {
	if c.Len() == 0 {
		return nil, errors.New("the WAV file holds no sound: its data part is empty")
	}
	return c, nil
}
