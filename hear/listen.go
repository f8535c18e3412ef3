package hear

import (
	"errors"
	"fmt"
	"time"

	"waterkey/audio"
	"waterkey/finding"
	"waterkey/hear/align"
	"waterkey/hear/onset"
	"waterkey/hear/pitch"
	"waterkey/score"
)

const (
	standardA4 = 440.0 // Hz: ISO 16:1975
	// lowestA4 and highestA4 bound the reference: historical pitches and their
	// transpositions by a semitone included.
	lowestA4, highestA4 = 390.0, 470.0

	// shortestTake is the least that can hold a note, in seconds.
	shortestTake = 0.1
)

// Listen measures a take of pf. The error says that the options or the clip
// cannot be used, or, wrapping [align.ErrUnlike], that the recording is not
// one of this part.
func Listen(pf *score.Performance, clip *audio.Clip, o Options) (*Take, error) {
	began := time.Now()
	if o.A4 == 0 {
		o.A4 = standardA4
	}
	if !(o.A4 >= lowestA4 && o.A4 <= highestA4) {
		return nil, fmt.Errorf("reference A of %g Hz is outside %g to %g Hz; 440 works", o.A4, lowestA4, highestA4)
	}
	if clip == nil || clip.Rate <= 0 || clip.Seconds() < shortestTake {
		return nil, errors.New("the recording is too short to hold a note")
	}
	l := &listener{pf: pf, a4: o.A4}
	if err := l.hear(clip, o.Progress); err != nil {
		return nil, err
	}
	t := l.take()
	t.Record = audio.Measure(clip)
	t.Findings = l.findings(t)
	finding.Sort(t.Findings)
	t.SpeedX = clip.Seconds() / max(time.Since(began).Seconds(), 1e-6)
	return t, nil
}

// listener holds what the steps of listening share.
type listener struct {
	pf     *score.Performance
	a4     float64
	frames []pitch.Frame
	env    []float64 // dBFS, one a frame
	sounds []onset.Sound
	al     *align.Alignment
	starts []float64 // onset of each played note in seconds; meaningless when missed
	split  []bool
	clock  *align.Clock // through the final onsets
	bpm    float64      // of the opening as performed, in felt beats a minute
}

// hear turns the clip into sounds and joins them to the notes.
func (l *listener) hear(clip *audio.Clip, progress func(float64)) error {
	if progress == nil {
		progress = func(float64) {}
	}
	// Shares of the computing time (measured).
	const resampled, tracked = 0.2, 0.9
	x := audio.Resample(clip.Mono(), clip.Rate, pitch.Rate)
	progress(resampled)
	l.frames = pitch.Track(x, func(s float64) { progress(resampled + s*(tracked-resampled)) })
	l.env = onset.Envelope(x)
	l.sounds = onset.Detect(x, l.frames)
	progress(tracked)
	var err error
	l.al, err = align.Align(l.pf, l.sounds, l.a4)
	progress(1)
	return err
}
