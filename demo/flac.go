package demo

import (
	"bytes"
	"math"

	"github.com/mewkiz/flac"
	"github.com/mewkiz/flac/frame"
	"github.com/mewkiz/flac/meta"
)

// How a recording is kept: 16 bits, as phones record. The noise of the room lies
// above the rounding, so that no dither is needed.
const (
	keptBits  = 16
	blockSize = 4096 // samples (common practice)
)

// FLAC is the recording as a file without loss beyond 16 bits.
func (s *Sung) FLAC() ([]byte, error) {
	x := s.Clip.Channels[0]
	var b bytes.Buffer
	enc, err := flac.NewEncoder(&b, &meta.StreamInfo{BlockSizeMin: blockSize, BlockSizeMax: blockSize,
		SampleRate: uint32(s.Clip.Rate), NChannels: 1, BitsPerSample: keptBits, NSamples: uint64(len(x))})
	if err != nil {
		return nil, err
	}
	enc.EnablePredictionAnalysis(true)
	for len(x) > 0 {
		n := min(blockSize, len(x))
		if err := enc.WriteFrame(block(x[:n], s.Clip.Rate)); err != nil {
			return nil, err
		}
		x = x[n:]
	}
	if err := enc.Close(); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

func block(x []float64, rate int) *frame.Frame {
	const full = 1 << (keptBits - 1)
	samples := make([]int32, len(x))
	for i, v := range x {
		samples[i] = int32(max(-full, min(math.Round(v*full), full-1)))
	}
	return &frame.Frame{
		Header:    frame.Header{HasFixedBlockSize: true, BlockSize: uint16(len(x)), SampleRate: uint32(rate), Channels: frame.ChannelsMono, BitsPerSample: keptBits},
		Subframes: []*frame.Subframe{{SubHeader: frame.SubHeader{Pred: frame.PredVerbatim}, Samples: samples, NSamples: len(samples)}},
	}
}
