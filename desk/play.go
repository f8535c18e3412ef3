package desk

import (
	"io"

	"waterkey/audio"
	"waterkey/score"
	"waterkey/score/midi"
	"waterkey/sound"
)

// PlayDocument says what a reference performance holds, as JSON.
type PlayDocument struct {
	Seconds     float64   `json:"seconds"`
	MusicStarts float64   `json:"music_starts_s"` // after lead-in and count-in, of the first run
	TempoBPM    float64   `json:"tempo_bpm"`      // opening, felt beats a minute, of the last run
	Notes       int       `json:"notes"`          // played in a run, repeats included
	Runs        []PlayRun `json:"runs"`           // one, or those of a ladder, slow to fast
}

// PlayRun is one run of a ladder.
type PlayRun struct {
	StartS   float64 `json:"start_s"`        // of its count-in
	MusicS   float64 `json:"music_starts_s"` // of its first bar
	TempoBPM float64 `json:"tempo_bpm"`
}

// Sounding is a reference performance that is ready to sound.
type Sounding struct {
	Tones   []sound.Tone
	Options sound.Options // rate, tuning and timbre of all of it
	p       *Prepared
	runs    []sound.Run
	starts  []score.Seconds
}

// mostSeconds keeps a file below what WAV can hold (estimate: a day's practice).
const mostSeconds = 4 * 3600

// Sound lays out the reference performance that q asks for: on the instrument, with
// the slide and the valves going as the chosen path has them, silent where the plan
// breathes, and with its phrases shaped. The error is a [PlayingError].
func (p *Prepared) Sound(q Playing) (*Sounding, error) {
	q.A4 = orFloat(q.A4, p.ReferenceA())
	runs, err := p.runs(q)
	if err != nil {
		return nil, err
	}
	drone, err := droneOf(q)
	if err != nil {
		return nil, err
	}
	s := p.lay(runs)
	end := score.Seconds(0)
	for _, t := range s.Tones {
		end = max(end, t.End)
	}
	if end > mostSeconds {
		return nil, unplayable("slow-from", "makes a clip of %.1f hours, over the limit of %d; take fewer runs or bars", float64(end)/3600, mostSeconds/3600)
	}
	if drone != nil {
		drone.End = max(end, s.end())
		s.Tones = append(s.Tones, drone.Tones(s.Options.A4)...)
	}
	return s, nil
}

// lay strings runs into one clip.
func (p *Prepared) lay(runs []sound.Run) *Sounding {
	s := &Sounding{p: p, runs: runs, Options: runs[0].Options}
	s.Tones, s.starts = sound.Ladder(runs, pause)
	s.Options.Least = s.end()
	return s
}

// end is when the last run's last bar ends.
func (s *Sounding) end() score.Seconds {
	k := len(s.runs) - 1
	return s.starts[k] + s.runs[k].End()
}

// Clip renders all of it.
func (s *Sounding) Clip() *audio.Clip { return sound.Render(s.Tones, s.Options) }

// Document says what is in it.
func (s *Sounding) Document() PlayDocument {
	const decimals = 3
	d := PlayDocument{Seconds: round(sound.NewStream(s.Tones, s.Options).Seconds(), decimals)}
	for k, r := range s.runs {
		d.TempoBPM = round(s.p.tempoOf(r.Performance), 2)
		d.Runs = append(d.Runs, PlayRun{round(float64(s.starts[k]), decimals),
			round(float64(s.starts[k]+sound.MusicStart(r.Performance, r.Options)), decimals), d.TempoBPM})
	}
	d.MusicStarts = d.Runs[0].MusicS
	for i := range s.runs[0].Performance.Notes {
		if s.runs[0].Options.Plays(s.runs[0].Performance, i) {
			d.Notes++
		}
	}
	return d
}

// Play renders the whole part once, as o has it.
func (p *Prepared) Play(o sound.Options) (*audio.Clip, PlayDocument) {
	s := p.lay([]sound.Run{{Performance: p.Played, Options: p.asPlayed(p.Played, o)}})
	return s.Clip(), s.Document()
}

// openingBPM is the tempo of the performance in felt beats a minute.
func (p *Prepared) openingBPM() float64 { return p.tempoOf(p.Played) }

// tempoOf is the opening tempo of a performance of the part. The one asked for may
// differ from the page's: it is read off the clock.
func (p *Prepared) tempoOf(pf *score.Performance) float64 {
	bpm, unit, _ := p.Part.OpeningTempo()
	if s := float64(pf.Seconds(unit)); len(pf.Bars) > 0 && s > 0 {
		return 60 / s
	}
	return bpm
}

// PlayMIDI writes the reference performance as a Standard MIDI File, its notes as
// long as a style has them. The error is a [PlayingError] or that of w.
func (p *Prepared) PlayMIDI(w io.Writer, style string) error {
	s, err := sound.StyleNamed(style)
	if err != nil {
		return unplayable("style", "%s: %v", style, err)
	}
	o := p.asPlayed(p.Played, sound.Options{Style: s})
	return midi.Write(w, p.Played, midi.Options{Shares: sound.Shares(p.Played, o), Slides: sound.Slides(p.Played, o)})
}
