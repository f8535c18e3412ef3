package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"time"

	"gitlab.com/gomidi/midi/v2"
	"gitlab.com/gomidi/midi/v2/smf"

	"waterkey/audio"
)

// How the SoundFont is played: each note for two seconds at mezzo-forte, as package
// midi writes it, on the trombone of General MIDI (57 from 0), dry.
const (
	every     = 3.0 // seconds from one note to the next
	held      = 2.0
	velocity  = 80
	trombone  = 57
	rate      = "44100"
	perSecond = 960 // ticks, at sixty quarter notes a minute
	patience  = 2 * time.Minute
)

// rendered has fluidsynth play all notes, one after the other. The error says what is
// not here.
func rendered(font string, notes []note) (*audio.Clip, error) {
	program, err := exec.LookPath("fluidsynth")
	if err != nil {
		return nil, errors.New("the program fluidsynth is not here")
	}
	if _, err := os.Stat(font); err != nil {
		return nil, fmt.Errorf("the SoundFont is not here: %w", err)
	}
	folder, err := os.MkdirTemp("", "waterkey-soundfont")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(folder)
	score, wav := filepath.Join(folder, "notes.mid"), filepath.Join(folder, "notes.wav")
	if err := os.WriteFile(score, scale(notes), 0o600); err != nil {
		return nil, err
	}
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	// No reverb, no chorus: what they add is not the instrument's.
	c := exec.CommandContext(ctx, program, "-n", "-i", "-q", "-R", "0", "-C", "0", "-r", rate, "-F", wav, font, score)
	if out, err := c.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("%w: %s", err, bytes.TrimSpace(out))
	}
	return audio.Open(wav)
}

// scale is a MIDI file of the notes.
func scale(notes []note) []byte {
	var t smf.Track
	t.Add(0, smf.MetaTempo(60))
	t.Add(0, midi.ProgramChange(0, trombone))
	wait := uint32(0)
	for _, n := range notes {
		t.Add(wait, midi.NoteOn(0, uint8(n.midi), velocity))
		t.Add(held*perSecond, midi.NoteOff(0, uint8(n.midi)))
		wait = (every - held) * perSecond
	}
	t.Close(wait)
	file := smf.New()
	file.TimeFormat = smf.MetricTicks(perSecond)
	_ = file.Add(t) // the track is closed
	var b bytes.Buffer
	_, _ = file.WriteTo(&b) // to memory
	return b.Bytes()
}

// part is the i-th note of the clip.
func part(clip *audio.Clip, i int) []float64 {
	x := clip.Mono()
	at := func(s float64) int { return min(int(s*float64(clip.Rate)), len(x)) }
	start := every * float64(i)
	return x[at(start):at(start+every)]
}
