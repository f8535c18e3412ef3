package hear

import (
	"errors"
	"fmt"
	"strings"
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

// Listen measures a take of pf that is in memory. The error says that the
// options or the clip cannot be used, or, wrapping [align.ErrUnlike], that the
// recording is not one of this part.
func Listen(pf *score.Performance, clip *audio.Clip, o Options) (*Take, error) {
	began := time.Now()
	l, err := newListener(pf, o)
	if err != nil {
		return nil, err
	}
	if clip == nil || clip.Rate <= 0 || clip.Seconds() < shortestTake {
		return nil, errTooShort
	}
	heard, facts := sane(clip.Mono()), audio.Measure(clip)
	facts.Notices = append(facts.Notices, clip.Notices...)
	return l.listen(audio.Resample(heard, clip.Rate, pitch.Rate), facts, began)
}

// ListenTo measures a take of pf as it is read, block by block: what stays in
// memory is one channel at pitch.Rate, half a gigabyte for an hour. Errors are
// those of Listen and of the reader.
func ListenTo(pf *score.Performance, r *audio.Reader, o Options) (*Take, error) {
	began := time.Now()
	l, err := newListener(pf, o)
	if err != nil {
		return nil, err
	}
	x, facts, err := gather(r, longestTake, l.decoding)
	if err != nil {
		return nil, err
	}
	return l.listen(x, facts, began)
}

var errTooShort = errors.New("the recording is too short to hold a note; a tenth of a second is the least")

// newListener checks the options.
func newListener(pf *score.Performance, o Options) (*listener, error) {
	if o.A4 == 0 {
		o.A4 = standardA4
	}
	if !(o.A4 >= lowestA4 && o.A4 <= highestA4) {
		return nil, fmt.Errorf("reference A of %g Hz is outside %g to %g Hz; 440 works", o.A4, lowestA4, highestA4)
	}
	if o.Ways != nil && len(o.Ways) != len(pf.Notes) {
		return nil, fmt.Errorf("%d ways for %d played notes; one for each is needed, or none", len(o.Ways), len(pf.Notes))
	}
	if o.Progress == nil {
		o.Progress = func(float64) {}
	}
	return &listener{Options: o, pf: pf, a4: o.A4}, nil
}

// listen measures x, mono at pitch.Rate.
func (l *listener) listen(x []float64, facts audio.Facts, began time.Time) (*Take, error) {
	if float64(len(x)) < shortestTake*pitch.Rate {
		return nil, errTooShort
	}
	if err := l.hear(x); err != nil {
		if len(facts.Notices) > 0 { // which may be why
			err = fmt.Errorf("%w; of the file: %s", err, strings.TrimSuffix(strings.Join(facts.Notices, " "), "."))
		}
		return nil, err
	}
	t := l.take()
	t.Record = facts
	t.Findings = l.findings(t)
	finding.Sort(t.Findings)
	t.First = first(t.Findings)
	t.SpeedX = facts.Seconds / max(time.Since(began).Seconds(), 1e-6)
	l.Progress(1)
	return t, nil
}

// listener holds what the steps of listening share.
type listener struct {
	Options
	pf        *score.Performance
	a4        float64
	x         []float64 // mono at pitch.Rate
	frames    []pitch.Frame
	env       []float64 // dBFS, one a frame
	sounds    []onset.Sound
	al        *align.Alignment
	starts    []float64 // onset of each played note in seconds; meaningless when missed
	doubts    []float64 // its standard uncertainty in seconds
	split     []bool
	beatDoubt float64      // standard uncertainty of the local beat in seconds
	clock     *align.Clock // through the final onsets
	steady    []beat       // one for each stretch of the take
	bpm       float64      // of the opening as performed, in felt beats a minute
}

// Shares of the computing time (measured).
const decoded, tracked = 0.45, 0.9

// decoding reports the share of the reading that is done.
func (l *listener) decoding(share float64) { l.Progress(decoded * share) }

// hear turns the samples into sounds and joins them to the notes.
func (l *listener) hear(x []float64) error {
	l.x = x
	l.Progress(decoded)
	l.frames = pitch.Track(x, func(s float64) { l.Progress(decoded + s*(tracked-decoded)) })
	l.env = onset.Envelope(x)
	l.sounds = onset.Detect(x, l.frames)
	l.Progress(tracked)
	var err error
	l.al, err = align.Align(l.pf, l.sounds, l.a4)
	return err
}
