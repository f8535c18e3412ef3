package audio

import (
	"io"
	"math"
)

// take is some playing: notes of a second with decay and overtones, and a pause
// of two seconds after every sixth.
func take(rate, channels int, seconds float64) *Clip {
	x := make([]float64, int(seconds*float64(rate)))
	for i := range x {
		t := float64(i) / float64(rate)
		note := int(t)
		if note%8 >= 6 {
			continue
		}
		within := t - float64(note)
		hz := 110 * math.Pow(2, float64(note*5%13)/12)
		for k := 1.0; k <= 6; k++ {
			x[i] += 0.15 / k * math.Exp(-2*within) * math.Sin(2*math.Pi*hz*k*t)
		}
	}
	c := &Clip{Rate: rate}
	for range channels {
		c.Channels = append(c.Channels, x)
	}
	return c
}

// blocksOf hands out a clip block by block.
func blocksOf(c *Clip) func() ([][]float64, error) {
	at := 0
	return func() ([][]float64, error) {
		if at == c.Len() {
			return nil, io.EOF
		}
		n := min(blockFrames, c.Len()-at)
		block := make([][]float64, len(c.Channels))
		for ch, x := range c.Channels {
			block[ch] = x[at : at+n]
		}
		at += n
		return block, nil
	}
}
