package hear

import (
	"errors"
	"fmt"
	"io"
	"math"
	"slices"

	"waterkey/audio"
	"waterkey/hear/pitch"
)

const (
	// longestTake bounds a recording, in seconds: three hours of practice held
	// at 16 kHz take 1.4 GB (estimate of what a machine spares).
	longestTake = 3 * 3600.0
	// believed is how much of the length that a header promises is set aside at
	// once, in seconds: 460 MB, which the machine hands out only as they are filled.
	believed = 3600.0
)

// gather reads a recording once: it measures it, mixes it down to one channel
// and resamples that to pitch.Rate. It gives up after so many seconds, whatever
// the header promises: recorders that were cut off promise nonsense. progress is
// told the share done.
func gather(r *audio.Reader, longest float64, progress func(share float64)) ([]float64, audio.Facts, error) {
	promised := r.Promised()
	meter, resampler := audio.NewMeter(r.Rate(), r.Channels()), audio.NewResampler(r.Rate(), pitch.Rate)
	x := make([]float64, 0, int(min(promised, believed)*pitch.Rate)+1)
	var mix []float64
	for {
		block, err := r.Next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, audio.Facts{}, err
		}
		meter.Add(block)
		mix = mixDown(block, mix)
		x = appendMinutes(x, resampler.Push(mix))
		seconds := float64(len(x)) / pitch.Rate
		if seconds > longest {
			return nil, audio.Facts{}, fmt.Errorf("the recording lasts more than the %.4g hours that are heard: cut it to the take", longest/3600)
		}
		if promised > 0 {
			progress(min(seconds/promised, 1))
		}
	}
	f := meter.Facts()
	f.Notices = r.Notices()
	return append(x, resampler.Flush()...), f, nil
}

// mixDown is the mean of the channels; mix is overwritten where it has room.
func mixDown(block [][]float64, mix []float64) []float64 {
	mix = append(mix[:0], block[0]...)
	for _, c := range block[1:] {
		for i, v := range c {
			mix[i] += v
		}
	}
	if n := float64(len(block)); n > 1 {
		for i := range mix {
			mix[i] /= n
		}
	}
	return mix
}

// appendMinutes is append for what grows long: room is added by ten minutes
// and an eighth, so that an hour is not copied into two.
func appendMinutes(to, x []float64) []float64 {
	if len(to)+len(x) > cap(to) {
		to = slices.Grow(to, len(x)+600*pitch.Rate+len(to)/8)
	}
	return append(to, x...)
}

// sane is x with silence for what is no number; x itself where all are.
func sane(x []float64) []float64 {
	wild := func(v float64) bool { return math.IsNaN(v) || math.IsInf(v, 0) }
	if !slices.ContainsFunc(x, wild) {
		return x
	}
	out := slices.Clone(x)
	for i, v := range out {
		if wild(v) {
			out[i] = 0
		}
	}
	return out
}
