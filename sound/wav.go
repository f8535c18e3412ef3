package sound

import (
	"encoding/binary"
	"io"
	"math"
)

// A streamed file is mono PCM of 24 bits, as audio.WriteWAV writes it.
const (
	wavHead       = 44 // bytes before the samples
	wavFormat     = 16 // bytes of the format chunk
	wavPCM        = 1
	bytesOfSample = 3
	fullScale     = 1 << 23
)

// WAV is the Stream as the bytes of a WAV file, ready to be sent while it is
// made. It is the file that audio.WriteWAV makes of the rendered clip. A clip of
// more than 4 GB, some eight hours, has no room in one and gives a wrong head.
func (s *Stream) WAV() io.Reader { return &wavReader{stream: s, rest: s.head()} }

// WAVLen is the number of bytes that WAV gives.
func (s *Stream) WAVLen() int64 {
	size := int64(s.length) * bytesOfSample
	return wavHead + size + size%2
}

func (s *Stream) head() []byte {
	le := binary.LittleEndian
	size := uint32(s.length * bytesOfSample)
	b := le.AppendUint32([]byte("RIFF"), uint32(s.WAVLen()-8))
	b = le.AppendUint32(append(b, "WAVEfmt "...), wavFormat)
	b = le.AppendUint16(le.AppendUint16(b, wavPCM), 1)
	b = le.AppendUint32(b, uint32(s.o.Rate))
	b = le.AppendUint32(b, uint32(s.o.Rate*bytesOfSample))
	b = le.AppendUint16(le.AppendUint16(b, bytesOfSample), 8*bytesOfSample)
	return le.AppendUint32(append(b, "data"...), size)
}

type wavReader struct {
	stream  *Stream
	rest    []byte // made but not read
	samples [window]float64
	ended   bool
}

func (r *wavReader) Read(b []byte) (int, error) {
	for len(r.rest) == 0 {
		if r.ended {
			return 0, io.EOF
		}
		n, err := r.stream.Read(r.samples[:])
		r.rest = r.rest[:0]
		for _, v := range r.samples[:n] {
			i := int32(math.Round(max(-fullScale, min(v*fullScale, fullScale-1))))
			r.rest = append(r.rest, byte(i), byte(i>>8), byte(i>>16))
		}
		if err != nil {
			r.ended = true
			if r.stream.length*bytesOfSample%2 == 1 {
				r.rest = append(r.rest, 0)
			}
		}
	}
	n := copy(b, r.rest)
	r.rest = r.rest[n:]
	return n, nil
}
