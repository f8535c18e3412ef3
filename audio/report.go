package audio

import (
	"math"
	"slices"
)

const (
	noiseShare = 0.10 // of the frames that lie below the noise floor (estimate)

	// A frame is silent when it lies between noise and playing, at least
	// silentLeast and at most silentMost dB below the loud frames, and no more
	// than silentAbove dB over the noise (estimates).
	silentLeast, silentMost, silentAbove = 20.0, 40.0, 6.0
	loudShare                            = 0.95 // quantile of the frames that counts as loud

	// A channel is dead when its level is this many dB below the loudest one's
	// (estimate: a fault in a cable still lets hum and noise in).
	deadBelow = 50.0

	frameSeconds = float64(ticksPerStep*stepsPerFrame) / ticksPerSecond
)

// Facts are the measures of all that was taken in so far.
func (m *Meter) Facts() Facts {
	f := Facts{
		Seconds:          float64(m.frames) / float64(m.rate),
		SampleRate:       m.rate,
		LoudnessLUFS:     m.loud.integrated(),
		MomentaryMaxLUFS: lufs(m.loud.maxM),
		ShortTermMaxLUFS: lufs(m.loud.maxS),
		LoudnessRangeLU:  m.loud.spread(),
		DeadChannels:     m.dead(),
	}
	f.HumHz, f.HumDBFS = m.hum.find()
	top, peak := 0.0, 0.0
	for _, c := range m.channels {
		top, peak = max(top, c.top), max(peak, c.peaks.peak())
		f.Clipped += c.clipped
		f.ClippedRuns += c.runs
		if dc := (c.sum + c.tickSum) / float64(max(m.frames, 1)); math.Abs(dc) > math.Abs(f.DC) {
			f.DC = dc
		}
	}
	f.PeakDBFS, f.TruePeakDBTP = DB(top), DB(max(top, peak))
	m.levelFacts(&f)
	return f
}

// levelFacts are the ones that come from the levels of 50 ms frames.
func (m *Meter) levelFacts(f *Facts) {
	levels := m.levels
	if len(levels) == 0 && m.frames > 0 {
		levels = []float32{float32(m.framePower / float64(m.frames) / float64(len(m.channels)))}
	}
	f.NoiseFloorDBFS, f.SilenceStart, f.SilenceEnd = SilenceDB, f.Seconds, f.Seconds
	if len(levels) == 0 {
		return
	}
	sorted := slices.Sorted(slices.Values(levels))
	noise := powerDB(sorted[int(noiseShare*float64(len(sorted)))])
	loud := powerDB(sorted[int(loudShare*float64(len(sorted)-1))])
	f.NoiseFloorDBFS = noise
	if loud <= SilenceDB {
		return
	}
	silent := min(loud-silentLeast, max(noise+silentAbove, loud-silentMost))
	sounds := func(p float32) bool { return powerDB(p) > silent }
	first := slices.IndexFunc(levels, sounds)
	last := len(levels) - 1
	for ; !sounds(levels[last]); last-- {
	}
	f.SilenceStart = float64(first) * frameSeconds
	f.SilenceEnd = max(0, f.Seconds-float64(last+1)*frameSeconds)
}

// powerDB is the level of a mean square in dBFS, not below SilenceDB.
func powerDB(p float32) float64 { return DB(math.Sqrt(float64(p))) }

// dead lists the channels with next to nothing in them.
func (m *Meter) dead() (out []int) {
	loudest := 0.0
	for _, c := range m.channels {
		loudest = max(loudest, c.squares)
	}
	for ch, c := range m.channels {
		if c.squares < loudest*math.Pow(10, -deadBelow/10) {
			out = append(out, ch+1)
		}
	}
	return out
}
