package audio

import (
	"bufio"
	"encoding/binary"
	"fmt"
	"io"
	"math"
)

// writeBits is the sample size of written files. With 24 bits the rounding
// lies 144 dB below full scale, beneath any microphone or converter, so no
// dither is needed, silence stays silence, and the same clip always gives the
// same bytes; every browser and editor reads it (common practice). 16 bits
// would need dither and save a third.
const writeBits = 24

// WriteWAV writes the clip as 24-bit PCM. Samples beyond full scale are
// clipped. The error says which limit of the format or of a clip is broken, or
// is that of w.
func WriteWAV(w io.Writer, c *Clip) error {
	if err := checkShape(c.Rate, len(c.Channels)); err != nil {
		return err
	}
	for i, ch := range c.Channels {
		if len(ch) != c.Len() {
			return fmt.Errorf("channel %d has %d samples, channel 1 has %d; they must be equally long", i+1, len(ch), c.Len())
		}
	}
	frame := len(c.Channels) * writeBits / 8
	size := int64(c.Len()) * int64(frame)
	if size > math.MaxUint32-64 {
		return fmt.Errorf("%.0f s are too long for a WAV file, which ends at 4 GB", c.Seconds())
	}
	bw := bufio.NewWriterSize(w, 1<<16)
	bw.Write(wavHeader(c, frame, size))
	for i := range c.Len() {
		for _, ch := range c.Channels {
			v := pcm24(ch[i])
			bw.Write([]byte{byte(v), byte(v >> 8), byte(v >> 16)})
		}
	}
	if size%2 == 1 {
		bw.WriteByte(0)
	}
	return bw.Flush() // keeps the first error of the writes above
}

func wavHeader(c *Clip, frame int, size int64) []byte {
	le := binary.LittleEndian
	b := append([]byte("RIFF"), 0, 0, 0, 0)
	le.PutUint32(b[4:], uint32(4+8+formatSize+8+size+size%2))
	b = append(b, "WAVEfmt "...)
	b = le.AppendUint32(b, formatSize)
	b = le.AppendUint16(b, tagPCM)
	b = le.AppendUint16(b, uint16(len(c.Channels)))
	b = le.AppendUint32(b, uint32(c.Rate))
	b = le.AppendUint32(b, uint32(c.Rate*frame))
	b = le.AppendUint16(b, uint16(frame))
	b = le.AppendUint16(b, writeBits)
	b = append(b, "data"...)
	return le.AppendUint32(b, uint32(size))
}

// pcm24 rounds a sample to 24 bits; what is no number becomes 0.
func pcm24(v float64) int32 {
	const full = 1 << (writeBits - 1)
	if math.IsNaN(v) {
		return 0
	}
	return int32(math.Round(max(-full, min(v*full, full-1))))
}
