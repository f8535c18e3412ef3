package desk

import (
	"fmt"
	"math"
	"path/filepath"
	"slices"

	"waterkey/audio"
	"waterkey/hear/pitch"
	"waterkey/score"
)

// How a recorded long tone is told from what stands around it.
const (
	// breakSeconds is the longest gap in a tone that is still one tone: a lost grip,
	// no breath (estimate; a catch breath takes 0.3 s and more).
	breakSeconds = 0.15
	// sameToneCents is how far a held tone may wander: half a semitone either way.
	sameToneCents = 50.0
	// leastToneSeconds is the shortest tone worth timing: less than any full breath
	// lasts at any level (estimate).
	leastToneSeconds = 2.0
)

// TimeLongTone times the longest held tone of a recording, and names its pitch. The
// level is the player's to say: a recording does not know it. The error says that
// the file is no recording, or holds no long tone.
func TimeLongTone(path, level string) (LongToneRecord, error) {
	r, err := audio.OpenReader(path)
	if err != nil {
		return LongToneRecord{}, err
	}
	defer r.Close()
	mono, _, err := r.Listen(pitch.Rate)
	if err != nil {
		return LongToneRecord{}, err
	}
	frames := pitch.Track(mono, nil)
	from, to := longestTone(frames)
	seconds := 0.0
	if to > from {
		seconds = frames[to-1].At - frames[from].At
	}
	if seconds < leastToneSeconds {
		return LongToneRecord{}, fmt.Errorf("%s holds no long tone: the longest lasts %.1f s; hold one from a full breath until the air is gone, %g s or more",
			filepath.Base(path), seconds, leastToneSeconds)
	}
	midi := int(math.Round(middleCents(frames[from:to]) / 100))
	t := LongToneRecord{Pitch: score.PitchFromMIDI(midi).String(), Level: level, Seconds: round(seconds, 2)}
	_, err = t.tone()
	return t, err
}

// longestTone is the longest run of frames on one pitch, gaps and all: first, and
// one past the last.
func longestTone(frames []pitch.Frame) (from, to int) {
	for i := 0; i < len(frames); {
		if frames[i].Hz == 0 {
			i++
			continue
		}
		end := toneFrom(frames, i)
		if end-i > to-from {
			from, to = i, end
		}
		i = end
	}
	return from, to
}

// toneFrom is one past the last frame of the tone that starts at i. It wanders about
// the pitch of its last second.
func toneFrom(frames []pitch.Frame, i int) int {
	const recent = 1.0 // s
	last, cents := i, frames[i].Cents()
	for j := i + 1; j < len(frames) && frames[j].At-frames[last].At <= breakSeconds; j++ {
		if frames[j].Hz == 0 || math.Abs(frames[j].Cents()-cents) > sameToneCents {
			continue
		}
		share := min((frames[j].At-frames[last].At)/recent, 1)
		cents += share * (frames[j].Cents() - cents)
		last = j
	}
	return last + 1
}

// middleCents is the median pitch, in cents above MIDI note 0.
func middleCents(frames []pitch.Frame) float64 {
	var all []float64
	for _, f := range frames {
		if f.Hz > 0 {
			all = append(all, f.Cents())
		}
	}
	slices.Sort(all)
	return all[len(all)/2]
}
