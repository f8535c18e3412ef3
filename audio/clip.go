// Package audio reads and writes recordings, resamples them and measures them
// as recordings: level, loudness, noise, clipping. It knows nothing of music.
//
// Sources: WAV after the RIFF and WAVE_FORMAT_EXTENSIBLE descriptions
// (Microsoft, "Multiple channel audio data and WAVE files", 2001); FLAC after
// RFC 9639 through github.com/mewkiz/flac; loudness after ITU-R BS.1770-4
// (2015).
//
// Samples are float64, full scale being -1 to +1. A damaged recording gives an
// error and no clip; memory grows with the bytes that are there, never with a
// size that a header claims.
package audio

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
)

// Clip is a recording. All channels have the same length.
type Clip struct {
	Rate     int         // samples a second
	Channels [][]float64 // -1 to +1 each, in file order
}

// Limits of what Decode accepts.
const (
	minRate, maxRate = 4_000, 384_000 // Hz: telephone halved, studio doubled (estimate)
	maxChannels      = 16             // more is no recording of one player (estimate)

	// maxSamples bounds the samples of all channels together: 25 minutes of
	// stereo at 48 kHz, 1.2 GB in memory (estimate).
	maxSamples = 150_000_000
)

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
	out := make([]float64, c.Len())
	for _, ch := range c.Channels {
		for i, v := range ch {
			out[i] += v
		}
	}
	for i := range out {
		out[i] /= float64(len(c.Channels))
	}
	return out
}

// Open decodes a file.
func Open(path string) (*Clip, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return Decode(path, f)
}

// otherFormats are the first bytes of formats that people send and that we
// cannot read, so that the error can name them.
var otherFormats = []struct {
	at    int
	magic string
	name  string
}{
	{0, "RF64", "an RF64 (64-bit WAV) file"},
	{8, "AIFF", "an AIFF file"},
	{8, "AIFC", "an AIFF file"},
	{0, "OggS", "an Ogg file"},
	{0, "ID3", "an MP3 file"},
	{0, "\xff\xfb", "an MP3 file"},
	{0, "\xff\xf3", "an MP3 file"},
	{4, "ftyp", "an M4A or MP4 file"},
	{0, "\x1aE\xdf\xa3", "a WebM or Matroska file"},
	{0, "caff", "a CAF file"},
	{0, "<?xml", "an XML file, not a recording"},
	{0, "MThd", "a MIDI file, not a recording"},
}

// Decode reads a recording, WAV or FLAC by its first bytes; name is used in
// errors only.
func Decode(name string, r io.Reader) (*Clip, error) {
	br := bufio.NewReaderSize(r, 1<<16)
	head, err := br.Peek(12)
	if err != nil && !errors.Is(err, io.EOF) {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	var c *Clip
	switch {
	case len(head) == 12 && string(head[:4]) == "RIFF" && string(head[8:]) == "WAVE":
		c, err = readWAV(br)
	case bytes.HasPrefix(head, []byte("fLaC")):
		c, err = readFLAC(br)
	default:
		err = unknownFormat(head)
	}
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return c, nil
}

func unknownFormat(head []byte) error {
	if len(head) == 0 {
		return errors.New("the file is empty; send a WAV or FLAC recording")
	}
	what := "a format that is not known here"
	for _, f := range otherFormats {
		if len(head) >= f.at && bytes.HasPrefix(head[f.at:], []byte(f.magic)) {
			what = f.name
			break
		}
	}
	return fmt.Errorf("this is %s; WAV and FLAC can be read, so save or convert the recording as one of these", what)
}

// checkShape says whether rate and channel count are those of a recording.
func checkShape(rate, channels int) error {
	if rate < minRate || rate > maxRate {
		return fmt.Errorf("sample rate %d Hz is outside %d to %d Hz; 44100 or 48000 works", rate, minRate, maxRate)
	}
	if channels < 1 || channels > maxChannels {
		return fmt.Errorf("%d channels; 1 to %d can be read", channels, maxChannels)
	}
	return nil
}

// errTooLong is what a recording above maxSamples gives.
func errTooLong(rate, channels int) error {
	return fmt.Errorf("the recording is longer than %d minutes; cut it to the excerpt",
		maxSamples/channels/rate/60)
}
