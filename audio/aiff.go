package audio

import (
	"bufio"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
)

// commonSize is the length of AIFF's "COMM" part, compressedSize with AIFF-C's
// compression type.
const (
	commonSize     = 18
	compressedSize = 22
)

// openAIFF reads an AIFF or AIFF-C stream up to the beginning of its sound.
func openAIFF(r *bufio.Reader) (*source, error) {
	if _, err := r.Discard(12); err != nil {
		return nil, err
	}
	var src *source
	var p pcm
	for {
		var h [8]byte
		if _, err := io.ReadFull(r, h[:]); err != nil {
			return nil, errors.New("damaged AIFF file: it ends without any sound data")
		}
		id, size := string(h[:4]), binary.BigEndian.Uint32(h[4:])
		var err error
		switch {
		case id == "COMM":
			src, p, err = readCommon(r, size)
		case id == "SSND" && src == nil:
			err = errors.New("damaged AIFF file: sound data stands before its format")
		case id == "SSND":
			src.next, err = soundData(r, p, src.promised)
			return src, err
		default:
			err = skipAIFF(r, int64(size)+int64(size&1))
		}
		if err != nil {
			return nil, err
		}
	}
}

func skipAIFF(r io.Reader, n int64) error {
	if _, err := io.CopyN(io.Discard, r, n); err != nil {
		return errors.New("damaged AIFF file: one of its parts ends early")
	}
	return nil
}

// readCommon reads the "COMM" part: how the samples lie.
func readCommon(r io.Reader, size uint32) (*source, pcm, error) {
	if size < commonSize || size > 1<<16 {
		return nil, pcm{}, fmt.Errorf("damaged AIFF file: its format part claims %d bytes; %d to some dozens are usual", size, commonSize)
	}
	b := make([]byte, size+size&1)
	if _, err := io.ReadFull(r, b); err != nil {
		return nil, pcm{}, errors.New("damaged AIFF file: it ends inside its format part")
	}
	be := binary.BigEndian
	bits := int(be.Uint16(b[6:]))
	src := &source{format: "AIFF", channels: int(be.Uint16(b)), promised: int64(be.Uint32(b[2:])), rate: extended(b[8:18])}
	kind := "NONE"
	if size >= compressedSize {
		kind = string(b[commonSize:compressedSize])
	}
	p, ok := pcmOfAIFF(kind, bits)
	if !ok {
		return nil, pcm{}, &foreign{what: fmt.Sprintf("an AIFF file with %d-bit samples of type %q", bits, kind), demuxer: "aiff"}
	}
	p.channels, src.wild = src.channels, p.float
	return src, p, src.check()
}

// pcmOfAIFF is the layout of an AIFF-C compression type. Samples of odd sizes
// stand in the next larger number of bytes, at its upper end.
func pcmOfAIFF(kind string, bits int) (pcm, bool) {
	p := pcm{bytes: (bits + 7) / 8, big: true}
	switch kind {
	case "NONE", "twos":
	case "in24":
		p.bytes = 3
	case "in32":
		p.bytes = 4
	case "sowt":
		p.big = false
	case "raw ":
		p.unsigned = true
	case "fl32", "FL32":
		p.bytes, p.float = 4, true
	case "fl64", "FL64":
		p.bytes, p.float = 8, true
	default:
		return p, false
	}
	return p, p.float || p.bytes >= 1 && p.bytes <= 4
}

// extended rounds an 80-bit IEEE 754 number to a whole one; what is too large
// or negative gives 0.
func extended(b []byte) int {
	const bias, fraction = 16383, 63
	exponent := int(binary.BigEndian.Uint16(b))
	v := math.Ldexp(float64(binary.BigEndian.Uint64(b[2:])), exponent-bias-fraction)
	if !(v < 1<<31) {
		return 0
	}
	return int(math.Round(v))
}

// soundData is the next of a source at the "SSND" part of r.
func soundData(r io.Reader, p pcm, frames int64) (func() ([][]float64, error), error) {
	var h [8]byte
	if _, err := io.ReadFull(r, h[:]); err != nil {
		return nil, errors.New("damaged AIFF file: it ends inside the head of its sound")
	}
	if err := skipAIFF(r, int64(binary.BigEndian.Uint32(h[:]))); err != nil {
		return nil, err
	}
	return p.blocks(r, frames*int64(p.frame())), nil
}
