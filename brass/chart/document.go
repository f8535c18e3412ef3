package chart

import (
	"math"

	"waterkey/score"
)

// Document is a chart as JSON; names of fields hold their units.
type Document struct {
	Instrument string      `json:"instrument"`
	Title      string      `json:"title"`
	Name       string      `json:"name,omitempty"` // what the player calls the horn
	SlideMaxCM float64     `json:"slide_max_cm,omitempty"`
	ReachCM    float64     `json:"reach_cm,omitempty"`
	Notes      []NoteEntry `json:"notes"` // from the highest down
}

// NoteEntry is one pitch.
type NoteEntry struct {
	Pitch   score.Pitch `json:"pitch"`
	Written score.Pitch `json:"written"`
	Ways    []WayEntry  `json:"ways"` // the usual one first
}

// WayEntry is one way; the fields are those of [waterkey/brass.Way].
type WayEntry struct {
	Position    int     `json:"position"`
	Valve       string  `json:"valve"`
	Partial     int     `json:"partial"`
	ExtensionCM float64 `json:"extension_cm"`
	LeanCM      float64 `json:"lean_cm"`
	LeanCents   float64 `json:"lean_cents"`
	OffCents    float64 `json:"off_cents"`
	Label       string  `json:"label"`
}

// Document is the chart as a document, lengths and cents to a tenth.
func (c *Chart) Document() Document {
	in := c.Instrument
	d := Document{in.Name, in.Title, c.Name, tenth(in.SlideMaxCM), tenth(c.ReachCM), []NoteEntry{}}
	for _, n := range c.Notes {
		e := NoteEntry{Pitch: n.Pitch, Written: n.Written}
		for _, w := range n.Ways {
			e.Ways = append(e.Ways, WayEntry{w.Position, w.Valve, w.Partial, tenth(w.ExtensionCM),
				tenth(w.LeanCM), tenth(w.LeanCents), tenth(w.OffCents), w.Label})
		}
		d.Notes = append(d.Notes, e)
	}
	return d
}

// tenth rounds to one decimal, never to -0.
func tenth(x float64) float64 { return math.Round(10*x)/10 + 0 }
