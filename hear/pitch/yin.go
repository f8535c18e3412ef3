package pitch

// All lags and windows are in samples at innerRate.
const (
	// lastNear is the longest lag read from the short window: 11 ms.
	lastNear = 86

	// shortest and longest bound the lags looked at. What is shorter than the
	// period of Highest is a tone above the range: its dip takes its share of
	// the thresholds and is no candidate.
	shortest, longest = 2, 286

	nearLags, farLags = 104, 224 // with taps on either side of the lags used

	// The windows begin so many blocks before a frame's time that a lag of
	// 5 ms in the short one and of 20 ms in the long one is centered on it.
	nearBack, farBack = 4, 7

	// before and after are the sound that a frame reaches back and ahead.
	before = farBack*block + taps
	after  = 4*block + farLag0 + farLags

	farLag0 = lastNear - 2 - taps - 4

	// quiet is the power below which a frame is silence: -90 dBFS (estimate:
	// below the noise of any microphone).
	quiet = 1e-9

	// doubtful is the depth above which a dip is none: one in a million of the
	// thresholds is as high.
	doubtful = 0.6

	// settled is the depth of a dip that leaves long lags out: 5 % of the
	// thresholds lie below it.
	settled = 0.02

	// lowestShare is the weight of the lowest dip for thresholds that pick none
	// (Mauch and Dixon 2014).
	lowestShare = 0.01
)

// candidate is a possible pitch of a frame.
type candidate struct {
	hz     float64
	weight float64 // probability; those of a frame sum to at most 1
	sd     float64 // standard uncertainty in cents
	late   float64 // seconds from the frame's time to the middle of its sound
}

// analyzer holds the work areas for one frame.
type analyzer struct {
	near, far *register
	cands     []candidate
	low       float64 // the lowest dip of the frame so far
	lowest    int     // its candidate, -1 for none
	sum       float64 // of the difference function from lag 1 to summed
	summed    int
}

// nearShape and farShape weigh the blocks of the windows: 20 and 40 ms long at
// half their height, with slopes, so that a period's steepest part leaves no
// trace when it passes a window's edge.
var (
	nearShape = []float64{1, 2, 3, 4, 3, 2, 1}
	farShape  = []float64{1, 2, 3, 3, 3, 3, 3, 3, 2, 1}
)

func newAnalyzer() *analyzer {
	return &analyzer{near: newRegister(-taps, nearLags, nearBack, nearShape), far: newRegister(farLag0, farLags, farBack, farShape)}
}

// frame returns the candidates of frame i, valid until the next call. Sample p
// of the sound is y[p-first].
func (a *analyzer) frame(y []float64, first, i int) []candidate {
	a.cands, a.low, a.lowest = a.cands[:0], doubtful, -1
	a.sum, a.summed = 0, 0
	if !a.near.difference(y, first, i) {
		return a.cands
	}
	a.dips(a.near, 1, lastNear)
	if a.low > settled && a.far.difference(y, first, i) {
		a.dips(a.far, lastNear-1, longest)
	}
	if a.lowest >= 0 {
		a.cands[a.lowest].weight += lowestShare * thresholdBelow(a.low)
	}
	return a.cands
}

// dips looks for candidates among the lags from lo to hi: the local minima of
// the difference function. Its cumulative mean normalized value, equation 8 of
// the YIN paper, is only needed there.
func (a *analyzer) dips(r *register, lo, hi int) {
	const sampled = 0.1 // how far the parabola through three samples may lie above a dip (estimate)
	d := r.diff
	l, m := d[lo-1-r.lag0], d[lo-r.lag0]
	for lag := lo; lag <= hi; lag++ {
		right := d[lag+1-r.lag0]
		if lag > a.summed { // the registers overlap by some lags
			a.sum, a.summed = a.sum+m, lag
		}
		if lag >= shortest && m < l && m <= right {
			scale := float64(lag) / a.sum
			if bottom := m - (l-right)*(l-right)/(8*(l-2*m+right)); bottom*scale < a.low+sampled {
				a.weigh(r, r.dip(lag), scale)
			}
		}
		l, m = m, right
	}
}

// weigh gives a dip that lies below all before it the thresholds between.
func (a *analyzer) weigh(r *register, p dip, scale float64) {
	const leastWeight = 1e-4 // a candidate below it never wins a path (estimate)
	v := p.depth * scale
	if v >= a.low {
		return
	}
	w := thresholdBelow(a.low) - thresholdBelow(v)
	a.low, a.lowest = v, -1
	if w > leastWeight && p.lag > innerRate/Highest {
		a.lowest = len(a.cands)
		a.cands = append(a.cands, r.candidate(p, w))
	}
}

// thresholdBelow is the probability that YIN's threshold is below v: the
// cumulative Beta(2, 18) distribution that Mauch and Dixon use (mean 0.1).
func thresholdBelow(v float64) float64 {
	v = max(0, min(v, 1))
	u := 1 - v
	u2 := u * u
	u4 := u2 * u2
	u8 := u4 * u4
	return 1 - u8*u8*u2*(1+18*v)
}
