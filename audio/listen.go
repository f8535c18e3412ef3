package audio

import (
	"errors"
	"io"
	"slices"
)

// Listen reads what is left of a recording once: it measures it and mixes it
// down to one channel at a sample rate in Hz, which is all that stays in
// memory.
func (r *Reader) Listen(rate int) (mono []float64, f Facts, err error) {
	meter, resampler := NewMeter(r.Rate(), r.Channels()), NewResampler(r.Rate(), rate)
	var mix []float64
	// What the header promises is believed up to ten minutes (77 MB at 16 kHz).
	mono = make([]float64, 0, int(min(r.Promised(), 600)*float64(rate))+1)
	for {
		block, err := r.Next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, Facts{}, err
		}
		meter.Add(block)
		x := block[0]
		if len(block) > 1 {
			if cap(mix) < len(x) {
				mix = make([]float64, len(x))
			}
			x = mixDown(block, mix[:len(x)])
		}
		mono = appendDoubling(mono, resampler.Push(x))
	}
	f = meter.Facts()
	f.Notices = r.Notices()
	return append(mono, resampler.Flush()...), f, nil
}

// appendDoubling is append for slices that grow long: it copies them less
// often.
func appendDoubling(to, x []float64) []float64 {
	if len(to)+len(x) > cap(to) {
		to = slices.Grow(to, max(len(to), len(x)))
	}
	return append(to, x...)
}
