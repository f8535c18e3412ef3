package audio

import "math"

// SilenceDB is the level that digital silence reads, in dBFS and LUFS, so that
// every measure is a finite number (estimate: below 20-bit converters).
const SilenceDB = -120.0

// Facts are the measures of a recording as a recording. A measure that needs
// more sound than there is reads SilenceDB, or 0 where it is no level.
type Facts struct {
	Seconds      float64 `json:"seconds"`
	SampleRate   int     `json:"sample_rate"`
	PeakDBFS     float64 `json:"peak_dbfs"`      // highest sample
	TruePeakDBTP float64 `json:"true_peak_dbtp"` // highest value between samples, ITU-R BS.1770-4
	LoudnessLUFS float64 `json:"loudness_lufs"`  // integrated, ITU-R BS.1770-4

	MomentaryMaxLUFS float64 `json:"momentary_max_lufs"`  // over 400 ms, EBU Tech 3341
	ShortTermMaxLUFS float64 `json:"short_term_max_lufs"` // over 3 s, EBU Tech 3341
	LoudnessRangeLU  float64 `json:"loudness_range_lu"`   // EBU Tech 3342

	// NoiseFloorDBFS is the level that a tenth of all 50 ms frames stay below.
	// In a take with rests it is the room; in one without any it is the
	// quietest playing, so read it as "the noise is no more than this".
	NoiseFloorDBFS float64 `json:"noise_floor_dbfs"`

	// HumHz is 50 or 60 when the mains hum in the quiet parts, 0 when they do
	// not or when no part is quiet; HumDBFS is the hum's level, multiples
	// included.
	HumHz   float64 `json:"hum_hz"`
	HumDBFS float64 `json:"hum_dbfs"`

	// Clipped counts samples at full scale that stand in runs of clipRun or
	// more: a lone peak that just touches full scale is no clipping.
	Clipped     int `json:"clipped"`
	ClippedRuns int `json:"clipped_runs"`

	// DC is the mean of the channel where it is furthest from 0, of full scale.
	DC float64 `json:"dc"`

	// SilenceStart and SilenceEnd are how long nobody plays at either end, to
	// 50 ms.
	SilenceStart float64 `json:"silence_start_s"`
	SilenceEnd   float64 `json:"silence_end_s"`

	// DeadChannels are the channels, 1 for the first, in which next to nothing
	// is while others have sound.
	DeadChannels []int `json:"dead_channels,omitempty"`

	Notices []string `json:"notices,omitempty"` // what reading had to pass over
}

// DB is 20·log10 of an amplitude, not below SilenceDB.
func DB(amplitude float64) float64 {
	if amplitude <= 0 {
		return SilenceDB
	}
	return max(SilenceDB, 20*math.Log10(amplitude))
}

// Measure takes the facts of a clip.
func Measure(c *Clip) Facts {
	m := NewMeter(c.Rate, len(c.Channels))
	block := make([][]float64, len(c.Channels))
	for at := 0; at < c.Len(); at += blockFrames {
		for ch, x := range c.Channels {
			block[ch] = x[at:min(at+blockFrames, c.Len())]
		}
		m.Add(block)
	}
	f := m.Facts()
	f.Notices = c.Notices
	return f
}
