package desk

import (
	"io"

	"waterkey/audio"
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

// Play renders the reference performance: on the instrument, with the slide and the
// valves going as the chosen path has them, silent where the plan breathes, and with
// its phrases shaped.
func (p *Prepared) Play(o sound.Options) (*audio.Clip, PlayDocument) {
	o = p.asPlayed(o)
	clip := sound.Render(sound.Tones(p.Played, o), o)
	return clip, PlayDocument{round(clip.Seconds(), 3), round(float64(sound.Offset(p.Played, o)), 3), round(p.openingBPM(), 2), len(p.Played.Notes)}
}

// openingBPM is the tempo of the performance in felt beats a minute. The one asked
// for may differ from the page's: it is read off the clock.
func (p *Prepared) openingBPM() float64 {
	bpm, unit, _ := p.Part.OpeningTempo()
	if s := float64(p.Played.Seconds(unit)); len(p.Played.Bars) > 0 && s > 0 {
		return 60 / s
	}
	return bpm
}

// PlayMIDI writes the reference performance as a Standard MIDI File.
func (p *Prepared) PlayMIDI(w io.Writer) error {
	return midi.Write(w, p.Played, midi.Options{Shares: sound.Shares(p.Played, p.asPlayed(sound.Options{}))})
}
