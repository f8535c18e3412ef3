package desk

import (
	"io"

	"waterkey/audio"
	"waterkey/hear"
	"waterkey/score/midi"
	"waterkey/sound"
)

// PlayDocument says what a reference performance holds, as JSON.
type PlayDocument struct {
	Seconds     float64 `json:"seconds"`
	MusicStarts float64 `json:"music_starts_s"` // after lead-in and count-in
	TempoBPM    float64 `json:"tempo_bpm"`      // opening, felt beats a minute
	Notes       int     `json:"notes"`          // played, repeats included
}

// Play renders the reference performance.
func (p *Prepared) Play(o sound.Options) (*audio.Clip, PlayDocument) {
	clip := sound.Render(sound.Tones(p.Played, o), o)
	bpm, unit, _ := p.Part.OpeningTempo()
	if len(p.Played.Bars) > 0 {
		// The tempo asked for may differ from the page's: read it off the clock.
		if s := float64(p.Played.Seconds(unit)); s > 0 {
			bpm = 60 / s
		}
	}
	return clip, PlayDocument{round(clip.Seconds(), 3), round(float64(sound.Offset(p.Played, o)), 3), round(bpm, 2), len(p.Played.Notes)}
}

// PlayMIDI writes the reference performance as a Standard MIDI File.
func (p *Prepared) PlayMIDI(w io.Writer) error { return midi.Write(w, p.Played, midi.Options{}) }

// Hear measures a take of a prepared part. Errors say what is wrong with the
// recording, or that it is not this part.
func (p *Prepared) Hear(take string, o hear.Options) (*hear.Take, error) {
	clip, err := audio.Open(take)
	if err != nil {
		return nil, err
	}
	return hear.Listen(p.Played, clip, o)
}
