package audio

import (
	"encoding/binary"
	"errors"
	"io"
	"math"
)

// pcm says how plain samples lie in a file.
type pcm struct {
	channels int
	bytes    int // of one sample
	float    bool
	unsigned bool // 8-bit samples around 128
	big      bool // most significant byte first
}

// frame is the number of bytes of one sample in all channels.
func (p pcm) frame() int { return p.channels * p.bytes }

// decode reads one channel of a block of frames into out. b begins at that
// channel's first sample, little-endian.
func (p pcm) decode(out []float64, b []byte) {
	step := p.frame()
	le := binary.LittleEndian
	switch {
	case p.float && p.bytes == 4:
		for i := range out {
			out[i] = float64(math.Float32frombits(le.Uint32(b[i*step:])))
		}
	case p.float:
		for i := range out {
			out[i] = math.Float64frombits(le.Uint64(b[i*step:]))
		}
	case p.bytes == 1:
		flip := byte(0)
		if p.unsigned {
			flip = 0x80
		}
		for i := range out {
			out[i] = float64(int8(b[i*step]^flip)) / (1 << 7)
		}
	case p.bytes == 2:
		for i := range out {
			out[i] = float64(int16(le.Uint16(b[i*step:]))) / (1 << 15)
		}
	case p.bytes == 3:
		for i := range out {
			s := b[i*step : i*step+3]
			out[i] = float64(int32(uint32(s[0])<<8|uint32(s[1])<<16|uint32(s[2])<<24)) / (1 << 31)
		}
	default:
		for i := range out {
			out[i] = float64(int32(le.Uint32(b[i*step:]))) / (1 << 31)
		}
	}
}

// swap turns big-endian samples in b around.
func (p pcm) swap(b []byte) {
	for ; len(b) >= p.bytes; b = b[p.bytes:] {
		for i, j := 0, p.bytes-1; i < j; i, j = i+1, j-1 {
			b[i], b[j] = b[j], b[i]
		}
	}
}

// blocks returns a source's next for size bytes of samples in r; size < 0
// reads to the end.
func (p pcm) blocks(r io.Reader, size int64) func() ([][]float64, error) {
	out := newPlanar(p.channels)
	buf := make([]byte, blockFrames*p.frame())
	return func() ([][]float64, error) {
		want := int64(len(buf))
		if size >= 0 {
			want = min(want, size-size%int64(p.frame()))
			size -= want
		}
		if want == 0 {
			return nil, io.EOF
		}
		n, err := io.ReadFull(r, buf[:want])
		if n < p.frame() {
			return nil, endOf(err, size)
		}
		if err != nil && !errors.Is(err, io.ErrUnexpectedEOF) {
			return nil, err
		}
		return p.block(out, buf[:n]), nil
	}
}

// endOf is the error for samples that stop: an end where size was unknown, a
// cut where it was not.
func endOf(err error, size int64) error {
	if size < 0 && errors.Is(err, io.ErrUnexpectedEOF) {
		return io.EOF
	}
	if size >= 0 && errors.Is(err, io.EOF) {
		return io.ErrUnexpectedEOF
	}
	return err
}

func (p pcm) block(out *planar, b []byte) [][]float64 {
	if p.big {
		p.swap(b)
	}
	block := out.sized(len(b) / p.frame())
	for ch := range block {
		p.decode(block[ch], b[ch*p.bytes:])
	}
	return block
}
