package desk

import (
	"fmt"
	"math"
	"strings"
	"time"
)

// Mark is one thing the coach wrote on a sheet: exactly one of Position, Breath
// and Remark is set. Without a player it stands on the part for everybody.
type Mark struct {
	Head
	Sheet
	Position *PositionPin `json:"position,omitempty"`
	Breath   *BreathPin   `json:"breath,omitempty"`
	Remark   *Remark      `json:"remark,omitempty"`
	Author   string       `json:"author,omitempty"`
	Written  time.Time    `json:"written"`
}

// PositionPin decides how notes are played: a [Fix] as it is stored.
type PositionPin struct {
	Where string `json:"where"` // note id, "12.3", "12", "12-15", or "" for the whole part
	Way   string `json:"way"`   // label, as "6" or "T1"
	Avoid bool   `json:"avoid,omitempty"`
}

// Fix is the pin as [Prepare] takes it.
func (p PositionPin) Fix() Fix { return Fix(p) }

// BreathPin decides about the place after a note.
type BreathPin struct {
	After string `json:"after"`           // id of the note
	Never bool   `json:"never,omitempty"` // no breath here, instead of one
}

// Remark is a sentence at a bar or note, at a moment of a take, or both.
type Remark struct {
	Where string  `json:"where,omitempty"` // bar or note, as in [PositionPin]
	Take  ID      `json:"take,omitempty"`
	AtS   float64 `json:"at_s,omitempty"` // seconds from the start of the take's recording
	Text  string  `json:"text"`
}

// Kind is KindMark.
func (*Mark) Kind() Kind { return KindMark }

// Blobs are none.
func (*Mark) Blobs() []Hash { return nil }

// Key is what two marks of one sheet must not share: there is one way to play a
// note, one decision about a breath, and any number of ways forbidden and of
// remarks.
func (m *Mark) Key() string {
	switch {
	case m.Position != nil && m.Position.Avoid:
		return "avoid " + m.Position.Where + "=" + m.Position.Way
	case m.Position != nil:
		return "play " + m.Position.Where
	case m.Breath != nil:
		return "breath " + m.Breath.After
	}
	return "remark " + string(m.ID)
}

// Validate checks the fields. Whether a place exists is for the page to say.
func (m *Mark) Validate() error {
	set := 0
	for _, is := range []bool{m.Position != nil, m.Breath != nil, m.Remark != nil} {
		if is {
			set++
		}
	}
	if set != 1 {
		return invalid("a mark holds %d things: want one of a position, a breath and a remark", set)
	}
	if m.Player != "" {
		if err := m.Player.Validate(); err != nil {
			return err
		}
	}
	return firstError(m.Part.Validate(), m.checkBody(), checkText("author", m.Author))
}

func (m *Mark) checkBody() error {
	switch {
	case m.Position != nil:
		if strings.TrimSpace(m.Position.Way) == "" {
			return invalid("the mark names no way to play; write a position such as 6 or T1")
		}
		return firstError(checkText("place", m.Position.Where), checkText("way", m.Position.Way))
	case m.Breath != nil:
		if m.Breath.After == "" {
			return invalid("the breath stands after no note; name the note before it")
		}
		return checkText("note", m.Breath.After)
	}
	return m.Remark.validate()
}

func (r *Remark) validate() error {
	switch {
	case strings.TrimSpace(r.Text) == "":
		return invalid("the remark is empty; write a sentence, or delete it")
	case r.Take == "" && r.AtS != 0:
		return invalid("the remark stands at %g s of no take; name the take", r.AtS)
	case math.IsNaN(r.AtS) || math.IsInf(r.AtS, 0) || r.AtS < 0:
		return invalid("the remark stands at %g s: want 0 or later", r.AtS)
	case r.Take != "":
		if err := r.Take.Validate(); err != nil {
			return err
		}
	}
	return firstError(checkText("remark", r.Text), checkText("place", r.Where))
}

// String is how a list of changes names the mark.
func (m *Mark) String() string {
	switch {
	case m.Position != nil && m.Position.Avoid:
		return fmt.Sprintf("not %s at %s", m.Position.Way, m.Position.Where)
	case m.Position != nil:
		return fmt.Sprintf("%s at %s", m.Position.Way, m.Position.Where)
	case m.Breath != nil && m.Breath.Never:
		return "no breath after " + m.Breath.After
	case m.Breath != nil:
		return "a breath after " + m.Breath.After
	}
	return "a remark"
}
