package audio

import "math"

const (
	ticksPerSecond = 1000 // what a recording is first cut into
	ticksPerStep   = ticksPerSecond / stepsPerSecond
	stepsPerFrame  = 5 // 50 ms: longer than a period of the lowest note, short against a rest (estimate)

	clipLevel = 0.9999
	clipRun   = 3 // samples (common practice)
)

// Meter measures a recording in one pass, block by block. It is not safe for
// concurrent use. Its memory grows by some 300 bytes for each second.
type Meter struct {
	rate     int
	frames   int64 // taken in
	tick     int64 // complete ones
	tickEnd  int64 // frame at which the current tick ends
	tickSize int   // frames of the current tick so far
	channels []*channelMeter
	pairs    []*kPair // of channels 1 and 2, 3 and 4, ...
	loud     loudness
	hum      *humFinder

	stepPower  float64 // K-weighted sum of squares of the current step
	stepFrames int
	framePower float64   // plain, of the current 50 ms
	frameSize  int       // samples of it, all channels
	levels     []float32 // mean squares of the 50 ms frames, channels averaged
}

// channelMeter is what is followed in each channel.
type channelMeter struct {
	weight  float64
	peaks   *peakMeter
	top     float64 // highest sample
	sum     float64 // of all samples
	squares float64
	tickSum float64 // of the current tick
	run     int     // samples at full scale just now
	clipped int
	runs    int
}

// NewMeter makes a meter for a sample rate in Hz and a number of channels.
func NewMeter(rate, channels int) *Meter {
	m := &Meter{rate: max(rate, 1), hum: newHumFinder()}
	filter := newPeakFilter(m.rate)
	for ch := range channels {
		m.channels = append(m.channels, &channelMeter{weight: channelWeight(ch, channels), peaks: newPeakMeter(filter)})
		if ch%2 == 0 {
			m.pairs = append(m.pairs, newKPair(m.rate))
		}
	}
	m.tickEnd = m.endOf(0)
	return m
}

// endOf is the frame at which a tick ends.
func (m *Meter) endOf(tick int64) int64 {
	return (tick + 1) * int64(m.rate) / ticksPerSecond
}

// Add takes in the next block: one slice for each channel, all equally long.
func (m *Meter) Add(block [][]float64) {
	if len(block) == 0 {
		return
	}
	for ch, c := range m.channels {
		c.peaks.add(block[ch])
	}
	for at := 0; at < len(block[0]); {
		n := min(len(block[0])-at, int(m.tickEnd-m.frames))
		for ch, c := range m.channels {
			m.framePower += c.scan(block[ch][at : at+n])
		}
		m.weigh(block, at, n)
		at += n
		m.frames += int64(n)
		m.tickSize += n
		for m.frames == m.tickEnd {
			m.endTick()
		}
	}
}

// weigh adds the K-weighted power of n frames to the step. Where the number of
// channels is odd, the last one is filtered twice and counted once.
func (m *Meter) weigh(block [][]float64, at, n int) {
	for i, k := range m.pairs {
		left, right := 2*i, min(2*i+1, len(block)-1)
		a, b := k.power(block[left][at:at+n], block[right][at:at+n])
		m.stepPower += m.channels[left].weight * a
		if right > left {
			m.stepPower += m.channels[right].weight * b
		}
	}
}

// scan takes peak, sums and clipping of a part of a tick and returns its sum
// of squares.
func (c *channelMeter) scan(x []float64) float64 {
	var sum, sum2, squares, squares2, top, top2 float64
	rest := x
	for ; len(rest) >= 2; rest = rest[2:] {
		v, w := rest[0], rest[1]
		sum += v
		sum2 += w
		squares += v * v
		squares2 += w * w
		if v = math.Abs(v); v > top {
			top = v
		}
		if w = math.Abs(w); w > top2 {
			top2 = w
		}
	}
	if len(rest) == 1 {
		sum += rest[0]
		squares += rest[0] * rest[0]
		top = max(top, math.Abs(rest[0]))
	}
	top = max(top, top2)
	if top >= clipLevel {
		c.countClipped(x)
	} else {
		c.run = 0
	}
	c.top = max(c.top, top)
	c.tickSum += sum + sum2
	c.squares += squares + squares2
	return squares + squares2
}

func (c *channelMeter) countClipped(x []float64) {
	for _, v := range x {
		if math.Abs(v) < clipLevel {
			c.run = 0
			continue
		}
		c.run++
		switch {
		case c.run == clipRun:
			c.clipped += clipRun
			c.runs++
		case c.run > clipRun:
			c.clipped++
		}
	}
}

// endTick closes a tick of 1 ms, and what ends with it.
func (m *Meter) endTick() {
	mean := 0.0
	for _, c := range m.channels {
		mean += c.tickSum
		c.sum += c.tickSum
		c.tickSum = 0
	}
	if m.tickSize > 0 {
		m.hum.add(mean / float64(m.tickSize*len(m.channels)))
	}
	m.stepFrames += m.tickSize
	m.frameSize += m.tickSize * len(m.channels)
	m.tickSize = 0
	m.tick++
	m.tickEnd = m.endOf(m.tick)
	if m.tick%ticksPerStep == 0 {
		m.endStep()
	}
}

// endStep closes a step of 10 ms, and the frame of 50 ms that ends with it.
func (m *Meter) endStep() {
	if m.stepFrames > 0 {
		m.loud.add(m.stepPower / float64(m.stepFrames))
	}
	m.stepPower, m.stepFrames = 0, 0
	if m.tick%(ticksPerStep*stepsPerFrame) == 0 && m.frameSize > 0 {
		m.levels = append(m.levels, float32(m.framePower/float64(m.frameSize)))
		m.framePower, m.frameSize = 0, 0
	}
}
