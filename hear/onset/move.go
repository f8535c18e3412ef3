package onset

import (
	"math"

	"waterkey/hear/pitch"
)

// Moves of the pitch, in frames of 5 ms and cents (estimates, tuned on
// synthesised takes and bounded by what vibrato does: 30 cents, 5 to 7 Hz).
const (
	sideReach  = 8    // frames before and after a step whose medians are compared
	sideSkip   = 2    // frames left out next to it
	leastStep  = 60.0 // cents: a semitone that is sung or lipped narrow still counts
	slowReach  = 10   // frames: a glide's slope is taken over twice as many
	slowSlope  = 12.0 // cents over them
	leastGlide = 80.0 // cents in all
	glideLong  = 16   // frames: shorter moves are steps
)

// moves cuts where the pitch steps while the air goes on, and at both ends of
// glides.
func (s *scene) moves() []cut {
	glides, cuts := s.glides()
	n := len(s.cents)
	size := make([]float64, n)
	for i := range size {
		before := median(s.cents[max(i-sideReach, 0):max(i-sideSkip, 0)])
		after := median(s.cents[min(i+sideSkip, n):min(i+sideReach, n)])
		if d := after - before; !math.IsNaN(d) && !math.IsNaN(s.cents[i]) {
			size[i] = d
		}
	}
	for i := 1; i < n-1; i++ {
		v := math.Abs(size[i])
		if v < leastStep || glides[i] || !s.isPeak(size, i) {
			continue
		}
		at := s.pitchCrossing(i, size[i])
		cuts = append(cuts, cut{at: at, step: size[i], doubt: s.stepDoubt(at, size[i])})
	}
	return cuts
}

// isPeak says whether |v[i]| is the largest within a step's reach, the first
// of equals.
func (s *scene) isPeak(v []float64, i int) bool {
	for j := max(i-sideReach/2, 0); j <= min(i+sideReach/2, len(v)-1); j++ {
		if math.Abs(v[j]) > math.Abs(v[i]) || j < i && math.Abs(v[j]) == math.Abs(v[i]) {
			return false
		}
	}
	return true
}

// pitchCrossing is where the pitch passes the middle of the step at frame i.
func (s *scene) pitchCrossing(i int, step float64) float64 {
	before := median(s.cents[max(i-sideReach, 0):max(i-sideSkip, 0)])
	middle := before + step/2
	best, distance := float64(i), math.Inf(1)
	for j := max(i-sideReach, 1); j < min(i+sideReach, len(s.cents)); j++ {
		a, b := s.cents[j-1]-middle, s.cents[j]-middle
		if math.IsNaN(a) || math.IsNaN(b) || a*step >= 0 || b*step < 0 {
			continue
		}
		at := float64(j-1) + a/(a-b)
		if d := math.Abs(at - float64(i)); d < distance {
			best, distance = at, d
		}
	}
	return best
}

// stepDoubt is the uncertainty in seconds of a step's moment: by how long the
// pitch takes through the middle half of it.
func (s *scene) stepDoubt(at, step float64) float64 {
	i := int(math.Round(at))
	a, b := max(i-sideReach, 0), min(i+sideReach, len(s.cents)-1)
	before := median(s.cents[a:max(i-sideSkip, a+1)])
	inside := 0
	for j := a; j <= b; j++ {
		if share := (s.cents[j] - before) / step; share > 0.25 && share < 0.75 {
			inside++
		}
	}
	return math.Hypot(leastDoubt, pitchDoubt*pitch.Hop*float64(1+inside))
}

// glides finds the frames inside glides and cuts at their ends.
func (s *scene) glides() (inside []bool, cuts []cut) {
	n := len(s.cents)
	inside = make([]bool, n)
	for i := 0; i < n; {
		sign := s.drift(i)
		if sign == 0 {
			i++
			continue
		}
		j := i
		for j < n && s.drift(j) == sign {
			j++
		}
		if begin, end, ok := s.glide(i, j-1); ok {
			for k := max(begin, 0); k <= min(end, n-1); k++ {
				inside[k] = true
			}
			cuts = append(cuts, cut{at: float64(begin), glide: true, reach: s.cents[j-1] - s.cents[i], step: sign, doubt: coarseDoubt}, cut{at: float64(end), step: sign, doubt: coarseDoubt})
		}
		i = j
	}
	return inside, cuts
}

// drift is the direction the pitch moves at frame i: +1, -1, or 0 for steady
// or unvoiced. Both halves of the stretch looked at must move.
func (s *scene) drift(i int) float64 {
	const half = slowReach / 2
	if i < half || i+half >= len(s.cents) {
		return 0
	}
	a, m, b := s.cents[i-half], s.cents[i], s.cents[i+half]
	least := slowSlope / 4
	switch {
	case m-a >= least && b-m >= least:
		return 1
	case a-m >= least && m-b >= least:
		return -1
	}
	return 0
}

// glide says where the glide that moves steadily from frame i to j begins and
// ends: the line through its first or last quarter is carried on to the pitch on
// that side. ok is false for a short or small move.
func (s *scene) glide(i, j int) (begin, end int, ok bool) {
	total := math.Abs(s.cents[j] - s.cents[i])
	if j-i < glideLong || !(total >= leastGlide) {
		return 0, 0, false
	}
	for k := i + 1; k <= j; k++ {
		if math.Abs(s.cents[k]-s.cents[k-1]) > total/2 {
			return 0, 0, false // a step between two drifting notes
		}
	}
	part := (j - i) / 4
	before := s.cents[max(i-slowReach/2, 0)]
	after := median(s.cents[min(j+slowReach/2, len(s.cents)-1):min(j+slowReach*2, len(s.cents))])
	begin, end = i, j
	if math.Abs(before-s.cents[i]) < leastGlide {
		a, slope := i+part/2, (s.cents[i+part]-s.cents[i])/float64(part)
		begin = a - int(math.Round((s.cents[a]-before)/slope))
	}
	if math.Abs(after-s.cents[j]) < leastGlide {
		b, slope := j-part/2, (s.cents[j]-s.cents[j-part])/float64(part)
		end = b + int(math.Round((after-s.cents[b])/slope))
	}
	return max(begin, i-slowReach), min(end, j+slowReach), true
}
