package audio

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
)

// foreign is the error for a recording that only an outside program decodes.
type foreign struct {
	what    string // as "an M4A or MP4 file"
	demuxer string // ffmpeg's name of the container, so that contents choose nothing
}

func (f *foreign) Error() string { return "this is " + f.what }

// otherFormats are the first bytes of formats that people send and that are
// not decoded here. Without a demuxer they are no recordings.
var otherFormats = []struct {
	at      int
	magic   string
	what    string
	demuxer string
}{
	{4, "ftyp", "an M4A, MP4 or MOV file", "mov"},
	{4, "moov", "a MOV file", "mov"},
	{4, "wide", "a MOV file", "mov"},
	{4, "mdat", "a MOV file", "mov"},
	{0, "caff", "a CAF file", "caf"},
	{0, "#!AMR", "an AMR file", "amr"},
	{0, "\x30\x26\xb2\x75\x8e\x66\xcf\x11", "a WMA file", "asf"},
	{0, "wvpk", "a WavPack file", "wv"},
	{0, "MAC ", "an APE file", "ape"},
	{0, ".snd", "an AU file", "au"},
	{0, "\xff\xf1", "an AAC file", "aac"},
	{0, "\xff\xf9", "an AAC file", "aac"},
	{0, "\xff\xfd", "an MPEG layer II file", "mp3"},
	{0, "riff\x2e\x91\xcf\x11", "a Wave64 file", "w64"},
	{8, "AVI ", "an AVI file", "avi"},
	{0, "<?xml", "an XML file, not a recording", ""},
	{0, "<score", "an XML file, not a recording", ""},
	{0, "MThd", "a MIDI file, not a recording", ""},
	{0, "PK\x03\x04", "a ZIP archive, not a recording", ""},
	{0, "%PDF", "a PDF file, not a recording", ""},
	{0, "\x89PNG", "a picture, not a recording", ""},
	{0, "\xff\xd8\xff", "a picture, not a recording", ""},
}

// openSource recognises a recording by its first bytes and begins to decode
// it. path is that of the file behind r, or "" for a stream.
func openSource(r io.Reader, path string) (*source, error) {
	in := &input{r: r, path: path}
	in.start, in.seeks = position(r)
	in.br = bufio.NewReaderSize(&in.counted, 1<<16)
	in.counted.r = r
	src, err := sniff(in.br)
	var f *foreign
	if errors.As(err, &f) {
		return throughFFmpeg(f, in)
	}
	return src, err
}

// readable names what works, for errors: what is decoded here, and of [otherFormats]
// what phones and recorders make.
const readable = "WAV, AIFF, FLAC, MP3, Ogg Vorbis, Opus and WebM can be read, and M4A, MP4, MOV, AAC, CAF, AMR and WMA with the program ffmpeg"

func sniff(br *bufio.Reader) (*source, error) {
	head, err := br.Peek(12)
	if err != nil && !errors.Is(err, io.EOF) {
		return nil, err
	}
	long := len(head) == 12
	switch {
	case len(head) == 0:
		return nil, errors.New("the file is empty; " + readable)
	case long && oneOf(head[:4], "RIFF", "RF64", "BW64") && string(head[8:]) == "WAVE":
		return openWAV(br)
	case long && string(head[:4]) == "FORM" && oneOf(head[8:], "AIFF", "AIFC"):
		return openAIFF(br)
	case bytes.HasPrefix(head, []byte("fLaC")):
		return openFLAC(br)
	case bytes.HasPrefix(head, []byte("OggS")):
		return openOgg(br)
	case bytes.HasPrefix(head, []byte("\x1aE\xdf\xa3")):
		return openWebM(br)
	case long && string(head[:3]) == "ID3":
		if err := skipID3(br); err != nil {
			return nil, err
		}
		return sniff(br)
	case isMP3(head):
		return openMP3(br)
	}
	return nil, unknownFormat(head)
}

func oneOf(b []byte, names ...string) bool {
	for _, n := range names {
		if string(b) == n {
			return true
		}
	}
	return false
}

func unknownFormat(head []byte) error {
	for _, f := range otherFormats {
		if len(head) < f.at || !bytes.HasPrefix(head[f.at:], []byte(f.magic)) {
			continue
		}
		if f.demuxer != "" {
			return &foreign{f.what, f.demuxer}
		}
		return fmt.Errorf("this is %s; %s", f.what, readable)
	}
	return errors.New("this is no recording of a format known here; " + readable)
}
