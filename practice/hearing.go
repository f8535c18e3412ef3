package practice

import (
	"fmt"
	"math"
)

// The recommended exposure limit of NIOSH (Criteria for a Recommended Standard,
// Occupational Noise Exposure, 1998): 85 dBA for eight hours, half the time for
// every 3 dB more.
const (
	limitDBA     = 85.0
	limitMinutes = 480.0
	exchangeDB   = 3.0
)

// ExposureMinutes is how long a day a level may last by that limit, given in dBA
// as a calibrated meter shows it at the ear.
func ExposureMinutes(dba float64) float64 { return limitMinutes / math.Exp2((dba-limitDBA)/exchangeDB) }

// ExposureLevel is the inverse: the level in dBA at which so many minutes use up
// the day's limit.
func ExposureLevel(minutes float64) float64 {
	return limitDBA + exchangeDB*math.Log2(limitMinutes/minutes)
}

// hearingNote does the arithmetic for the longest day. It speaks of limits alone:
// no recording tells how loud a room is.
func hearingNote(playS int) string {
	minutes := float64(playS) / 60
	if minutes < 1 {
		minutes = 1
	}
	return fmt.Sprintf("Hearing: up to %.0f minutes of playing a day stand here; NIOSH's limit for that is %.0f dBA (85 for eight hours, half the time for every 3 dB). "+
		"Mean levels of 87 to 95 dBA were measured in practice rooms, brass highest (Phillips and Mace, 2008), and the other music of the day counts as well: play in a large room and wear protection when it is loud.",
		minutes, math.Floor(ExposureLevel(minutes)))
}
