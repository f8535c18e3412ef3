package midi

import (
	"bytes"
	"encoding/binary"
	"fmt"

	"gitlab.com/gomidi/midi/v2/smf"
)

// Status bytes and meta events of the Standard MIDI File 1.0.
const (
	firstStatus   = 0x80
	firstSystem   = 0xF0
	exclusive     = 0xF0
	escape        = 0xF7
	meta          = 0xFF
	metaTrackName = 0x03
	metaEnd       = 0x2F
	metaTempo     = 0x51
)

// track checks every event of a track and cuts the track after its end event.
func (s *survey) track(t *surveyed) error {
	running := byte(0)
	for at := t.start; at < t.end; {
		if s.events++; s.events > maxEvents {
			return s.fail(at, "the file has more than the %d events that are read", maxEvents)
		}
		_, width, err := s.quantity(at, t.end)
		if err != nil {
			return err
		}
		next, err := s.event(t, at+width, &running)
		if err != nil {
			return err
		}
		if t.ended {
			if next < t.end {
				s.remarks = append(s.remarks, fmt.Sprintf("track %d: %d bytes after its end were left out", len(s.tracks), t.end-next))
			}
			t.end = next
			return nil
		}
		at = next
	}
	s.remarks = append(s.remarks, fmt.Sprintf("track %d: the end of track is missing; it was read to its last event", len(s.tracks)))
	return nil
}

// event checks one event from its status on and returns the byte behind it.
// Meta and exclusive events cancel the running status.
func (s *survey) event(t *surveyed, at int, running *byte) (next int, err error) {
	if at >= t.end {
		return 0, s.fail(at, "the track ends after a delta time")
	}
	status, data := s.data[at], at+1
	switch {
	case status == meta || status == exclusive || status == escape:
		*running = 0
		return s.longEvent(t, at)
	case status > firstSystem:
		return 0, s.fail(at, "status %02X has no place in a file", status)
	case status >= firstStatus:
		*running = status
	case *running == 0:
		return 0, s.fail(at, "byte %02X stands where a status is due: none is running", status)
	default:
		status, data = *running, at
	}
	next = data + dataBytes(status)
	if next > t.end {
		return 0, s.fail(at, "the track ends inside an event")
	}
	for i := data; i < next; i++ {
		if s.data[i] >= firstStatus {
			return 0, s.fail(i, "data byte %02X is above 7F", s.data[i])
		}
	}
	return next, nil
}

// dataBytes is one for program change and channel pressure, otherwise two.
func dataBytes(status byte) int {
	if kind := status >> 4; kind == 0xC || kind == 0xD {
		return 1
	}
	return 2
}

// longEvent checks a meta or exclusive event.
func (s *survey) longEvent(t *surveyed, at int) (next int, err error) {
	from := at + 1
	kind := -1
	if s.data[at] == meta {
		if from >= t.end {
			return 0, s.fail(at, "the track ends inside an event")
		}
		kind = int(s.data[from])
		from++
	}
	length, width, err := s.quantity(from, t.end)
	if err != nil {
		return 0, err
	}
	from += width
	if length > t.end-from {
		return 0, s.fail(at, "an event has a length of %d bytes; %d are left in the track", length, t.end-from)
	}
	switch kind {
	case metaEnd:
		t.ended = true
	case metaTrackName:
		t.name = plainText(s.data[from : from+length])
	case metaTempo:
		if s.tempos++; s.tempos > maxTempos {
			return 0, s.fail(at, "the file has more than the %d changes of tempo that are read", maxTempos)
		}
	}
	return from + length, nil
}

// quantity reads a variable-length quantity of at most four bytes.
func (s *survey) quantity(at, end int) (value, width int, err error) {
	const most = 4
	for width < most && at+width < end {
		b := s.data[at+width]
		width++
		value = value<<7 | int(b&0x7F)
		if b < 0x80 {
			return value, width, nil
		}
	}
	if width == most {
		return 0, 0, s.fail(at, "a variable-length quantity has more than %d bytes", most)
	}
	return 0, 0, s.fail(at, "the track ends inside a variable-length quantity")
}

// sound is the file as surveyed, without what was left out and with an end to
// every track.
func (s *survey) sound() []byte {
	var b bytes.Buffer
	head := []byte("MThd\x00\x00\x00\x06\x00")
	b.Write(append(head, byte(s.format)))
	b.Write(binary.BigEndian.AppendUint16(nil, uint16(len(s.tracks))))
	b.Write(binary.BigEndian.AppendUint16(nil, uint16(s.division)))
	for _, t := range s.tracks {
		events := s.data[t.start:t.end]
		if !t.ended {
			events = append(bytes.Clone(events), 0, meta, metaEnd, 0)
		}
		b.WriteString("MTrk")
		b.Write(binary.BigEndian.AppendUint32(nil, uint32(len(events))))
		b.Write(events)
	}
	return b.Bytes()
}

// decode has the library read the events. What it panics with becomes an
// error.
func (s *survey) decode() (file *smf.SMF, err error) {
	defer func() {
		if v := recover(); v != nil {
			file, err = nil, fmt.Errorf("the events cannot be read: %v", v)
		}
	}()
	return smf.ReadFrom(bytes.NewReader(s.sound()))
}
