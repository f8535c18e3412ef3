package midi

import (
	"encoding/binary"
	"fmt"
)

// survey is what the lengths in a file say, checked against its bytes. The
// library that reads the events believes every length, and reads on into the
// next chunk where a track has no end.
type survey struct {
	data             []byte
	pos              int
	format, division int
	tracks           []surveyed
	events, tempos   int
	remarks          []string
}

// surveyed is one track: data[start:end] holds its events, the last of which
// is the end of the track when ended is set.
type surveyed struct {
	start, end int
	name       string
	ended      bool
}

const (
	chunkHead = 8 // bytes: four letters and a length
	fileHead  = 6 // bytes of header data that the format defines
)

// fault is damage, in a track counted from 1 (0 outside any) at a byte.
type fault struct {
	track int
	name  string // of the track, as far as known
	at    int
	msg   string
}

func (f *fault) Error() string {
	if f.track == 0 {
		return fmt.Sprintf("byte %d: %s", f.at, f.msg)
	}
	return fmt.Sprintf("track %d, byte %d: %s", f.track, f.at, f.msg)
}

// fail makes a fault at a byte, in the track being read.
func (s *survey) fail(at int, format string, args ...any) error {
	f := &fault{at: at, track: len(s.tracks), msg: fmt.Sprintf(format, args...)}
	if n := len(s.tracks); n > 0 {
		f.name = s.tracks[n-1].name
	}
	return f
}

// look surveys a whole file.
func look(data []byte) (*survey, error) {
	s := &survey{data: data}
	declared, err := s.header()
	for err == nil && len(s.tracks) < declared {
		err = s.chunk(declared)
	}
	if err != nil {
		return nil, err
	}
	if rest := len(data) - s.pos; rest > 0 {
		s.remarks = append(s.remarks, fmt.Sprintf("%d bytes after the last track were left out", rest))
	}
	return s, nil
}

// header reads the header chunk; declared is its number of tracks.
func (s *survey) header() (declared int, err error) {
	if len(s.data) < chunkHead+fileHead || string(s.data[:4]) != "MThd" {
		return 0, s.fail(0, "this is no Standard MIDI File; one begins with MThd and has %d bytes or more", chunkHead+fileHead)
	}
	length := int64(binary.BigEndian.Uint32(s.data[4:]))
	if length < fileHead || length > int64(len(s.data)-chunkHead) {
		return 0, s.fail(4, "the header has a length of %d bytes; %d is right", length, fileHead)
	}
	head := s.data[chunkHead:]
	s.format = int(binary.BigEndian.Uint16(head))
	declared = int(binary.BigEndian.Uint16(head[2:]))
	s.division = int(binary.BigEndian.Uint16(head[4:]))
	s.pos = chunkHead + int(length)
	return declared, s.checkHeader(declared)
}

func (s *survey) checkHeader(declared int) error {
	const smpte = 0x8000 // set when ticks divide frames of film
	switch {
	case s.format == 2:
		return s.fail(chunkHead, "a file of format 2 holds separate pieces, not the parts of one; export format 0 or 1")
	case s.format > 2:
		return s.fail(chunkHead, "format %d is unknown; 0 and 1 are read", s.format)
	case declared < 1 || declared > maxTracks:
		return s.fail(chunkHead+2, "the header promises %d tracks; 1 to %d are read", declared, maxTracks)
	case s.division&smpte != 0:
		return s.fail(chunkHead+4, "ticks count frames of film, %d a second, so that bars and beats are unknown; export with ticks to a quarter note, such as %d",
			-int(int8(s.division>>8)), DefaultTicks)
	case s.division == 0:
		return s.fail(chunkHead+4, "a quarter note has 0 ticks; %d is usual", DefaultTicks)
	}
	if s.format == 0 && declared > 1 {
		s.format = 1
		s.remarks = append(s.remarks, fmt.Sprintf("the file says format 0 and has %d tracks; it was read as format 1", declared))
	}
	return nil
}

// chunk reads one chunk; those of unknown kind are passed over.
func (s *survey) chunk(declared int) error {
	left := len(s.data) - s.pos
	if left < chunkHead {
		return s.fail(s.pos, "the file ends after %d of %d tracks", len(s.tracks), declared)
	}
	kind, length := string(s.data[s.pos:s.pos+4]), int64(binary.BigEndian.Uint32(s.data[s.pos+4:]))
	if length > int64(left-chunkHead) {
		return s.fail(s.pos+4, "chunk %q has a length of %d bytes; %d are left in the file", kind, length, left-chunkHead)
	}
	start := s.pos + chunkHead
	s.pos = start + int(length)
	if kind != "MTrk" {
		s.remarks = append(s.remarks, fmt.Sprintf("a chunk %q was left out", kind))
		return nil
	}
	s.tracks = append(s.tracks, surveyed{start: start, end: s.pos})
	return s.track(&s.tracks[len(s.tracks)-1])
}
