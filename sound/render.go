package sound

import (
	"math"

	"waterkey/audio"
)

// tail is the silence after the last tone, in seconds (estimate: room to hear
// that it is over).
const tail = 0.25

// blocksPerSecond is how often the state of the tone is computed; between, it
// changes evenly.
const blocksPerSecond = 1000

// Render makes one channel of samples of the tones, in any order. The clip ends
// a quarter of a second after the last of them; without tones it is empty. What
// would sound before the clip or above half the sample rate is left out. Equal
// tones give equal samples.
func Render(tones []Tone, o Options) *audio.Clip {
	o = o.filled()
	end := 0.0
	for _, t := range tones {
		end = max(end, float64(t.End)+tail)
	}
	out := make([]float64, int(math.Ceil(end*float64(o.Rate))))
	v := newVoice(o.Rate, o.A4)
	for _, c := range chains(tones) {
		c.addTo(out, v)
	}
	for _, t := range tones {
		if t.isTick() {
			addTick(out, t, o.Rate)
		}
	}
	return &audio.Clip{Rate: o.Rate, Channels: [][]float64{out}}
}

// addTo renders a chain block by block.
func (c chain) addTo(out []float64, v *voice) {
	rate := float64(v.rate)
	n := max(v.rate/blocksPerSecond, 1)
	first := int(math.Floor(c[0].start * rate))
	end := c[len(c)-1].silent * rate
	v.phase = 0
	i := 0
	from := c.at(0, float64(first)/rate)
	for float64(first) < end {
		t := float64(first+n) / rate
		for i+1 < len(c) && t >= c[i+1].start {
			i++
		}
		to := c.at(i, t)
		v.add(out, first, n, from, to)
		from, first = to, first+n
	}
}
