package audio

import (
	"math"
	"slices"
)

// SilenceDB is the level that digital silence reads, in dBFS and LUFS, so that
// every measure is a finite number (estimate: below 20-bit converters).
const SilenceDB = -120.0

// Facts are the measures of a recording as a recording.
type Facts struct {
	Seconds      float64 `json:"seconds"`
	SampleRate   int     `json:"sample_rate"`
	PeakDBFS     float64 `json:"peak_dbfs"`     // highest sample
	LoudnessLUFS float64 `json:"loudness_lufs"` // integrated, ITU-R BS.1770-4
	// NoiseFloorDBFS is the level that a tenth of all 50 ms frames stay below.
	// In a take with rests it is the room; in one without any it is the
	// quietest playing, so read it as "the noise is no more than this".
	NoiseFloorDBFS float64 `json:"noise_floor_dbfs"`
	// Clipped counts samples at full scale that stand in runs of clipRun or
	// more: a lone peak that just touches full scale is no clipping.
	Clipped int `json:"clipped"`
}

const (
	noiseFrame = 0.050 // s: longer than a period of the lowest note, short against a rest (estimate)
	noiseShare = 0.10  // of the frames (estimate)
	clipLevel  = 0.9999
	clipRun    = 3 // samples (common practice)
)

// Measure takes the facts of a clip.
func Measure(c *Clip) Facts {
	f := Facts{
		Seconds:        c.Seconds(),
		SampleRate:     c.Rate,
		LoudnessLUFS:   Loudness(c),
		NoiseFloorDBFS: noiseFloor(c),
	}
	peak := 0.0
	for _, ch := range c.Channels {
		p, clipped := peakOf(ch)
		peak = max(peak, p)
		f.Clipped += clipped
	}
	f.PeakDBFS = DB(peak)
	return f
}

// DB is 20·log10 of an amplitude, not below SilenceDB.
func DB(amplitude float64) float64 {
	return max(SilenceDB, 20*math.Log10(amplitude))
}

func peakOf(x []float64) (peak float64, clipped int) {
	run := 0
	for _, v := range x {
		v = math.Abs(v)
		peak = max(peak, v)
		if v < clipLevel {
			run = 0
			continue
		}
		run++
		switch {
		case run == clipRun:
			clipped += clipRun
		case run > clipRun:
			clipped++
		}
	}
	return peak, clipped
}

// noiseFloor is the level in dBFS below which noiseShare of the frames lie;
// channels are averaged in power.
func noiseFloor(c *Clip) float64 {
	size := min(max(int(noiseFrame*float64(c.Rate)), 1), max(c.Len(), 1))
	var powers []float64
	for at := 0; at+size <= c.Len(); at += size {
		sum := 0.0
		for _, ch := range c.Channels {
			for _, v := range ch[at : at+size] {
				sum += v * v
			}
		}
		powers = append(powers, sum/float64(size*len(c.Channels)))
	}
	if len(powers) == 0 {
		return SilenceDB
	}
	slices.Sort(powers)
	return DB(math.Sqrt(powers[int(noiseShare*float64(len(powers)))]))
}
