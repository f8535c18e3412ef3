package audio

import (
	"bufio"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"strings"
)

// webmSource turns the blocks of one track into blocks of sound. It holds each
// back until the next comes, since what is to be cut off the last block is
// said after it.
type webmSource struct {
	r      *bufio.Reader
	track  *webmTrack
	decode func(data []byte) ([][]float64, error)
	rate   int
	skip   int // frames to drop at the beginning
	held   [][]float64
}

// openWebM reads the tracks of a WebM or Matroska file and opens the first one
// with sound.
func openWebM(r *bufio.Reader) (*source, error) {
	var tracks []*webmTrack
	for {
		id, b, err := element(r)
		if err != nil {
			return nil, fmt.Errorf("damaged WebM file: before any sound: %w", cut(err))
		}
		switch {
		case id == idTrack:
			tracks = append(tracks, &webmTrack{channels: 1})
		case id == idCluster:
			return openTrack(r, tracks)
		case len(tracks) > 0:
			tracks[len(tracks)-1].set(id, b)
		}
	}
}

// openTrack opens the first track of sound that can be decoded.
func openTrack(r *bufio.Reader, tracks []*webmTrack) (*source, error) {
	for _, t := range tracks {
		if !strings.HasPrefix(t.codec, "A_") {
			continue
		}
		w := &webmSource{r: r, track: t, rate: int(t.rate)}
		src := &source{format: "WebM", wild: true}
		var err error
		switch t.codec {
		case "A_OPUS":
			src.format, src.rate = "WebM Opus", opusRate
			src.channels, err = w.useOpus()
		case "A_PCM/INT/LIT", "A_PCM/FLOAT/IEEE":
			src.rate, src.channels = w.rate, t.channels
			err = w.usePCM()
		default:
			err = &foreign{fmt.Sprintf("a WebM or Matroska file with %q in it", t.codec), "matroska"}
		}
		src.next = w.next
		return src, err
	}
	return nil, errors.New("this WebM file has no track of sound; " + readable)
}

func (w *webmSource) useOpus() (channels int, err error) {
	s, err := newOpus(w.track.private)
	if err != nil {
		return 0, fmt.Errorf("damaged WebM file: %w", err)
	}
	w.skip, w.rate = s.skip, opusRate
	w.decode = func(data []byte) ([][]float64, error) {
		x, err := s.decode(data)
		return reordered(newPlanar(s.channels).of(x, s.gain)), err
	}
	return s.channels, nil
}

func (w *webmSource) usePCM() error {
	t := w.track
	float := t.codec != "A_PCM/INT/LIT"
	p := pcm{channels: t.channels, bytes: t.bits / 8, float: float, unsigned: t.bits == 8}
	if tag := map[bool]int{false: tagPCM, true: tagFloat}[float]; !plainWAV(tag, t.bits) {
		return fmt.Errorf("damaged WebM file: its samples have %d bits", t.bits)
	}
	if err := checkShape(w.rate, t.channels); err != nil {
		return err
	}
	w.decode = func(data []byte) ([][]float64, error) {
		return p.block(newPlanar(p.channels), data[:len(data)-len(data)%p.frame()]), nil
	}
	return nil
}

func (w *webmSource) next() ([][]float64, error) {
	for {
		id, b, err := element(w.r)
		if err != nil {
			return w.flush(err)
		}
		switch id {
		case idDiscard:
			w.discard(signed(b))
		case idSimpleBlock, idBlock:
			data, err := w.payload(b)
			if err != nil {
				return nil, err
			}
			if data == nil {
				continue
			}
			block, err := w.decode(data)
			if err != nil {
				return nil, err
			}
			ready := w.held
			w.held = w.begin(block)
			if ready != nil {
				return ready, nil
			}
		}
	}
}

// flush hands out the block held back before the end.
func (w *webmSource) flush(err error) ([][]float64, error) {
	if ready := w.held; ready != nil && errors.Is(err, io.EOF) {
		w.held = nil
		return ready, nil
	}
	return nil, err
}

// payload is the data of a block of the track, nil for one of another track
// (RFC 9559, section 10).
func (w *webmSource) payload(b []byte) ([]byte, error) {
	const fixed, lacing = 3, 0x06 // bytes of time and flags; flag bits of several frames in one
	r := byteReader{b}
	number, _, err := vint(&r, false)
	if err != nil || len(r.b) < fixed {
		return nil, errors.New("a block is too short")
	}
	if number != w.track.number {
		return nil, nil
	}
	if r.b[2]&lacing != 0 {
		return nil, errors.New("blocks with several frames cannot be read; save the recording as WAV")
	}
	return r.b[fixed:], nil
}

// begin drops what is to be skipped at the beginning.
func (w *webmSource) begin(block [][]float64) [][]float64 {
	n := min(w.skip, len(block[0]))
	w.skip -= n
	for ch := range block {
		block[ch] = block[ch][n:]
	}
	return block
}

// discard cuts the end of the block held back, or its beginning when negative.
func (w *webmSource) discard(nanoseconds int64) {
	if w.held == nil {
		return
	}
	length := len(w.held[0])
	n := int(min(float64(length), max(-float64(length), float64(nanoseconds)*1e-9*float64(w.rate)+0.5)))
	for ch := range w.held {
		if n >= 0 {
			w.held[ch] = w.held[ch][:length-n]
		} else {
			w.held[ch] = w.held[ch][-n:]
		}
	}
}

// byteReader reads bytes off the front of b.
type byteReader struct{ b []byte }

func (r *byteReader) ReadByte() (byte, error) {
	if len(r.b) == 0 {
		return 0, io.EOF
	}
	c := r.b[0]
	r.b = r.b[1:]
	return c, nil
}

// signed is a big-endian two's complement number of up to 8 bytes.
func signed(b []byte) int64 {
	var w [8]byte
	if len(b) > 0 && b[0]&0x80 != 0 {
		w = [8]byte{255, 255, 255, 255, 255, 255, 255, 255}
	}
	copy(w[8-min(len(b), 8):], b)
	return int64(binary.BigEndian.Uint64(w[:]))
}
