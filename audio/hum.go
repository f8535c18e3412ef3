package audio

import (
	"math"
	"slices"
)

// Hum is sought where nobody plays: in windows of half a second, long enough
// to tell 50 from 60 Hz, whose level lies well below the playing. There a note
// cannot be mistaken for it. All values are estimates but for the mains'
// frequencies (IEC 60038).
const (
	humRate    = 1000 // means a second that the windows are made of
	humWindow  = humRate / 2
	humHop     = humWindow / 2
	humTones   = 5    // multiples of each frequency
	humQuiet   = 20.0 // dB below the loud parts that a window must be
	humLoud    = 0.95 // quantile of the windows' levels that counts as loud
	humAbove   = 10.0 // dB over the noise between its multiples that a hum must stand
	humLeast   = 2    // quiet windows without which nothing is said
	humNothing = 1e-12
)

var mains = [2]float64{50, 60} // Hz

// humBetween are frequencies in Hz where no hum is, for the noise.
var humBetween = []float64{38, 75, 85, 135, 165, 220, 270}

// humTable holds a windowed cosine and sine for each frequency looked at.
type humTable struct {
	hz       []float64
	cos, sin [][]float64
}

func newHumTable() *humTable {
	t := &humTable{}
	for _, f := range mains {
		for k := 1; k <= humTones; k++ {
			t.hz = append(t.hz, f*float64(k))
		}
	}
	t.hz = append(t.hz, humBetween...)
	for _, hz := range t.hz {
		c, s := make([]float64, humWindow), make([]float64, humWindow)
		for i := range c {
			hann := 1 - math.Cos(2*math.Pi*(float64(i)+0.5)/humWindow)
			// Means over 1 ms fall off towards high frequencies.
			w := math.Sqrt2 * hann / humWindow / sincCut(1, hz/humRate)
			angle := 2 * math.Pi * hz * float64(i) / humRate
			c[i], s[i] = w*math.Cos(angle), w*math.Sin(angle)
		}
		t.cos, t.sin = append(t.cos, c), append(t.sin, s)
	}
	return t
}

// humFinder takes in a recording as its means over 1 ms.
type humFinder struct {
	table  *humTable
	buf    []float64
	levels []float32 // dB, of all windows
	quiet  []humPart
	loud   float32 // the highest of levels
}

// humPart is a window that may turn out to be quiet.
type humPart struct {
	level  float32   // dB
	powers []float32 // at the table's frequencies
}

func newHumFinder() *humFinder { return &humFinder{table: newHumTable(), loud: SilenceDB} }

// add takes the mean of the next millisecond.
func (h *humFinder) add(mean float64) {
	h.buf = append(h.buf, mean)
	if len(h.buf) == humWindow {
		h.window()
		h.buf = h.buf[:copy(h.buf, h.buf[humHop:])]
	}
}

func (h *humFinder) window() {
	level := float32(DB(math.Sqrt(dot(h.buf, h.buf) / humWindow)))
	h.levels = append(h.levels, level)
	h.loud = max(h.loud, level)
	if level > h.loud-humQuiet {
		return // nor will it be quiet once louder ones have come
	}
	p := humPart{level: level, powers: make([]float32, len(h.table.hz))}
	for i := range p.powers {
		c, s := dot(h.buf, h.table.cos[i]), dot(h.buf, h.table.sin[i])
		p.powers[i] = float32(c*c + s*s)
	}
	h.quiet = append(h.quiet, p)
}

// find returns the frequency of the mains' hum in Hz and its level in dBFS,
// multiples included; 0 and SilenceDB when there is none or no quiet part to
// look for it.
func (h *humFinder) find() (hz, level float64) {
	if len(h.levels) == 0 {
		return 0, SilenceDB
	}
	sorted := slices.Sorted(slices.Values(h.levels))
	limit := sorted[int(humLoud*float64(len(sorted)-1))] - humQuiet
	quiet := slices.DeleteFunc(slices.Clone(h.quiet), func(p humPart) bool { return p.level > limit })
	if len(quiet) < humLeast {
		return 0, SilenceDB
	}
	var between []float64
	for i := 2 * humTones; i < len(h.table.hz); i++ {
		between = append(between, medianAt(quiet, i))
	}
	noise := max(median(between), humNothing)
	best := 0.0
	for m, f := range mains {
		if p := humPower(quiet, m*humTones, noise); p > best {
			best, hz = p, f
		}
	}
	return hz, DB(math.Sqrt(best))
}

// humPower is the power of the tones from index first on that stand out of the
// noise; 0 unless one of the two lowest does.
func humPower(quiet []humPart, first int, noise float64) float64 {
	limit := noise * math.Pow(10, humAbove/10)
	sum, low := 0.0, false
	for k := range humTones {
		if p := medianAt(quiet, first+k); p > limit {
			sum += p
			low = low || k < 2
		}
	}
	if !low {
		return 0
	}
	return sum
}

// medianAt is the median power of a frequency over the windows: a hum is there
// all the time, a key's click or a voice is not.
func medianAt(parts []humPart, i int) float64 {
	x := make([]float64, len(parts))
	for k, p := range parts {
		x[k] = float64(p.powers[i])
	}
	return median(x)
}

func median(x []float64) float64 {
	slices.Sort(x)
	return x[len(x)/2]
}
