package desk

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"waterkey/audio"
	"waterkey/hear"
)

const (
	// roomLeast is the least silence before the playing, in seconds, in which the
	// room can be heard (estimate: five frames of levelFrame), and clearOf is kept
	// away from the first attack (estimate: it is found to some ms).
	roomLeast, clearOf = 0.25, 0.1
	// levelFrame is over what a level is taken, in seconds, and roomShare the share
	// of such frames at rest that are left once breathing and handling are passed
	// over (estimates).
	levelFrame, roomShare = 0.05, 0.25
	// noisyBelow is how many dB the room must lie below the notes: with less it
	// covers the soft end of a diminuendo, which falls some 30 dB (estimate).
	noisyBelow = 30.0
	// fewNotes may be missed at either end of a whole take (estimate: a first note
	// that does not speak is a fault of the playing).
	fewNotes = 2
)

// ruleOuts says why a recording should not be sent whatever was played, one sentence
// each. heard is nil when the take could not be held against the page.
func ruleOuts(sound recorded, heard *hear.Take) []string {
	f := sound.facts
	var out []string
	add := func(holds bool, format string, args ...any) {
		if holds {
			out = append(out, fmt.Sprintf(format, args...))
		}
	}
	add(f.Clipped > 0, "It is overdriven: the sound stands at full scale in %s. Record again with less gain.", times(f.ClippedRuns, "place"))
	add(f.SilenceStart == 0, "The start is cut: it sounds from the first moment on. Leave a second before you play.")
	add(f.SilenceEnd == 0, "The end is cut: it still sounds when the recording stops. Leave a second after the last note.")
	for _, ch := range f.DeadChannels {
		add(true, "Channel %d is silent. Check the cable, or record one channel.", ch)
	}
	if heard == nil {
		return out
	}
	first, last := missedEnds(heard.Notes)
	add(first > fewNotes, "The first %d notes of the page are not in it; it begins in bar %s.", first, barAt(heard.Notes, first))
	add(last > fewNotes, "The last %d notes of the page are not in it; it ends in bar %s.", last, barAt(heard.Notes, len(heard.Notes)-1-last))
	below := medianLevel(heard.Notes) - sound.room
	add(sound.room != 0 && below < noisyBelow, "It is noisy: the room lies only %.0f dB below the notes; want %.0f. Go nearer to the microphone, or find a quieter room.",
		max(below, 0), noisyBelow)
	return out
}

// times is "1 place" or "3 places".
func times(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// missedEnds counts the notes missed before the first and after the last that
// sounds.
func missedEnds(notes []hear.Note) (first, last int) {
	sounds := func(n hear.Note) bool { return n.Measures != nil }
	first = slices.IndexFunc(notes, sounds)
	if first < 0 {
		return 0, 0
	}
	for last = 0; !sounds(notes[len(notes)-1-last]); last++ {
	}
	return first, last
}

func barAt(notes []hear.Note, i int) string {
	if i < 0 || i >= len(notes) {
		return "?"
	}
	return strings.TrimSpace(notes[i].Bar)
}

// medianLevel is that of the notes that sounded, in dBFS.
func medianLevel(notes []hear.Note) float64 {
	var v []float64
	for _, n := range notes {
		if n.Measures != nil {
			v = append(v, n.LevelDB)
		}
	}
	if len(v) == 0 {
		return audio.SilenceDB
	}
	slices.Sort(v)
	return v[len(v)/2]
}

// firstOnset is when the playing begins, in seconds; 0 when nothing sounds.
func firstOnset(notes []hear.Note) float64 {
	for _, n := range notes {
		if n.Measures != nil {
			return n.Onset
		}
	}
	return 0
}

// roomLevel is the level in dBFS of what sounds before the playing begins; 0 where
// there is too little of it.
func roomLevel(r *audio.Reader, begins float64) float64 {
	frame := max(int(levelFrame*float64(r.Rate())), 1)
	var x, levels []float64
	for until := begins - clearOf; float64(len(levels)+1)*levelFrame <= until; {
		block, err := r.Next()
		if err != nil {
			break // said when it was listened to
		}
		for i := range block[0] {
			sum := 0.0
			for _, ch := range block {
				sum += ch[i]
			}
			x = append(x, sum/float64(len(block)))
		}
		for ; len(x) >= frame && float64(len(levels)+1)*levelFrame <= until; x = x[frame:] {
			levels = append(levels, rmsDB(x[:frame]))
		}
	}
	if len(levels) < int(roomLeast/levelFrame) {
		return 0
	}
	slices.Sort(levels)
	return levels[int(roomShare*float64(len(levels)))]
}

func rmsDB(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v * v
	}
	return audio.DB(math.Sqrt(sum / float64(len(x))))
}
