package audio

import (
	"bufio"
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
)

// Elements of WebM and Matroska files that matter here (RFC 9559). The ones
// that hold others are entered, all else is passed over: recordings streamed
// by a browser have no sizes to go by.
const (
	idSegment     = 0x18538067
	idCluster     = 0x1F43B675
	idTracks      = 0x1654AE6B
	idTrack       = 0xAE
	idAudio       = 0xE1
	idGroup       = 0xA0
	idNumber      = 0xD7
	idCodec       = 0x86
	idPrivate     = 0x63A2
	idRate        = 0xB5
	idChannels    = 0x9F
	idBits        = 0x6264
	idSimpleBlock = 0xA3
	idBlock       = 0xA1
	idDiscard     = 0x75A2
)

var webmMasters = map[uint64]bool{idSegment: true, idCluster: true, idTracks: true, idTrack: true, idAudio: true, idGroup: true}

// webmKept are the elements whose content is read.
var webmKept = map[uint64]bool{idNumber: true, idCodec: true, idPrivate: true, idRate: true, idChannels: true, idBits: true,
	idSimpleBlock: true, idBlock: true, idDiscard: true}

// maxElement bounds the content of one element in bytes: a second of studio
// sound in many channels (estimate).
const maxElement = 64 << 20

// element reads the next element: one of webmMasters without content, or one
// of webmKept with it.
func element(r *bufio.Reader) (id uint64, content []byte, err error) {
	for {
		if id, _, err = vint(r, true); err != nil {
			return 0, nil, err
		}
		size, known, err := vint(r, false)
		if err != nil {
			return 0, nil, cut(err)
		}
		switch {
		case webmMasters[id]:
			return id, nil, nil
		case !known:
			return 0, nil, fmt.Errorf("element %#x has no size", id)
		case webmKept[id]:
			content, err := bounded(r, size)
			return id, content, err
		}
		if size > math.MaxInt64 {
			return 0, nil, io.ErrUnexpectedEOF
		}
		if _, err := io.CopyN(io.Discard, r, int64(size)); err != nil {
			return 0, nil, cut(err)
		}
	}
}

// bounded reads size bytes, allocating as they come.
func bounded(r io.Reader, size uint64) ([]byte, error) {
	if size > maxElement {
		return nil, fmt.Errorf("an element claims %d MB, at most %d are usual", size>>20, maxElement>>20)
	}
	var b bytes.Buffer
	if _, err := io.CopyN(&b, r, int64(size)); err != nil {
		return nil, cut(err)
	}
	return b.Bytes(), nil
}

// vint reads a number of variable length (RFC 8794, section 4): an element's
// id with its marker bit, a size without; known is false for the size that
// means unknown.
func vint(r io.ByteReader, marker bool) (v uint64, known bool, err error) {
	first, err := r.ReadByte()
	if err != nil {
		return 0, false, err
	}
	if first == 0 {
		return 0, false, errors.New("an element's head makes no sense")
	}
	length, mask := 1, byte(0x80)
	for ; first&mask == 0; mask >>= 1 {
		length++
	}
	v = uint64(first)
	if !marker {
		v &= uint64(mask) - 1
	}
	for range length - 1 {
		b, err := r.ReadByte()
		if err != nil {
			return 0, false, cut(err)
		}
		v = v<<8 | uint64(b)
	}
	return v, v != 1<<(7*length)-1, nil
}

// webmTrack is what a file says about one track.
type webmTrack struct {
	number   uint64
	codec    string
	private  []byte
	rate     float64
	channels int
	bits     int
}

func (t *webmTrack) set(id uint64, b []byte) {
	switch id {
	case idNumber:
		t.number = uintOf(b)
	case idCodec:
		t.codec = string(bytes.TrimRight(b, "\x00"))
	case idPrivate:
		t.private = b
	case idRate:
		t.rate = floatOf(b)
	case idChannels:
		t.channels = int(uintOf(b))
	case idBits:
		t.bits = int(uintOf(b))
	}
}

// uintOf is a big-endian number of up to 8 bytes.
func uintOf(b []byte) (v uint64) {
	for _, c := range b[:min(len(b), 8)] {
		v = v<<8 | uint64(c)
	}
	return v
}

// floatOf is a number of 4 or 8 bytes, 0 for any other length.
func floatOf(b []byte) float64 {
	switch len(b) {
	case 4:
		return float64(math.Float32frombits(binary.BigEndian.Uint32(b)))
	case 8:
		return math.Float64frombits(binary.BigEndian.Uint64(b))
	}
	return 0
}
