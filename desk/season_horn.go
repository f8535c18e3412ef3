package desk

import (
	"bytes"
	"encoding/json"
	"math"

	"waterkey/brass"
)

// lowestA and highestA bound a reference A in Hz: what takes can be listened to at.
const lowestA, highestA = 390.0, 470.0

// checkA lets a reference A be 0, for whatever stands behind it, or a pitch.
func checkA(hz float64) error {
	if hz != 0 && !(hz >= lowestA && hz <= highestA) || math.IsNaN(hz) {
		return invalid("a reference A of %g Hz: want %g to %g, such as 442, or 0 for the usual 440", hz, lowestA, highestA)
	}
	return nil
}

// ownProfile is what is known of the player's own instrument; false for nothing.
func (p *Player) ownProfile() (brass.Profile, bool, error) {
	if p == nil || absent(p.Profile) {
		return brass.Profile{}, false, nil
	}
	profile, err := brass.ReadProfile(bytes.NewReader(p.Profile), "the profile of "+p.Name)
	if err != nil {
		return profile, false, &SeasonError{Text: err.Error(), Is: ErrInvalid}
	}
	return profile, true, nil
}

// horn is an instrument as the player has it. A profile of another one says nothing
// about it.
func (p *Player) horn(name string) (*brass.Instrument, error) {
	in, err := brass.Named(name)
	if err != nil {
		return nil, invalid("%v", err)
	}
	profile, known, err := p.ownProfile()
	if err != nil || !known || profile.Instrument != in.Name {
		return in, err
	}
	if in, err = profile.Apply(in); err != nil {
		return nil, invalid("the profile of %s: %v", p.Name, err)
	}
	return in, nil
}

// reach is how far the arm goes on an instrument, in cm: as it was given with the
// player, else as the profile of the instrument says; 0 an adult's.
func (p *Player) reach(horn string) (float64, error) {
	if p.ReachCM != 0 {
		return p.ReachCM, nil
	}
	profile, known, err := p.ownProfile()
	if !known || profile.Instrument != horn {
		return 0, err
	}
	return profile.ReachCM, nil
}

// checkBody checks what is known of the player's lungs and instrument as they are
// read when a sheet is opened.
func (p *Player) checkBody() error {
	if err := firstError(checkJSON("lungs", p.Lungs), checkJSON("profile", p.Profile)); err != nil {
		return err
	}
	in, err := p.horn(p.Instrument)
	if err != nil {
		return err
	}
	_, err = p.lungs(p.Level, in)
	return err
}

// absent says whether a document inside a record is not there.
func absent(doc json.RawMessage) bool {
	text := string(bytes.TrimSpace(doc))
	return text == "" || text == "null"
}
