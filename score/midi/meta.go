package midi

import (
	"fmt"

	"waterkey/score"

	"gitlab.com/gomidi/midi/v2/smf"
)

// takeMeta takes what a meta event says. Of the texts only names and markers
// are of use.
func (c *collector) takeMeta(m smf.Message) {
	var text string
	switch {
	case m.Is(smf.MetaTimeSigMsg):
		c.takeMeter(m)
	case m.Is(smf.MetaKeySigMsg):
		c.takeKey(m)
	case m.Is(smf.MetaTempoMsg):
		c.takeTempo(m)
	case m.GetMetaTrackName(&text):
		c.name(0, text)
	case m.GetMetaInstrument(&text):
		c.name(1, text)
	case m.GetMetaMarker(&text):
		if text = plainText([]byte(text)); text != "" {
			c.doc.markers = append(c.doc.markers, marker{c.now, text})
		}
	}
}

// name keeps the first name of each weight. The name of the first track is the
// title of the piece.
func (c *collector) name(weight int, text string) {
	text = plainText([]byte(text))
	if c.names[weight] == "" {
		c.names[weight] = text
	}
	if weight == 0 && c.track == 0 && c.doc.title == "" {
		c.doc.title = text
	}
}

// metaHead is the bytes before the data of a short meta event: FF, kind,
// length.
const metaHead = 3

// mostUnit is the smallest note value of a meter, as a power of two: 64.
const mostUnit = 6

func (c *collector) takeMeter(m smf.Message) {
	if len(m) < metaHead+2 || m[3] == 0 || m[4] > mostUnit {
		c.remark("a meter that cannot be read was left out")
		return
	}
	e := meterEvent{tick: c.now, meter: score.Meter{Beats: int(m[3]), Unit: 1 << m[4]}}
	if len(m) > metaHead+2 {
		e.clocks = int(m[5])
	}
	c.doc.meters = append(c.doc.meters, e)
}

func (c *collector) takeKey(m smf.Message) {
	if len(m) < metaHead+2 {
		c.remark("a key that cannot be read was left out")
		return
	}
	fifths, minor := int(int8(m[3])), m[4]
	if max(fifths, -fifths) > mostFifths || minor > 1 {
		c.remark(fmt.Sprintf("a key of %d fifths, mode %d, was left out", fifths, minor))
		return
	}
	key := score.Key{Fifths: fifths, Mode: "major"}
	if minor == 1 {
		key.Mode = "minor"
	}
	c.doc.keys = append(c.doc.keys, keyEvent{c.now, key})
}

func (c *collector) takeTempo(m smf.Message) {
	us := 0
	if len(m) >= metaHead+3 {
		us = int(m[3])<<16 | int(m[4])<<8 | int(m[5])
	}
	if us == 0 {
		c.remark("a tempo without end was left out")
		return
	}
	c.doc.tempos = append(c.doc.tempos, tempoEvent{c.now, us})
}

// remark notes something that concerns every part.
func (c *collector) remark(text string) {
	c.doc.remarks = append(c.doc.remarks, remark{c.now, text})
}
