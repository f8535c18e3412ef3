package audio

import (
	"bufio"
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"

	"github.com/thesyncim/gopus/container/ogg"
)

// noGranule marks a page on which no packet ends.
const noGranule = -1

// maxPacket bounds one packet in bytes: some headers carry a picture, sound
// needs far less (estimate).
const maxPacket = 16 << 20

// oggPage is one page of the stream that is read.
type oggPage struct {
	packets [][]byte // complete ones
	granule int64    // position at its end, noGranule for none
	last    bool
}

// oggReader reads the pages of the first stream in an Ogg file (RFC 3533),
// check sums verified; other streams are passed over.
type oggReader struct {
	r       io.Reader
	serial  uint32
	begun   bool
	partial []byte // packet that goes on on the next page
	buf     []byte
}

const (
	oggHeader = 27
	oggTable  = 26 // where the length of the segment table stands
)

// page reads the next page.
func (o *oggReader) page() (*oggPage, error) {
	for {
		p, err := o.raw()
		if err != nil {
			return nil, err
		}
		if !o.begun {
			o.begun, o.serial = true, p.SerialNumber
		}
		if p.SerialNumber == o.serial {
			return o.split(p)
		}
	}
}

// raw reads a page of any stream.
func (o *oggReader) raw() (*ogg.Page, error) {
	o.buf = append(o.buf[:0], make([]byte, oggHeader)...)
	if _, err := io.ReadFull(o.r, o.buf); err != nil {
		return nil, err
	}
	if !bytes.HasPrefix(o.buf, []byte("OggS")) {
		return nil, errors.New("a page does not begin where it should")
	}
	table := make([]byte, o.buf[oggTable])
	if _, err := io.ReadFull(o.r, table); err != nil {
		return nil, cut(err)
	}
	size := 0
	for _, s := range table {
		size += int(s)
	}
	body := make([]byte, size)
	if _, err := io.ReadFull(o.r, body); err != nil {
		return nil, cut(err)
	}
	o.buf = append(append(o.buf, table...), body...)
	p, _, err := ogg.ParsePage(o.buf)
	return p, err
}

// cut turns an end inside something into io.ErrUnexpectedEOF.
func cut(err error) error {
	if errors.Is(err, io.EOF) {
		return io.ErrUnexpectedEOF
	}
	return err
}

// split takes a page's packets apart.
func (o *oggReader) split(p *ogg.Page) (*oggPage, error) {
	out := &oggPage{granule: int64(p.GranulePos), last: p.IsEOS()}
	if !p.IsContinuation() {
		o.partial = nil
	}
	at := 0
	for _, s := range p.Segments {
		o.partial = append(o.partial, p.Payload[at:at+int(s)]...)
		at += int(s)
		if len(o.partial) > maxPacket {
			return nil, fmt.Errorf("a packet is larger than %d MB", maxPacket>>20)
		}
		if s < 255 {
			out.packets = append(out.packets, o.partial)
			o.partial = nil
		}
	}
	return out, nil
}

// headers reads n header packets, which fill whole pages.
func (o *oggReader) headers(n int) ([][]byte, error) {
	var out [][]byte
	for len(out) < n {
		p, err := o.page()
		if err != nil {
			return nil, err
		}
		out = append(out, p.packets...)
	}
	return out, nil
}

// openOgg finds out what an Ogg file carries and opens it.
func openOgg(br *bufio.Reader) (*source, error) {
	o := &oggReader{r: br}
	first, err := o.headers(1)
	if err != nil {
		return nil, fmt.Errorf("damaged Ogg file: %w", err)
	}
	var src *source
	switch head := first[0]; {
	case bytes.HasPrefix(head, []byte("OpusHead")):
		src, err = openOggOpus(o, head)
	case bytes.HasPrefix(head, []byte("\x01vorbis")):
		src, err = openOggVorbis(o, head)
	default:
		return nil, &foreign{"an Ogg file with neither Vorbis nor Opus in it", "ogg"}
	}
	if err != nil {
		return nil, fmt.Errorf("damaged Ogg file: %w", err)
	}
	return src, nil
}

// packetDecoder decodes one packet of sound to interleaved samples, valid until
// the next call.
type packetDecoder func(packet []byte) ([]float32, error)

// oggSource turns the pages of sound into blocks of the length that their
// positions say.
type oggSource struct {
	o      *oggReader
	decode packetDecoder
	out    *planar
	gain   float64
	skip   int   // frames to drop at the beginning
	pos    int64 // position after what is decoded so far
	begun  bool  // a position was seen
	ends   bool
	buf    []float32
}

func (s *oggSource) next() ([][]float64, error) {
	if s.ends {
		return nil, io.EOF
	}
	p, err := s.o.page()
	if err != nil {
		return nil, cut(err) // the last page says that it is the last
	}
	channels := len(s.out.block)
	s.buf = s.buf[:0]
	for _, packet := range p.packets {
		x, err := s.decode(packet)
		if err != nil {
			return nil, err
		}
		s.buf = append(s.buf, x...)
	}
	s.ends = p.last
	n := s.trim(p, len(s.buf)/channels)
	drop := min(s.skip, n)
	s.skip -= drop
	return reordered(s.out.of(s.buf[drop*channels:n*channels], s.gain)), nil
}

// trim is how many of n frames the page's position leaves. A first page that
// holds more than its position begins before time 0 (Vorbis I specification,
// appendix A.2); a last one ends after the end (RFC 7845, section 4.4).
func (s *oggSource) trim(p *oggPage, n int) int {
	s.pos += int64(n)
	if p.granule == noGranule {
		return n
	}
	over := s.pos - p.granule
	switch {
	case p.last && over > 0:
		n -= int(min(over, int64(n)))
	case !s.begun && over > 0:
		s.skip += int(min(over, int64(n)))
	}
	s.begun, s.pos = true, p.granule
	return n
}

// le32 is the 32-bit number at the beginning of b.
func le32(b []byte) uint32 { return binary.LittleEndian.Uint32(b) }
