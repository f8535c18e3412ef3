package audio

import (
	"errors"
	"fmt"
	"io"

	"github.com/mewkiz/flac"
)

// readFLAC reads a FLAC stream. The frames' own check sums are verified by the
// decoder; a stream shorter than its header says is an error.
func readFLAC(r io.Reader) (*Clip, error) {
	s, err := flac.New(r)
	if err != nil {
		return nil, fmt.Errorf("damaged FLAC file: %w", err)
	}
	info := s.Info
	channels, scale := int(info.NChannels), 1/float64(uint64(1)<<(max(info.BitsPerSample, 1)-1))
	if err := checkShape(int(info.SampleRate), channels); err != nil {
		return nil, err
	}
	c := &Clip{Rate: int(info.SampleRate), Channels: make([][]float64, channels)}
	for {
		f, err := s.ParseNext()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, fmt.Errorf("damaged FLAC file: after %.3f s: %w", c.Seconds(), err)
		}
		if len(f.Subframes) != channels {
			return nil, fmt.Errorf("damaged FLAC file: after %.3f s a frame has %d channels, the header says %d", c.Seconds(), len(f.Subframes), channels)
		}
		for ch, sub := range f.Subframes {
			for _, v := range sub.Samples {
				c.Channels[ch] = append(c.Channels[ch], float64(v)*scale)
			}
		}
		if c.Len()*channels > maxSamples {
			return nil, errTooLong(c.Rate, channels)
		}
	}
	if c.Len() == 0 {
		return nil, errors.New("the FLAC file holds no sound")
	}
	if n := info.NSamples; n > 0 && uint64(c.Len()) < n {
		return nil, fmt.Errorf("the FLAC file is cut off: its header promises %.3f s and %.3f s are there",
			float64(n)/float64(c.Rate), c.Seconds())
	}
	return c, nil
}
