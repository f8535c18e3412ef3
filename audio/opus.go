package audio

import (
	"fmt"
	"math"

	"github.com/thesyncim/gopus"
	"github.com/thesyncim/gopus/container/ogg"
)

const (
	opusRate = 48000   // Hz: what Opus decodes to, whatever went in
	opusLong = 5760    // samples: the longest packet, 120 ms (RFC 6716, section 2.1.4)
	opusMax  = 1 << 16 // bytes of a packet: above any that the format allows
)

// opusStream is a decoder with what its header says.
type opusStream struct {
	channels int
	skip     int     // frames to drop at the beginning
	gain     float64 // factor
	decode   packetDecoder
}

// newOpus makes a decoder for an "OpusHead" (RFC 7845, section 5.1).
func newOpus(head []byte) (*opusStream, error) {
	h, err := ogg.ParseOpusHead(head)
	if err != nil {
		return nil, err
	}
	if err := checkShape(opusRate, int(h.Channels)); err != nil {
		return nil, err
	}
	const q8 = 256 // the gain is in 256ths of a dB
	s := &opusStream{channels: int(h.Channels), skip: int(h.PreSkip), gain: math.Pow(10, float64(h.OutputGain)/q8/20)}
	dec, err := opusDecoder(h)
	if err != nil {
		return nil, err
	}
	pcm := make([]float32, opusLong*s.channels)
	s.decode = func(packet []byte) ([]float32, error) {
		n, err := dec.Decode(packet, pcm)
		if err != nil {
			return nil, err
		}
		return pcm[:n*s.channels], nil
	}
	return s, nil
}

// opusDecoder is the decoder for one stream, or for several in one.
func opusDecoder(h *ogg.OpusHead) (interface {
	Decode([]byte, []float32) (int, error)
}, error) {
	switch h.MappingFamily {
	case 0:
		return gopus.NewDecoder(gopus.DecoderConfig{SampleRate: opusRate, Channels: int(h.Channels), MaxPacketSamples: opusLong, MaxPacketBytes: opusMax})
	case 1:
		return gopus.NewMultistreamDecoder(opusRate, int(h.Channels), int(h.StreamCount), int(h.CoupledCount), h.ChannelMapping)
	}
	return nil, fmt.Errorf("channels of mapping family %d cannot be read; 0 (mono, stereo) and 1 (surround) can", h.MappingFamily)
}

func openOggOpus(o *oggReader, head []byte) (*source, error) {
	s, err := newOpus(head)
	if err != nil {
		return nil, err
	}
	if _, err := o.headers(1); err != nil { // the tags
		return nil, err
	}
	out := &oggSource{o: o, decode: s.decode, out: newPlanar(s.channels), gain: s.gain, skip: s.skip}
	// Positions count from before the frames to be skipped, and may begin
	// anywhere: only the last page is cut by its position.
	out.begun = true
	return &source{format: "Ogg Opus", rate: opusRate, channels: s.channels, wild: true, next: out.next}, nil
}
