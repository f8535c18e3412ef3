package audio

import (
	"errors"

	"github.com/jfreymuth/vorbis"
)

// noComments stands in for a file's comments, which are of no use here and
// whose claimed number the decoder would believe.
const noComments = "\x03vorbis\x00\x00\x00\x00\x00\x00\x00\x00\x01"

// setupHeader begins the third header.
const setupHeader = "\x05vorbis"

func openOggVorbis(o *oggReader, head []byte) (*source, error) {
	rest, err := o.headers(2) // comments and setup
	if err != nil {
		return nil, err
	}
	if err := checkVorbis(head, rest[1]); err != nil {
		return nil, err
	}
	dec := new(vorbis.Decoder)
	for _, h := range [][]byte{head, []byte(noComments), rest[1]} {
		if err := readVorbisHeader(dec, h); err != nil {
			return nil, err
		}
	}
	buf := make([]float32, dec.BufferSize())
	decode := func(packet []byte) ([]float32, error) {
		if len(packet) == 0 || packet[0]&1 != 0 {
			return nil, nil // headers again, or nothing: no sound
		}
		return dec.DecodeInto(packet, buf)
	}
	out := &oggSource{o: o, decode: decode, out: newPlanar(dec.Channels()), gain: 1}
	return &source{format: "Ogg Vorbis", rate: dec.SampleRate(), channels: dec.Channels(), wild: true, next: out.next}, nil
}

// readVorbisHeader hands a header to the decoder, which panics on some bad
// ones.
func readVorbisHeader(dec *vorbis.Decoder, h []byte) (err error) {
	defer func() {
		if recover() != nil {
			err = errors.New("its Vorbis header makes no sense")
		}
	}()
	return dec.ReadHeader(h)
}
