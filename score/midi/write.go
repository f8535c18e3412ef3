package midi

import (
	"bytes"
	"cmp"
	"fmt"
	"io"
	"slices"

	"waterkey/score"

	gomidi "gitlab.com/gomidi/midi/v2"
	"gitlab.com/gomidi/midi/v2/smf"
)

// Options say how the file is to be written. The zero Options are DefaultTicks
// and a trombone on channel 1.
type Options struct {
	Ticks   int // to a quarter note, 24 to 32767; 0 is DefaultTicks
	Program int // General MIDI program, 1 to 128; 0 is Trombone
	// Shares are the shares of their value that the played notes sound, 0 to 1, one
	// for each; nil is [score.Note.SoundedShare].
	Shares []float64
	// Slides say by played note how far it slides until its end, in semitones: what
	// the chosen path makes of the glissandi. Nil slides each one to its next note.
	Slides map[int]float64
}

const (
	// DefaultTicks to a quarter note hold every common value and triplet
	// exactly (common practice).
	DefaultTicks = 960
	// Trombone is its number in the General MIDI Level 1 sound set, counted
	// from 1.
	Trombone = 58

	leastTicks, mostTicks = 24, 32767 // MIDI clocks; what 15 bits hold
	programs              = 128

	channel = 0 // the first
)

// filled puts in the defaults, and says what is out of range.
func (o Options) filled() (Options, error) {
	o.Ticks, o.Program = cmp.Or(o.Ticks, DefaultTicks), cmp.Or(o.Program, Trombone)
	if o.Ticks < leastTicks || o.Ticks > mostTicks {
		return o, fmt.Errorf("%d ticks to a quarter note is outside %d to %d; try %d", o.Ticks, leastTicks, mostTicks, DefaultTicks)
	}
	if o.Program < 1 || o.Program > programs {
		return o, fmt.Errorf("program %d is outside 1 to %d; a trombone is %d", o.Program, programs, Trombone)
	}
	return o, nil
}

// Write writes the performance to w. Nothing is written when options or tempo
// do not fit into a Standard MIDI File, or a pitch is outside C-1 to G9.
func Write(w io.Writer, pf *score.Performance, o Options) error {
	o, err := o.filled()
	if err != nil {
		return err
	}
	if o.Shares != nil && len(o.Shares) != len(pf.Notes) {
		return fmt.Errorf("%d shares for %d played notes; give one for each, or none", len(o.Shares), len(pf.Notes))
	}
	g := grid{pf: pf, perWhole: 4 * int64(o.Ticks), shares: o.Shares, slides: o.Slides}
	tempos, err := g.tempos()
	if err != nil {
		return err
	}
	notes, err := g.notes()
	if err != nil {
		return err
	}
	file := smf.NewSMF1()
	file.TimeFormat = smf.MetricTicks(uint16(o.Ticks))
	title := []event{{message: smf.MetaTrackSequenceName(pf.Part.Title)}}
	for _, events := range [][]event{
		slices.Concat(title, tempos, g.meters(), g.keys()),
		slices.Concat(setUp(pf.Part.Name, o), notes),
	} {
		if err := file.Add(track(events, g.tick(pf.Length()))); err != nil {
			return err
		}
	}
	// The library closes a writer that can be closed; w is not ours to close.
	var buf bytes.Buffer
	if _, err := file.WriteTo(&buf); err != nil {
		return err
	}
	_, err = w.Write(buf.Bytes())
	return err
}

// event is a message at a tick. Events of one tick keep the order given, those
// of lower rank first.
type event struct {
	tick    int64
	rank    int
	message []byte
}

// track strings events together; it ends at end or with the last event.
func track(events []event, end int64) smf.Track {
	slices.SortStableFunc(events, func(a, b event) int {
		return cmp.Or(cmp.Compare(a.tick, b.tick), cmp.Compare(a.rank, b.rank))
	})
	var out smf.Track
	now := int64(0)
	for _, e := range events {
		out.Add(uint32(e.tick-now), e.message)
		now = e.tick
	}
	out.Close(uint32(max(end-now, 0)))
	return out
}

// Controllers of MIDI 1.0.
const (
	dataEntry, dataEntryFine          = 6, 38
	parameterFine, parameterCoarse    = 100, 101
	bendRangeParameter, nullParameter = 0, 127
)

// setUp names the track, chooses the sound and sets the bend range.
func setUp(name string, o Options) []event {
	messages := [][]byte{
		smf.MetaTrackSequenceName(name),
		gomidi.ProgramChange(channel, uint8(o.Program-1)),
		gomidi.ControlChange(channel, expressionControl, restingExpression),
	}
	for _, c := range [][2]uint8{
		{parameterCoarse, bendRangeParameter}, {parameterFine, bendRangeParameter},
		{dataEntry, bendRange}, {dataEntryFine, 0},
		{parameterCoarse, nullParameter}, {parameterFine, nullParameter},
	} {
		messages = append(messages, gomidi.ControlChange(channel, c[0], c[1]))
	}
	var out []event
	for _, m := range messages {
		out = append(out, event{rank: first, message: m})
	}
	return out
}
