package desk

import (
	"encoding/json"
	"math"
	"strings"

	"waterkey/brass"
	"waterkey/player"
)

// Player is a candidate: who plays, on what, with what arm and lungs.
type Player struct {
	Head
	Name       string          `json:"name"`
	Instrument string          `json:"instrument"` // as [brass.Named] knows it
	Level      player.Level    `json:"level"`
	ReachCM    float64         `json:"reach_cm,omitempty"` // from the closed slide, in comfort; 0 an adult's
	Lungs      json.RawMessage `json:"lungs,omitempty"`
	Profile    json.RawMessage `json:"profile,omitempty"` // of the player's own instrument, a [brass.Profile]
	A4         float64         `json:"a4,omitempty"`      // Hz to which the player tunes; 0 for 440
}

// Kind is KindPlayer.
func (*Player) Kind() Kind { return KindPlayer }

// Blobs are none.
func (*Player) Blobs() []Hash { return nil }

// maxReachCM is beyond the end of the longest slide (a bass trombone's outer
// slide runs some 70 cm; estimate, with room).
const maxReachCM = 100

// Validate checks the fields.
func (p *Player) Validate() error {
	if strings.TrimSpace(p.Name) == "" {
		return invalid("the player has no name; write one, such as Anna")
	}
	if _, err := brass.Named(p.Instrument); err != nil {
		return &SeasonError{Text: err.Error(), Is: ErrInvalid}
	}
	if _, err := player.ParseLevel(int(p.Level)); err != nil {
		return &SeasonError{Text: err.Error(), Is: ErrInvalid}
	}
	if !(p.ReachCM >= 0 && p.ReachCM <= maxReachCM) {
		return invalid("an arm that reaches %g cm: want 0 to %d, such as 60", p.ReachCM, maxReachCM)
	}
	return firstError(checkText("name", p.Name), checkA(p.A4), p.checkBody())
}

// Part is a page to prepare: a document and which line of it is played.
type Part struct {
	Head
	Title    string  `json:"title"`
	Document Hash    `json:"document"`
	FileName string  `json:"file_name"`        // as it was dropped
	Line     string  `json:"line,omitempty"`   // id, name or number of one of several parts; "" the first with notes
	Bottom   bool    `json:"bottom,omitempty"` // the lowest note of a chord instead of the top one
	Due      string  `json:"due,omitempty"`    // day, as 2026-12-01
	BPM      float64 `json:"bpm,omitempty"`    // opening tempo in felt beats a minute; 0 the page's own
	Place    int     `json:"place,omitempty"`  // where the coach put it among the parts
}

// Kind is KindPart.
func (*Part) Kind() Kind { return KindPart }

// Blobs is the document.
func (p *Part) Blobs() []Hash { return []Hash{p.Document} }

// Validate checks the fields.
func (p *Part) Validate() error {
	if strings.TrimSpace(p.Title) == "" {
		return invalid("the part has no title; write one, or take the file's name")
	}
	return firstError(p.Document.Validate(), checkText("title", p.Title), checkText("file name", p.FileName),
		checkText("line", p.Line), checkDate("due date", p.Due), checkBPM(p.BPM))
}

// Assignment gives a part to a player, with what differs from the player's or
// the part's own.
type Assignment struct {
	Head
	Sheet
	Instrument string          `json:"instrument,omitempty"` // "" the player's own
	BPM        float64         `json:"bpm,omitempty"`        // 0 the part's own
	Due        string          `json:"due,omitempty"`        // "" the part's own
	A4         float64         `json:"a4,omitempty"`         // Hz, of the orchestra; 0 the player's
	Practice   *PracticeTerms  `json:"practice,omitempty"`   // nil before they were set
	Settings   json.RawMessage `json:"settings,omitempty"`   // whatever else the page remembers
}

// Kind is KindAssignment.
func (*Assignment) Kind() Kind { return KindAssignment }

// Blobs are none.
func (*Assignment) Blobs() []Hash { return nil }

// Validate checks the fields.
func (a *Assignment) Validate() error {
	if a.Instrument != "" {
		if _, err := brass.Named(a.Instrument); err != nil {
			return &SeasonError{Text: err.Error(), Is: ErrInvalid}
		}
	}
	return firstError(a.Part.Validate(), a.Player.Validate(), checkBPM(a.BPM), checkA(a.A4), checkDate("due date", a.Due),
		a.Practice.Validate(), checkJSON("settings", a.Settings))
}

// checkBPM lets a tempo be 0, or anything that could be meant; whether it can be
// played is for the page to say.
func checkBPM(bpm float64) error {
	const fastest = 1000 // beats a minute, no metronome goes there (estimate)
	if math.IsNaN(bpm) || bpm < 0 || bpm > fastest {
		return invalid("a tempo of %g beats a minute: want 0 for the page's own, or up to %d, such as 96", bpm, fastest)
	}
	return nil
}

// firstError is the first that is not nil.
func firstError(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
