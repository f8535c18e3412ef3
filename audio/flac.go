package audio

import (
	"bufio"
	"errors"
	"fmt"
	"io"

	"github.com/mewkiz/flac"
)

// openFLAC reads a FLAC stream up to its first frame. The frames' own check
// sums are verified by the decoder.
func openFLAC(r *bufio.Reader) (*source, error) {
	s, err := flac.New(r)
	if err != nil {
		return nil, fmt.Errorf("damaged FLAC file: %w", err)
	}
	info := s.Info
	scale := 1 / float64(uint64(1)<<(max(info.BitsPerSample, 1)-1))
	src := &source{format: "FLAC", rate: int(info.SampleRate), channels: int(info.NChannels), promised: int64(info.NSamples)}
	out := newPlanar(src.channels)
	first := true
	src.next = func() ([][]float64, error) {
		f, err := s.ParseNext()
		if errors.Is(err, io.EOF) && !first {
			return nil, io.EOF
		}
		if err != nil {
			return nil, err
		}
		first = false
		if len(f.Subframes) != src.channels {
			return nil, fmt.Errorf("a frame has %d channels, the header says %d", len(f.Subframes), src.channels)
		}
		block := out.sized(int(f.BlockSize))
		for ch, sub := range f.Subframes {
			for i, v := range sub.Samples[:f.BlockSize] {
				block[ch][i] = float64(v) * scale
			}
		}
		return block, nil
	}
	return src, nil
}
