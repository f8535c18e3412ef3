package audio

import (
	"bufio"
	"encoding/binary"
	"errors"
	"fmt"
	"io"

	"github.com/hajimehoshi/go-mp3"
)

// decoderDelay is what any MP3 decoder adds at the beginning, in samples: 528
// of the filter bank and one more (common practice, from the LAME project's
// "LAME technical FAQ"; ffmpeg and others take it off as well).
const decoderDelay = 529

// mp3Frame is what the header of an MPEG audio frame says (ISO/IEC 11172-3,
// 13818-3).
type mp3Frame struct {
	channels int
	samples  int // in each channel
	info     int // where an encoder's notes about the whole file stand
	version  int // 3 for MPEG-1, 2 for MPEG-2, 0 for 2.5
	layer    int // 1 for layer III
	rate     int // index of the sample rate: 0 for 44100 Hz and its halves
}

// parseMP3 reads a frame header; ok is false for anything else.
func parseMP3(b []byte) (f mp3Frame, ok bool) {
	if len(b) < 4 || b[0] != 0xFF || b[1]&0xE0 != 0xE0 {
		return f, false
	}
	f = mp3Frame{channels: 2, samples: 1152, info: 4 + 32, version: int(b[1]>>3) & 3, layer: int(b[1]>>1) & 3}
	bitrate, rate := b[2]>>4, b[2]>>2&3
	if f.version == 1 || f.layer == 0 || bitrate == 15 || rate == 3 || b[3]&3 == 2 {
		return f, false
	}
	f.rate = int(rate)
	mono := b[3]>>6 == 3
	if mono {
		f.channels = 1
	}
	switch lower := f.version != 3; {
	case lower && mono:
		f.samples, f.info = 576, 4+9
	case lower:
		f.samples, f.info = 576, 4+17
	case mono:
		f.info = 4 + 17
	}
	return f, true
}

// isMP3 says whether a file begins with a layer III frame.
func isMP3(head []byte) bool {
	f, ok := parseMP3(head)
	return ok && f.layer == 1
}

// skipID3 passes over an ID3v2 tag.
func skipID3(br *bufio.Reader) error {
	var h [10]byte
	if _, err := io.ReadFull(br, h[:]); err != nil {
		return errors.New("damaged MP3 file: it ends inside its tag")
	}
	size := int64(h[6]&0x7F)<<21 | int64(h[7]&0x7F)<<14 | int64(h[8]&0x7F)<<7 | int64(h[9]&0x7F)
	if _, err := io.CopyN(io.Discard, br, size); err != nil {
		return errors.New("damaged MP3 file: it ends inside its tag")
	}
	return nil
}

// mp3Notes are what an encoder wrote into a silent first frame.
type mp3Notes struct {
	found      bool
	frames     int64 // of sound, 0 for unknown
	delay, pad int64 // samples that the encoder added at both ends
}

// readNotes finds the notes in the first frame, which begins b.
func readNotes(f mp3Frame, b []byte) (n mp3Notes) {
	const lame = 4 + 4 + 4 + 4 + 100 + 4 // up to LAME's part when all fields are there
	if len(b) < f.info+8 || !oneOf(b[f.info:f.info+4], "Xing", "Info") {
		return n
	}
	n.found = true
	b = b[f.info:]
	flags := binary.BigEndian.Uint32(b[4:])
	if flags&1 != 0 && len(b) >= 12 {
		n.frames = int64(binary.BigEndian.Uint32(b[8:]))
	}
	if flags&15 == 15 && len(b) >= lame+24 && b[lame] != 0 {
		v := int64(b[lame+21])<<16 | int64(b[lame+22])<<8 | int64(b[lame+23])
		n.delay, n.pad = v>>12, v&0xFFF
	}
	return n
}

// openMP3 reads a layer III stream. What encoder and decoder add at the
// beginning and, where the encoder wrote it down, at the end is taken off, so
// that time 0 is that of the sound that was encoded.
func openMP3(br *bufio.Reader) (*source, error) {
	head, _ := br.Peek(512)
	f, _ := parseMP3(head)
	if f.version != 3 && (f.version == 0 || f.rate == 0) {
		// The decoder knows no MPEG-2.5, and gets the length of padded MPEG-2
		// frames wrong, which only 22050 Hz has.
		return nil, &foreign{"an MP3 file of 8 to 12 or of 22.05 kHz", "mp3"}
	}
	notes := readNotes(f, head)
	dec, err := mp3.NewDecoder(struct{ io.Reader }{br}) // hides seeking, which would scan the file
	if err != nil {
		return nil, fmt.Errorf("damaged MP3 file: %w", err)
	}
	src := &source{format: "MP3", rate: dec.SampleRate(), channels: f.channels}
	drop := int64(decoderDelay)
	if notes.found {
		drop += int64(f.samples) + notes.delay
		src.promised = max(0, notes.frames*int64(f.samples)-notes.delay-notes.pad)
	}
	src.next = (&mp3Source{dec: dec, out: newPlanar(f.channels), drop: drop, left: src.promised}).next
	return src, nil
}

// mp3Source turns the decoder's 16-bit stereo into blocks.
type mp3Source struct {
	dec  io.Reader
	out  *planar
	buf  [blockFrames * 4]byte
	drop int64 // frames still to be dropped
	left int64 // frames still to come, 0 for unknown
	ends bool  // the last frame is handed out
}

func (m *mp3Source) next() ([][]float64, error) {
	if m.ends {
		return nil, io.EOF
	}
	n, err := io.ReadFull(m.dec, m.buf[:])
	if n < 4 {
		return nil, m.end(err)
	}
	b := m.buf[:n-n%4]
	skip := min(m.drop, int64(len(b)/4))
	m.drop -= skip
	b = b[4*skip:]
	if m.left > 0 {
		b = b[:min(int64(len(b)), 4*m.left)]
		m.left -= int64(len(b) / 4)
		m.ends = m.left == 0
	}
	block := m.out.sized(len(b) / 4)
	for ch := range block {
		pcm{channels: 2, bytes: 2}.decode(block[ch], b[2*ch:])
	}
	return block, nil
}

// end says what the decoder's end means. Where the length is known, the reader
// finds out by itself whether it was reached; anything that the decoder cannot
// go on from, such as a tag of another kind, is an end as well.
func (m *mp3Source) end(err error) error {
	var end error = io.EOF
	if !errors.Is(err, io.EOF) {
		end = io.ErrUnexpectedEOF
	}
	return end
}
