package sound

import "waterkey/score"

// Options say how a performance is to sound. The zero Options are 48 kHz at
// A4 = 440 Hz with neither silence, count-in nor click.
type Options struct {
	Rate    int           // samples a second; 0 is DefaultRate
	A4      float64       // Hz; 0 is DefaultA4
	LeadIn  score.Seconds // silence before everything else
	Click   bool          // ticks on the felt beats through the music
	CountIn int           // bars of ticks before the music
}

const (
	DefaultRate = 48000 // Hz: the usual rate of recording and video
	DefaultA4   = 440.0 // Hz: ISO 16:1975
)

// filled puts the defaults in place of what was left out or is senseless.
func (o Options) filled() Options {
	if o.Rate <= 0 {
		o.Rate = DefaultRate
	}
	if !(o.A4 > 0) {
		o.A4 = DefaultA4
	}
	o.LeadIn = max(o.LeadIn, 0)
	o.CountIn = max(o.CountIn, 0)
	return o
}

// Offset is the moment of the clip at which the first bar of the performance
// starts: lead-in and count-in together. A moment s of the performance sounds
// at Offset + s.
func Offset(pf *score.Performance, o Options) score.Seconds {
	o = o.filled()
	return o.LeadIn + countInLength(pf, o.CountIn)
}
