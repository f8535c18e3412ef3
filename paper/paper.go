// Package paper lays out what a coach hands out: the marked part and its walk as
// PDF, and the guide, one HTML file that a candidate opens on any phone.
//
// The packages of the trade decide everything; a page of the front end engraves
// and lays out, inside a Chromium without a window that reads it from a server of
// this process on the loopback address. Nothing is fetched from elsewhere.
package paper

import (
	"encoding/json"
	"fmt"
	"strings"

	"waterkey/desk"
	"waterkey/score"
	"waterkey/sound"
)

// Size is a size of paper.
type Size string

// The sizes.
const (
	A4     Size = "a4"
	Letter Size = "letter"
)

// ParseSize reads the name of a size.
func ParseSize(name string) (Size, error) {
	switch s := Size(strings.ToLower(name)); s {
	case A4, Letter:
		return s, nil
	}
	return "", fmt.Errorf("paper %q: want a4 or letter", name)
}

// Contents is what is printed.
type Contents string

// The contents: the part, then its walk; or one of the two; or the sheet of a
// lesson, which is the walk with the remarks, what to do next and room to write.
const (
	All      Contents = "all"
	PartOnly Contents = "part"
	WalkOnly Contents = "walk"
	Lesson   Contents = "lesson"
)

// Order asks for a part on paper, or for its guide.
type Order struct {
	Prepared *desk.Prepared
	Title    string       // "" the part's own
	Player   string       // whose name stands on it; "" nobody's
	Marks    []*desk.Mark // the coach's remarks and breaths; positions are in Prepared already
	Size     Size         // "" A4; of no account for a guide
	Contents Contents     // "" all; of no account for a guide
	Lanes    bool         // the slide over time under each system
	Lesson   *desk.Lesson // what the sheet of a lesson says, and when takes were; nil for nothing
}

// job is an order as the page of the front end takes it. Its sheet has the fields
// that the desk's own screens get.
type job struct {
	Sheet    sheet        `json:"sheet"`
	Composer string       `json:"composer"`
	Part     string       `json:"part"`
	Score    string       `json:"score"`
	Paper    Size         `json:"paper"`
	Contents Contents     `json:"contents"`
	Lanes    bool         `json:"lanes"`
	Lesson   *desk.Lesson `json:"lesson"`
	Tones    []tone       `json:"tones"`
}

type sheet struct {
	Part struct {
		Title string `json:"title"`
	} `json:"part"`
	Player   *named                `json:"player"`
	Horn     horn                  `json:"horn"`
	Marks    []*desk.Mark          `json:"marks"`
	Read     desk.ReadDocument     `json:"read"`
	Mark     desk.MarkDocument     `json:"mark"`
	Timeline desk.TimelineDocument `json:"timeline"`
}

type named struct {
	Name string `json:"name"`
}

type horn struct {
	Name  string `json:"name"`
	Title string `json:"title"`
	Slide bool   `json:"slide"`
}

// tone is a [sound.Tone] in seconds, hertz and dB.
type tone struct {
	Start    float64   `json:"start"`
	End      float64   `json:"end"`
	Hz       float64   `json:"hz"`
	HzEnd    float64   `json:"hz_end,omitempty"`
	Level    float64   `json:"level"`
	Swell    []float64 `json:"swell,omitempty"`
	Burst    float64   `json:"burst,omitempty"`
	Attack   int       `json:"attack"`
	Connects bool      `json:"connects,omitempty"`
}

// guideSound is how a guide sounds: every beat has its tick. The page leaves out what
// is not wanted, and counts in from any bar.
var guideSound = sound.Options{Click: true}

// document is the order as JSON.
func (o Order) document() ([]byte, error) {
	p := o.Prepared
	j := job{Composer: p.Part.Composer, Part: p.Part.Name, Paper: o.Size, Contents: o.Contents, Lanes: o.Lanes, Lesson: o.Lesson}
	if j.Paper == "" {
		j.Paper = A4
	}
	if j.Contents == "" {
		j.Contents = All
	}
	var xml strings.Builder
	if err := p.WriteScore(&xml); err != nil {
		return nil, err
	}
	j.Score = xml.String()
	j.Sheet = o.sheet()
	heard := guideSound
	heard.A4 = p.ReferenceA()
	for _, t := range sound.Tones(p.Played, heard) {
		j.Tones = append(j.Tones, tone{float64(t.Start), float64(t.End), t.Hz, t.HzEnd, t.Level, t.Swell, t.Burst, int(t.Attack), t.Connects})
	}
	return json.Marshal(j)
}

func (o Order) sheet() sheet {
	p, in := o.Prepared, o.Prepared.Path.Instrument
	s := sheet{Horn: horn{in.Name, in.Title, in.Slide()}, Marks: o.Marks, Read: p.Read(), Mark: p.Mark(), Timeline: p.Timeline(guideSound)}
	s.Part.Title = o.title()
	if o.Player != "" {
		s.Player = &named{o.Player}
	}
	return s
}

func (o Order) title() string {
	switch p := o.Prepared.Part; {
	case o.Title != "":
		return o.Title
	case p.Title != "":
		return p.Title
	case p.Name != "":
		return p.Name
	}
	return "Untitled"
}

// Remark makes a mark of a remark at a bar, bars or a note: "12", "12-15", "12.3".
// The error says what such a place looks like.
func Remark(p *score.Part, where, text string) (*desk.Mark, error) {
	bars, _, _ := strings.Cut(where, ".")
	if _, _, err := desk.BarRange(p, bars); err != nil {
		return nil, err
	}
	if strings.TrimSpace(text) == "" {
		return nil, fmt.Errorf("the remark at %s is empty; write a sentence", where)
	}
	return &desk.Mark{Remark: &desk.Remark{Where: where, Text: text}}, nil
}
