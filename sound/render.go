package sound

import (
	"io"

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
	s := NewStream(tones, o)
	out := make([]float64, s.Len())
	for n := 0; n < len(out); {
		k, err := s.Read(out[n:])
		if err == io.EOF {
			break
		}
		n += k
	}
	return &audio.Clip{Rate: s.Rate(), Channels: [][]float64{out}}
}
