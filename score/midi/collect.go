package midi

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"waterkey/score"

	"gitlab.com/gomidi/midi/v2/smf"
)

// strand is what becomes a part: the notes of a track, or of a channel of a
// file of format 0.
type strand struct {
	id, name string
	notes    []struck // in the order of their starts
	remarks  []remark
}

// struck is a note as it lies in the file.
type struck struct {
	key     uint8
	on, off int64 // ticks
}

// remark is something passed over, at a tick or nowhere.
type remark struct {
	tick int64
	text string
}

const nowhere = -1

type meterEvent struct {
	tick   int64
	meter  score.Meter
	clocks int // MIDI clocks to a metronome click
}

type keyEvent struct {
	tick int64
	key  score.Key
}

type tempoEvent struct {
	tick       int64
	perQuarter int // microseconds
}

type marker struct {
	tick int64
	text string
}

const (
	channels   = 16
	percussion = 9 // channel 10 of General MIDI, counted from 0
)

// collector gathers one track.
type collector struct {
	doc      *Document
	track    int // from 0
	byVoice  bool
	names    [2]string // by weight: the track's, its instrument's
	now      int64
	strands  [channels]*strand
	sounding map[voice]int // index into the notes of its strand
}

// voice is one key of one channel.
type voice struct{ channel, key uint8 }

// collect takes the file apart.
func (d *Document) collect(file *smf.SMF) {
	for i, track := range file.Tracks {
		c := &collector{doc: d, track: i, byVoice: file.Format() == 0, sounding: map[voice]int{}}
		for _, e := range track {
			c.now += int64(e.Delta)
			c.take(e.Message)
		}
		c.finish()
		d.end = max(d.end, c.now)
	}
	slices.SortStableFunc(d.meters, func(a, b meterEvent) int { return cmp.Compare(a.tick, b.tick) })
	slices.SortStableFunc(d.keys, func(a, b keyEvent) int { return cmp.Compare(a.tick, b.tick) })
	slices.SortStableFunc(d.tempos, func(a, b tempoEvent) int { return cmp.Compare(a.tick, b.tick) })
	slices.SortStableFunc(d.markers, func(a, b marker) int { return cmp.Compare(a.tick, b.tick) })
}

func (c *collector) take(m smf.Message) {
	var channel, key, velocity uint8
	var bend int16
	switch {
	case m.IsMeta():
		c.takeMeta(m)
	case m.GetNoteStart(&channel, &key, &velocity):
		c.begin(voice{channel, key})
	case m.GetNoteEnd(&channel, &key):
		c.stop(voice{channel, key})
	case m.GetPitchBend(&channel, &bend, nil):
		if bend != 0 && channel != percussion {
			s := c.strandOf(channel)
			s.remarks = append(s.remarks, remark{c.now, "pitch bend was left out"})
		}
	}
}

// strandOf is where the notes of a channel go.
func (c *collector) strandOf(channel uint8) *strand {
	if !c.byVoice {
		channel = 0
	}
	if c.strands[channel] == nil {
		c.strands[channel] = &strand{}
	}
	return c.strands[channel]
}

func (c *collector) begin(v voice) {
	if v.channel == percussion {
		c.remark("percussion (channel 10) was left out")
		return
	}
	s := c.strandOf(v.channel)
	if _, on := c.sounding[v]; on {
		s.remarks = append(s.remarks, remark{c.now, "a note struck again while it sounded was ended there"})
		c.stop(v)
	}
	c.sounding[v] = len(s.notes)
	s.notes = append(s.notes, struck{key: v.key, on: c.now, off: c.now})
}

// stop ends a note; the end of one that does not sound says nothing.
func (c *collector) stop(v voice) {
	if i, on := c.sounding[v]; on {
		c.strandOf(v.channel).notes[i].off = c.now
		delete(c.sounding, v)
	}
}

// finish ends what still sounds, drops notes without length and hands over the
// strands.
func (c *collector) finish() {
	for v, i := range c.sounding {
		s := c.strandOf(v.channel)
		s.notes[i].off = c.now
		if s.notes[i].on < c.now {
			s.remarks = append(s.remarks, remark{s.notes[i].on, "a note that never ends was read up to the next note or the end of the track"})
		}
	}
	pitched := 0
	for _, s := range c.strands {
		if s != nil && s.dropEmpty() > 0 {
			pitched++
		}
	}
	for channel, s := range c.strands {
		if s == nil || len(s.notes) == 0 {
			continue
		}
		s.id = fmt.Sprintf("track%d", c.track+1)
		s.name = cmp.Or(c.names[0], c.names[1], fmt.Sprintf("Track %d", c.track+1))
		if c.byVoice {
			s.id = fmt.Sprintf("channel%d", channel+1)
			if pitched > 1 || s.name == fmt.Sprintf("Track %d", c.track+1) {
				s.name = fmt.Sprintf("Channel %d", channel+1)
			}
		}
		slices.SortStableFunc(s.remarks, func(a, b remark) int { return cmp.Compare(a.tick, b.tick) })
		c.doc.strands = append(c.doc.strands, s)
	}
}

// dropEmpty leaves out notes that end where they begin, and counts the rest.
func (s *strand) dropEmpty() int {
	s.notes = slices.DeleteFunc(s.notes, func(n struck) bool {
		if n.off > n.on {
			return false
		}
		s.remarks = append(s.remarks, remark{n.on, "a note without length was left out"})
		return true
	})
	return len(s.notes)
}

// plainText is a text of the file: UTF-8, or ISO-8859-1 where it is not that
// (common practice; the standard itself asks for ASCII). Control characters
// and blanks at the ends are taken off.
func plainText(b []byte) string {
	text := string(b)
	if !utf8.ValidString(text) {
		runes := make([]rune, len(b))
		for i, c := range b {
			runes[i] = rune(c)
		}
		text = string(runes)
	}
	return strings.TrimSpace(strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, text))
}
