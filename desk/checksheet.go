package desk

import (
	"time"

	"waterkey/hear"
)

// CheckSheet is what identifies a recording, and what a panel's rules may ask of it
// before it is sent.
type CheckSheet struct {
	FileName  string    `json:"file_name"`
	MediaType string    `json:"media_type,omitempty"` // "" when nobody said
	Bytes     int64     `json:"bytes"`
	SHA256    Hash      `json:"sha256"`
	Recorded  time.Time `json:"recorded,omitzero"` // zero when nobody said

	// Heard is false for a recording that could not be held against the page; it has
	// no tuning and no tempo, and nothing but file and hash when it cannot be decoded.
	Heard           bool     `json:"heard"`
	Seconds         float64  `json:"seconds"`
	SampleRate      int      `json:"sample_rate"`
	Channels        int      `json:"channels"`
	PeakDBFS        float64  `json:"peak_dbfs"`
	TruePeakDBTP    float64  `json:"true_peak_dbtp"`
	LoudnessLUFS    float64  `json:"loudness_lufs"`
	LoudnessRangeLU float64  `json:"loudness_range_lu"`
	NoiseFloorDBFS  float64  `json:"noise_floor_dbfs"`
	OverNoiseDB     *float64 `json:"over_noise_db"` // of the notes over what lies between them; null when nothing does
	HumHz           float64  `json:"hum_hz,omitempty"`
	Clipped         int      `json:"clipped"` // samples
	SilenceStart    float64  `json:"silence_start_s"`
	SilenceEnd      float64  `json:"silence_end_s"`
	TuningHz        float64  `json:"tuning_hz"` // 0 when not heard
	TempoBPM        float64  `json:"tempo_bpm"`
	Notices         []string `json:"notices,omitempty"` // what reading had to pass over
}

// fill adds what was measured; heard is nil after a failure.
func (c *CheckSheet) fill(sound recorded, heard *hear.Take) {
	if heard != nil {
		c.Heard, c.TuningHz, c.TempoBPM = true, round(heard.TuningHz, 1), round(heard.TempoBPM, 1)
		if heard.OverNoise != nil {
			db := round(*heard.OverNoise, 0)
			c.OverNoiseDB = &db
		}
	}
	f := sound.facts
	if f == nil {
		return
	}
	c.Seconds, c.SampleRate, c.Channels = round(f.Seconds, 3), f.SampleRate, sound.channels
	c.PeakDBFS, c.TruePeakDBTP = round(f.PeakDBFS, 2), round(f.TruePeakDBTP, 2)
	c.LoudnessLUFS, c.LoudnessRangeLU = round(f.LoudnessLUFS, 1), round(f.LoudnessRangeLU, 1)
	c.NoiseFloorDBFS, c.HumHz, c.Clipped = round(f.NoiseFloorDBFS, 1), f.HumHz, f.Clipped
	c.SilenceStart, c.SilenceEnd = round(f.SilenceStart, 2), round(f.SilenceEnd, 2)
	c.Notices = f.Notices
}
