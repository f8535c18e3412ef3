package sound

import "waterkey/score"

// Options say how a performance is to sound. The zero Options are 48 kHz at
// A4 = 440 Hz with neither silence, count-in nor click, on a plain tone of exact
// lengths, moves and levels, as tests and measurements want it.
type Options struct {
	Rate   int           // samples a second; 0 is DefaultRate
	A4     float64       // Hz; 0 is DefaultA4
	LeadIn score.Seconds // silence before everything else
	Least  score.Seconds // how long the clip is at least, whatever sounds at its end

	// The instrument and how it is played.
	Timbre  *Timbre      // nil is the plain tone
	Ways    []Way        // one for each played note; nil when not known
	Breaths []Breath     // where air is taken
	Shape   []LevelPoint // in order of time; bends the levels of the page a little
	Style   Style        // of notes without a mark that says otherwise

	// The beat.
	Click   bool  // ticks on the felt beats through the music
	CountIn int   // bars of ticks before the music, or Conducted
	Divide  int   // ticks to a felt beat; 0 and 1 are the beat alone
	Accents []int // beats of the bar that are strong, from 1; nil is beat one, and the first of each group of a mixed meter

	// What is left out for practice.
	Bars      Bars   // a passage; the zero Bars are all
	PlayAlong bool   // the part is not heard, but a cue before each entrance
	Inner     InTurn // bars heard and bars silent by turns
}

const (
	DefaultRate = 48000 // Hz: the usual rate of recording and video
	DefaultA4   = 440.0 // Hz: ISO 16:1975
)

// Conducted is a count-in as a conductor gives it: enough of the beat to know it,
// and a last beat to breathe on.
const Conducted = -1

// Bars are a passage as indexes into Performance.Bars, From included and To not.
// What begins before the passage is left out; its last note may reach out of it.
type Bars struct{ From, To int }

// InTurn has so many bars heard, then so many silent, and so on from the first
// full bar. Neither part nor click sounds in a silent bar; the count-in does. The
// zero InTurn hears everything.
type InTurn struct{ Heard, Silent int }

// Breath is air taken after a note: the note gives up the end of its value.
type Breath struct {
	After int           // index into Performance.Notes
	Room  score.Seconds // of silence before the next note
}

// filled puts the defaults in place of what was left out or is senseless.
func (o Options) filled() Options {
	if o.Rate <= 0 {
		o.Rate = DefaultRate
	}
	if !(o.A4 > 0) {
		o.A4 = DefaultA4
	}
	if o.Timbre == nil {
		o.Timbre = &plainTone
	}
	o.LeadIn = max(o.LeadIn, 0)
	o.CountIn = max(o.CountIn, Conducted)
	o.Divide = max(o.Divide, 1)
	return o
}

// Passage is the played bars that sound, as indexes, the last excluded.
func (o Options) Passage(pf *score.Performance) (from, to int) {
	from, to = max(o.Bars.From, 0), o.Bars.To
	if to <= 0 || to > len(pf.Bars) {
		to = len(pf.Bars)
	}
	return min(from, to), to
}

// Plays says whether the i-th played note begins in the passage.
func (o Options) Plays(pf *score.Performance, i int) bool {
	from, to := o.Passage(pf)
	at := pf.Notes[i].At
	return from < to && !at.Less(pf.Bars[from].At) && (to == len(pf.Bars) || at.Less(pf.Bars[to].At))
}

// Offset leads from the clock of the performance to that of the clip: a moment s
// of the performance sounds at Offset + s. For a passage from the middle it is
// negative as often as not; [MusicStart] is when the passage begins.
func Offset(pf *score.Performance, o Options) score.Seconds {
	from, _ := o.Passage(pf)
	start := MusicStart(pf, o)
	if from > 0 && from < len(pf.Bars) {
		start -= pf.Seconds(pf.Bars[from].At)
	}
	return start
}

// MusicStart is the moment of the clip at which the first bar that sounds begins:
// lead-in and count-in together.
func MusicStart(pf *score.Performance, o Options) score.Seconds {
	o = o.filled()
	return o.LeadIn + countInLength(pf, o)
}
