// Package audio reads and writes recordings, resamples them and measures them
// as recordings: level, loudness, noise, hum, clipping. It knows nothing of
// music.
//
// Sources: WAV after the RIFF and WAVE_FORMAT_EXTENSIBLE descriptions
// (Microsoft, "Multiple channel audio data and WAVE files", 2001) and ITU-R
// BS.2088 (RF64, BW64); AIFF after Apple, "Audio Interchange File Format",
// version 1.3 (1989) and AIFF-C (1991); FLAC after RFC 9639, Ogg after RFC
// 3533, Opus after RFC 6716 and RFC 7845, WebM after RFC 8794 and RFC 9559;
// loudness after ITU-R BS.1770-4 (2015) and EBU R 128 with its Tech 3341 and
// Tech 3342.
//
// Samples are float64, full scale being -1 to +1. Files are told apart by what
// is in them, never by their names, and are never changed. Memory grows with
// the bytes that are there, never with a size that a header claims. A damaged
// recording gives an error and no clip; one that merely ends early gives what
// is there, and a notice that says so.
package audio

import (
	"errors"
	"fmt"
	"io"
)

// Clip is a recording in memory. All channels have the same length.
type Clip struct {
	Rate     int         // samples a second
	Channels [][]float64 // -1 to +1 each, in file order
	Notices  []string    // what the reader had to pass over, in sentences; nil for none
}

// maxSamples bounds the samples of all channels of a Clip together: 25 minutes
// of stereo at 48 kHz, 1.2 GB in memory (estimate). A Reader has no such bound.
const maxSamples = 150_000_000

// Len is the number of samples in each channel.
func (c *Clip) Len() int {
	if len(c.Channels) == 0 {
		return 0
	}
	return len(c.Channels[0])
}

// Seconds is the length of the clip.
func (c *Clip) Seconds() float64 {
	if c.Rate <= 0 {
		return 0
	}
	return float64(c.Len()) / float64(c.Rate)
}

// Mono is the mean of the channels. A clip of one channel hands out that
// channel itself, not a copy.
func (c *Clip) Mono() []float64 {
	if len(c.Channels) == 1 {
		return c.Channels[0]
	}
	return mixDown(c.Channels, make([]float64, c.Len()))
}

// mixDown writes the mean of the channels into out, which has their length.
func mixDown(channels [][]float64, out []float64) []float64 {
	clear(out)
	for _, ch := range channels {
		ch = ch[:len(out)]
		for i := range out {
			out[i] += ch[i]
		}
	}
	share := 1 / float64(len(channels))
	for i := range out {
		out[i] *= share
	}
	return out
}

// Open decodes a file into memory; see [OpenReader] for long ones.
func Open(path string) (*Clip, error) {
	r, err := OpenReader(path)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	return r.clip()
}

// Decode reads a recording into memory; name is used in errors only. See
// [NewReader] for what can be read.
func Decode(name string, r io.Reader) (*Clip, error) {
	rd, err := NewReader(name, r)
	if err != nil {
		return nil, err
	}
	defer rd.Close()
	return rd.clip()
}

// clip collects all blocks.
func (r *Reader) clip() (*Clip, error) {
	c := &Clip{Rate: r.Rate(), Channels: make([][]float64, r.Channels())}
	for {
		block, err := r.Next()
		if errors.Is(err, io.EOF) {
			c.Notices = r.Notices()
			return c, nil
		}
		if err != nil {
			return nil, err
		}
		for ch, x := range block {
			c.Channels[ch] = append(c.Channels[ch], x...)
		}
		if c.Len()*len(c.Channels) > maxSamples {
			return nil, fmt.Errorf("%s: the recording is longer than %d minutes; cut it to the excerpt",
				r.name, maxSamples/len(c.Channels)/c.Rate/60)
		}
	}
}
