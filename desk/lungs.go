package desk

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"

	"waterkey/brass"
	"waterkey/breath"
	"waterkey/player"
	"waterkey/score"
)

// LungsRecord is what is known of a player's lungs, as it is stored with the player
// and given on a command line. The zero value knows nothing.
type LungsRecord struct {
	VitalL float64 `json:"vital_l,omitempty"` // measured vital capacity

	// Age in years, height in cm and sex ("female" or "male") go together and stand in
	// for a measured capacity.
	Age      float64 `json:"age,omitempty"`
	HeightCM float64 `json:"height_cm,omitempty"`
	Sex      string  `json:"sex,omitempty"`

	LongTones []LongToneRecord `json:"long_tones,omitempty"`

	// Settings of [player.Lungs]; 0 is the usual one.
	Full         float64 `json:"full_share,omitempty"`
	Comfortable  float64 `json:"comfortable_share,omitempty"`
	Reserve      float64 `json:"reserve_share,omitempty"`
	CatchShare   float64 `json:"catch_share,omitempty"`
	CatchSeconds float64 `json:"catch_s,omitempty"`
	FullSeconds  float64 `json:"full_s,omitempty"`
}

// LongToneRecord is one tone held from a full breath for as long as it lasts.
type LongToneRecord struct {
	Pitch   string  `json:"pitch"` // sounding, "Bb3"
	Level   string  `json:"level"` // "mf"
	Seconds float64 `json:"seconds"`
}

// ParseLungs reads a stored record; none at all is the zero record. A name that it
// does not know is an error: a capacity under a wrong name would be passed over.
func ParseLungs(doc json.RawMessage) (LungsRecord, error) {
	var r LungsRecord
	if len(bytes.TrimSpace(doc)) == 0 {
		return r, nil
	}
	d := json.NewDecoder(bytes.NewReader(doc))
	d.DisallowUnknownFields()
	err := d.Decode(&r)
	if err == nil && d.Decode(&struct{}{}) != io.EOF {
		err = errors.New("there is more than one value")
	}
	if err != nil {
		text := strings.TrimPrefix(err.Error(), "json: ")
		return LungsRecord{}, fmt.Errorf(`the lungs %s: %s; write {"vital_l": 4.5}, or {"age": 16, "height_cm": 168, "sex": "female"}, and "long_tones": [{"pitch": "Bb3", "level": "mf", "seconds": 12}] when some were timed`, clip(string(doc)), text)
	}
	return r, nil
}

// ParseLongTone reads "Bb3 mf 22": pitch, level, seconds.
func ParseLongTone(text string) (LongToneRecord, error) {
	fields := strings.Fields(text)
	var r LongToneRecord
	if len(fields) == 3 {
		r.Pitch, r.Level = fields[0], fields[1]
		var rest string
		if n, _ := fmt.Sscanf(strings.TrimSuffix(fields[2], "s")+"\n", "%g%s", &r.Seconds, &rest); n == 1 {
			_, err := r.tone()
			return r, err
		}
	}
	return r, fmt.Errorf(`%q is no long tone: write sounding pitch, level and seconds, such as "Bb3 mf 22"`, text)
}

// tone is the record in numbers.
func (r LongToneRecord) tone() (player.LongTone, error) {
	pitch, err := score.ParsePitch(r.Pitch)
	if err != nil {
		return player.LongTone{}, fmt.Errorf("the pitch %q of a long tone: %w; write one such as Bb3", r.Pitch, err)
	}
	level, ok := score.LevelStep(r.Level)
	if !ok {
		return player.LongTone{}, fmt.Errorf("the level %q of a long tone is not known; write pp, p, mp, mf, f or ff", r.Level)
	}
	return player.LongTone{MIDI: pitch.MIDI(), Level: level, Seconds: r.Seconds}, nil
}

// Lungs are those of a player of a level on an instrument. What the record does not
// say is the usual. Errors say the value, the limit and a value that works.
func (r LungsRecord) Lungs(level player.Level, in *brass.Instrument) (player.Lungs, error) {
	l, err := r.capacity(level)
	if err != nil {
		return l, err
	}
	for _, s := range []struct {
		own  float64
		into *float64
	}{{r.Full, &l.Full}, {r.Comfortable, &l.Comfortable}, {r.Reserve, &l.Reserve}, {r.CatchShare, &l.CatchShare},
		{r.CatchSeconds, &l.CatchSeconds}, {r.FullSeconds, &l.FullSeconds}} {
		if s.own != 0 {
			*s.into = s.own
		}
	}
	if err := l.Check(); err != nil || len(r.LongTones) == 0 {
		return l, err
	}
	var tones []player.LongTone
	for _, t := range r.LongTones {
		tone, err := t.tone()
		if err != nil {
			return l, err
		}
		tones = append(tones, tone)
	}
	return breath.Calibrated(l, in, tones...)
}

// capacity is what is known of the size of the lungs.
func (r LungsRecord) capacity(level player.Level) (player.Lungs, error) {
	body := r.Age != 0 || r.HeightCM != 0 || r.Sex != ""
	switch {
	case r.VitalL != 0 && body:
		return player.Lungs{}, errors.New("a measured capacity goes without age, height and sex; leave out one or the other")
	case r.VitalL != 0 || math.IsNaN(r.VitalL):
		return player.Measured(r.VitalL)
	case !body:
		return player.UsualLungs(level), nil
	case r.Age == 0 || r.HeightCM == 0 || r.Sex == "":
		return player.Lungs{}, errors.New("age, height and sex go together, such as 16, 168 and female; or give a measured capacity, such as 4.5 L")
	}
	return player.Estimated(r.Age, r.HeightCM, player.Sex(r.Sex))
}

// lungs are the player's on an instrument; nobody in particular has those usual for
// the level, which the zero value stands for.
func (p *Player) lungs(level player.Level, in *brass.Instrument) (player.Lungs, error) {
	if p == nil || absent(p.Lungs) {
		return player.Lungs{}, nil
	}
	r, err := ParseLungs(p.Lungs)
	if err != nil {
		return player.Lungs{}, invalid("%s: %v", p.Name, err)
	}
	l, err := r.Lungs(level, in)
	if err != nil {
		return player.Lungs{}, invalid("the lungs of %s: %v", p.Name, err)
	}
	return l, nil
}
