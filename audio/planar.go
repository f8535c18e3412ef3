package audio

// planar is a block of channels whose memory is used again and again.
type planar struct{ block [][]float64 }

func newPlanar(channels int) *planar { return &planar{make([][]float64, channels)} }

// sized is the block with n frames of any content.
func (p *planar) sized(n int) [][]float64 {
	for ch := range p.block {
		if cap(p.block[ch]) < n {
			p.block[ch] = make([]float64, n)
		}
		p.block[ch] = p.block[ch][:n]
	}
	return p.block
}

// of takes interleaved samples apart, multiplying them by gain.
func (p *planar) of(x []float32, gain float64) [][]float64 {
	n := len(p.block)
	out := p.sized(len(x) / n)
	for ch := range out {
		for i := range out[ch] {
			out[ch][i] = float64(x[i*n+ch]) * gain
		}
	}
	return out
}

// surroundOrder gives, for each number of channels, where WAV's channels (left,
// right, center, low, then pairs) stand in the order of Vorbis and Opus (left,
// center, right, pairs, low): Vorbis I specification, section 4.3.9. Counts
// that are not here have the same order in both.
var surroundOrder = map[int][]int{
	3: {0, 2, 1},
	5: {0, 2, 1, 3, 4},
	6: {0, 2, 1, 5, 3, 4},
	7: {0, 2, 1, 6, 5, 3, 4},
	8: {0, 2, 1, 7, 5, 6, 3, 4},
}

// reordered hands out the channels of a Vorbis or Opus block in WAV's order.
func reordered(block [][]float64) [][]float64 {
	order := surroundOrder[len(block)]
	if order == nil {
		return block
	}
	out := make([][]float64, len(block))
	for to, from := range order {
		out[to] = block[from]
	}
	return out
}
