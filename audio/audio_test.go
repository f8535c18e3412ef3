package audio

import (
	"bytes"
	"encoding/binary"
	"io"
	"math"
	"path/filepath"
	"strings"
	"testing"

	"github.com/mewkiz/flac"
	"github.com/mewkiz/flac/frame"
	"github.com/mewkiz/flac/meta"
)

// sine is a clip with the same sine in each channel.
func sine(rate, channels int, hz, amplitude, seconds float64) *Clip {
	x := make([]float64, int(seconds*float64(rate)))
	for i := range x {
		x[i] = amplitude * math.Sin(2*math.Pi*hz*float64(i)/float64(rate))
	}
	c := &Clip{Rate: rate}
	for range channels {
		c.Channels = append(c.Channels, x)
	}
	return c
}

// wav builds a WAVE file by hand: tag, bits and raw little-endian data.
func wav(tag, channels, rate, bits int, data []byte) []byte {
	le := binary.LittleEndian
	b := append([]byte("RIFF"), 0, 0, 0, 0)
	b = append(b, "WAVEfmt "...)
	b = le.AppendUint32(b, 16)
	b = le.AppendUint16(b, uint16(tag))
	b = le.AppendUint16(b, uint16(channels))
	b = le.AppendUint32(b, uint32(rate))
	b = le.AppendUint32(b, uint32(rate*channels*bits/8))
	b = le.AppendUint16(b, uint16(channels*bits/8))
	b = le.AppendUint16(b, uint16(bits))
	b = append(b, "data"...)
	b = le.AppendUint32(b, uint32(len(data)))
	b = append(b, data...)
	le.PutUint32(b[4:], uint32(len(b)-8))
	return b
}

func TestEachSampleFormatReadsItsValues(t *testing.T) {
	le := binary.LittleEndian
	f32 := func(v float32) []byte { return le.AppendUint32(nil, math.Float32bits(v)) }
	f64 := func(v float64) []byte { return le.AppendUint64(nil, math.Float64bits(v)) }
	cases := []struct {
		name      string
		tag, bits int
		data      []byte
		want      []float64
	}{
		{"8-bit is unsigned", 1, 8, []byte{0, 128, 192}, []float64{-1, 0, 0.5}},
		{"16-bit", 1, 16, []byte{0, 0x80, 0, 0, 0, 0x40}, []float64{-1, 0, 0.5}},
		{"24-bit", 1, 24, []byte{0, 0, 0x80, 1, 0, 0, 0, 0, 0x40}, []float64{-1, 1.0 / (1 << 23), 0.5}},
		{"32-bit", 1, 32, []byte{0, 0, 0, 0x80, 0, 0, 0, 0x40}, []float64{-1, 0.5}},
		{"float 32", 3, 32, append(f32(-0.25), f32(1.5)...), []float64{-0.25, 1.5}},
		{"float 64", 3, 64, append(f64(-0.125), f64(0.1)...), []float64{-0.125, 0.1}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			clip, err := Decode("x", bytes.NewReader(wav(c.tag, 1, 8000, c.bits, c.data)))
			if err != nil {
				t.Fatal(err)
			}
			if len(clip.Channels[0]) != len(c.want) {
				t.Fatalf("%d samples, want %d", clip.Len(), len(c.want))
			}
			for i, v := range c.want {
				if clip.Channels[0][i] != v {
					t.Errorf("sample %d is %g, want %g", i, clip.Channels[0][i], v)
				}
			}
		})
	}
}

func TestExtensibleFormatIsRead(t *testing.T) {
	plain := wav(1, 2, 44100, 16, []byte{0, 0x40, 0, 0x20})
	le := binary.LittleEndian
	ext := append([]byte{}, plain[:12]...)
	ext = append(ext, "LIST\x03\x00\x00\x00abc\x00"...) // an odd part in front, with its pad byte
	ext = append(ext, "fmt "...)
	ext = le.AppendUint32(ext, 40)
	ext = append(ext, plain[20:36]...)
	le.PutUint16(ext[len(ext)-16:], 0xFFFE)
	ext = append(ext, 22, 0, 16, 0, 3, 0, 0, 0)
	ext = append(ext, "\x01\x00\x00\x00\x00\x00\x10\x00\x80\x00\x00\xaa\x00\x38\x9b\x71"...)
	ext = append(ext, plain[36:]...)
	c, err := Decode("x", bytes.NewReader(ext))
	if err != nil {
		t.Fatal(err)
	}
	if c.Rate != 44100 || c.Channels[0][0] != 0.5 || c.Channels[1][0] != 0.25 {
		t.Errorf("got %+v", c)
	}
}

func TestDamagedFilesAreRefusedByName(t *testing.T) {
	withoutFFmpeg(t)
	good := wav(1, 1, 8000, 16, make([]byte, 16000))
	edit := func(at int, v ...byte) []byte {
		b := bytes.Clone(good)
		copy(b[at:], v)
		return b
	}
	cases := []struct {
		name string
		data []byte
		want string // in the error
	}{
		{"empty", nil, "empty"},
		{"cut before the sound", good[:44], "cut off before any sound"},
		{"format of 4 GB", edit(16, 0xff, 0xff, 0xff, 0xff), "format part claims"},
		{"no data", good[:36], "without any sound data"},
		{"no samples", wav(1, 1, 8000, 16, nil), "no sound"},
		{"header cut", good[:40], "inside a part's header"},
		{"data first", append(bytes.Clone(good[:12]), good[36:]...), "before its format"},
		{"rate 0", edit(24, 0, 0, 0, 0), "sample rate 0"},
		{"no channel", edit(22, 0), "0 channels"},
		{"12 bits", edit(34, 12), "12-bit"},
		{"wrong alignment", edit(32, 7), "claims 7 bytes"},
		{"compressed", edit(20, 0x11), "0x11"},
		{"not a number", wav(3, 1, 8000, 32, []byte{0, 0, 0xc0, 0x7f}), "no sample"},
		{"MP3", []byte("ID3\x04 and so on, a long file"), "MP3"},
		{"M4A", []byte("\x00\x00\x00 ftypM4A and so on"), "M4A"},
		{"Ogg", []byte("OggS and so on, more"), "Ogg"},
		{"AIFF", []byte("FORM\x00\x00\x00\x00AIFFCOMM"), "AIFF"},
		{"MIDI", []byte("MThd and so on, more"), "MIDI file, not a recording"},
		{"text", []byte("hello, this is no sound"), "WAV, AIFF, FLAC"},
		{"FLAC header only", []byte("fLaC\x00\x00\x00\x22"), "damaged FLAC"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			clip, err := Decode("take.wav", bytes.NewReader(c.data))
			if err == nil || clip != nil {
				t.Fatalf("was read: %d samples", clip.Len())
			}
			if !strings.Contains(err.Error(), c.want) || !strings.HasPrefix(err.Error(), "take.wav: ") {
				t.Errorf("error %q, want the file's name and %q", err, c.want)
			}
		})
	}
}

func TestStreamedSizeReadsToTheEnd(t *testing.T) {
	b := wav(1, 1, 8000, 16, make([]byte, 1000))
	copy(b[40:], "\xff\xff\xff\xff")
	c, err := Decode("x", bytes.NewReader(b))
	if err != nil || c.Len() != 500 {
		t.Errorf("%v, %v; want 500 samples", c, err)
	}
}

func TestWriteThenReadIsTheSameTo24Bits(t *testing.T) {
	in := &Clip{Rate: 44100, Channels: [][]float64{{0, 0.1, -1, 1, 2, math.NaN(), 0.5}, {0.3, -0.3, 0, 0, 0, 0, 1e-9}}}
	want := [][]float64{{0, 0.1, -1, 1, 1, 0, 0.5}, {0.3, -0.3, 0, 0, 0, 0, 0}}
	var buf bytes.Buffer
	if err := WriteWAV(&buf, in); err != nil {
		t.Fatal(err)
	}
	out, err := Decode("x", &buf)
	if err != nil {
		t.Fatal(err)
	}
	for ch := range want {
		for i, v := range want[ch] {
			if math.Abs(out.Channels[ch][i]-v) > 1.0/(1<<23) {
				t.Errorf("channel %d sample %d: %g, want %g", ch, i, out.Channels[ch][i], v)
			}
		}
	}
}

func TestWriteRefusesUnevenChannelsAndPassesWriteErrors(t *testing.T) {
	if err := WriteWAV(io.Discard, &Clip{Rate: 8000, Channels: [][]float64{{1, 2}, {1}}}); err == nil {
		t.Error("uneven channels were written")
	}
	if err := WriteWAV(io.Discard, &Clip{Rate: 0, Channels: [][]float64{{1}}}); err == nil {
		t.Error("rate 0 was written")
	}
	r, w := io.Pipe()
	r.Close()
	if err := WriteWAV(w, sine(8000, 1, 440, 0.5, 20)); err == nil {
		t.Error("a failed write gave no error")
	}
}

// flacOf writes samples of 16 bits with the reference-checked encoder of
// mewkiz/flac; promised is the length in its header.
func flacOf(t *testing.T, samples []int32, promised uint64) []byte {
	t.Helper()
	var buf bytes.Buffer
	enc, err := flac.NewEncoder(&buf, &meta.StreamInfo{BlockSizeMin: 4096, BlockSizeMax: 4096, SampleRate: 44100, NChannels: 1, BitsPerSample: 16, NSamples: promised})
	if err != nil {
		t.Fatal(err)
	}
	for len(samples) > 0 {
		n := min(4096, len(samples))
		f := &frame.Frame{Header: frame.Header{BlockSize: uint16(n), SampleRate: 44100, Channels: frame.ChannelsMono, BitsPerSample: 16},
			Subframes: []*frame.Subframe{{SubHeader: frame.SubHeader{Pred: frame.PredVerbatim}, Samples: samples[:n], NSamples: n}}}
		if err := enc.WriteFrame(f); err != nil {
			t.Fatal(err)
		}
		samples = samples[n:]
	}
	if err := enc.Close(); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

func TestFLACIsExactAndItsTruncationIsSaid(t *testing.T) {
	samples := make([]int32, 3*4096)
	for i := range samples {
		samples[i] = int32(i*7919%65536 - 32768)
	}
	b := flacOf(t, samples, uint64(len(samples)))
	c, err := Decode("x", bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	for i, v := range samples {
		if c.Channels[0][i] != float64(v)/32768 {
			t.Fatalf("sample %d is %g, want %d/32768", i, c.Channels[0][i], v)
		}
	}
	between := flacOf(t, samples[:4096], uint64(len(samples)))
	c, err = Decode("x", bytes.NewReader(between))
	if err != nil || c.Len() != 4096 || len(c.Notices) != 1 {
		t.Errorf("a file cut between two frames: %v, want its first frame and a notice", err)
	}
	for _, cut := range []int{len(b) / 2, len(b) - 3, 42 + (len(b)-42)/3} {
		c, err := Decode("x", bytes.NewReader(b[:cut]))
		if err != nil || c.Len()%4096 != 0 || len(c.Notices) != 1 {
			t.Errorf("%d of %d bytes: %v, want whole frames and a notice", cut, len(b), err)
		}
	}
	broken := bytes.Clone(b)
	broken[len(b)/2] ^= 1
	if _, err := Decode("x", bytes.NewReader(broken)); err == nil || !strings.Contains(err.Error(), "damaged FLAC file: after") {
		t.Errorf("a wrong bit: %v, want the place of the damage", err)
	}
}

func TestACutFileGivesWhatIsThereAndSaysSo(t *testing.T) {
	good := wav(1, 1, 8000, 16, make([]byte, 16000))
	huge := bytes.Clone(good)
	copy(huge[40:], "\xfe\xff\xff\xff")
	for name, c := range map[string]struct {
		data    []byte
		samples int
		want    string
	}{
		"half":         {good[:44+8000], 4000, "promises 1.000 s and 0.500 s are there"},
		"half a frame": {good[:44+8001], 4000, "promises 1.000 s and 0.500 s are there"},
		"size of 4 GB": {huge, 8000, "1.000 s are there"},
	} {
		clip, err := Decode("x", bytes.NewReader(c.data))
		if err != nil {
			t.Fatal(err)
		}
		if clip.Len() != c.samples || len(clip.Notices) != 1 || !strings.Contains(clip.Notices[0], c.want) {
			t.Errorf("%s: %d samples with %q, want %d with %q", name, clip.Len(), clip.Notices, c.samples, c.want)
		}
	}
}

func TestAFewBadSamplesBecomeSilenceAndAreSaid(t *testing.T) {
	data := make([]byte, 4*1000)
	for i := range 1000 {
		binary.LittleEndian.PutUint32(data[4*i:], math.Float32bits(0.5))
	}
	for i, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1e9} {
		binary.LittleEndian.PutUint32(data[400*i:], math.Float32bits(float32(bad)))
	}
	c, err := Decode("x", bytes.NewReader(wav(3, 1, 8000, 32, data)))
	if err != nil {
		t.Fatal(err)
	}
	if c.Channels[0][0] != 0 || c.Channels[0][1] != 0.5 || c.Channels[0][300] != 0 || len(c.Notices) != 1 || !strings.Contains(c.Notices[0], "4 values") {
		t.Errorf("notices %q, want 4 values named and silent", c.Notices)
	}
}

func TestLongWAVIsRead(t *testing.T) {
	le := binary.LittleEndian
	plain := wav(1, 1, 8000, 16, []byte{0, 0x40, 0, 0x20, 0, 0x10})
	b := append([]byte("RF64\xff\xff\xff\xffWAVEds64"), 28, 0, 0, 0)
	b = le.AppendUint64(b, 0)
	b = le.AppendUint64(b, 4) // two of the three samples
	b = append(b, make([]byte, 12)...)
	b = append(b, plain[12:40]...)
	b = append(append(b, "\xff\xff\xff\xff"...), plain[44:]...)
	c, err := Decode("x", bytes.NewReader(b))
	if err != nil || c.Len() != 2 || c.Channels[0][1] != 0.25 {
		t.Errorf("%v, want the two samples that the ds64 part speaks of", err)
	}
}

func TestAFileOfMoreThanADayEnds(t *testing.T) {
	block := [][]float64{make([]float64, 1_000_000)}
	r := &Reader{name: "x", src: &source{format: "WAV", rate: 4000, channels: 1, next: func() ([][]float64, error) { return block, nil }}}
	frames, err := 0, error(nil)
	for err == nil {
		var b [][]float64
		if b, err = r.Next(); err == nil {
			frames += len(b[0])
		}
	}
	if !strings.Contains(err.Error(), "24 hours") || frames > 24*3600*4000 || frames < 23*3600*4000 {
		t.Errorf("after %d frames: %v", frames, err)
	}
}

func TestWhatIsReadCanBeWrittenAndReadAgain(t *testing.T) {
	for _, g := range glides {
		c, err := Open(filepath.Join("testdata", g.file))
		if err != nil {
			t.Fatal(err)
		}
		var buf bytes.Buffer
		if err := WriteWAV(&buf, c); err != nil {
			t.Fatal(err)
		}
		again, err := Decode("x", &buf)
		if err != nil || again.Len() != c.Len() || again.Rate != c.Rate || len(again.Channels) != len(c.Channels) {
			t.Errorf("%s: written and read again: %v", g.file, err)
		}
	}
}
